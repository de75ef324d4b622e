"""The journal's tries, heads and paths, and a log that is open."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from airladder.journal.log import Log
from unit.journal.conftest import Trier, head, path, tried

__all__ = ["Trier", "head", "log", "path", "tried"]


@pytest.fixture
def log(path: Path) -> Iterator[Log]:
    """Empty so far."""
    with Log(path) as log:
        yield log
