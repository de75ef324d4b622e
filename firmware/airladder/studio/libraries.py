"""The libraries that only this room needs, and a sentence where one is missing."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from airladder.faults import BadInput


def imported(module: str, extra: str) -> Any:
    """A library that only this room needs.

    Raises
    ------
    BadInput : when it is not installed.
    """
    try:
        return import_module(module)
    except ImportError:
        raise BadInput(
            f"Merging needs {module.split('.')[0]}, which is not installed; in a clone of Airladder, "
            f"pip install '.[{extra}]' brings it."
        ) from None
