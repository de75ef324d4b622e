"""How much of the slow is done: one fault of each rule in every run; all by `sh tests/acceptance/run enclosure`."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from typing import TypeVar

ALL = os.environ.get("AIRLADDER_ALL_OF_IT") == "1"
"""Whether every fault is put in, every box looked at, and every part sliced."""

T = TypeVar("T")


def chosen(faults: Mapping[str, tuple[str, Callable[..., T]]]) -> list[str]:
    """The stories that are tried: the first of each rule, or all."""
    first: dict[str, str] = {}
    for story, (rule, _) in faults.items():
        first.setdefault(rule, story)
    return list(faults) if ALL else list(first.values())
