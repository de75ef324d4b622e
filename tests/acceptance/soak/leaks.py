"""Leaks put in on purpose, each as slow as one that a soak must find: the verdict on such a run must be NOT flat."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Mapping

EVERY_SECONDS = 60.0
"""So often, in seconds of the sound, something is left behind."""

_held: list[object] = []


def _bytes() -> None:
    _held.append(os.urandom(8 * 1024))  # 11 MiB a day


def _file() -> None:
    _held.append(os.open(os.devnull, os.O_RDONLY))


def _thread() -> None:
    thread = threading.Thread(target=threading.Event().wait, name="leak", daemon=True)
    thread.start()


LEAKS: Mapping[str, Callable[[], None]] = {"none": lambda: None, "bytes": _bytes, "file": _file, "thread": _thread}
