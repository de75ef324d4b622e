"""The faulty disk under this process's SQLite, and a folder whose flushes cost nothing."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from faults.vfs import FaultyDisk


@pytest.fixture(scope="session")
def faulty_disk() -> FaultyDisk:
    """The shim, compiled and loaded; used only in a block `with faulty_disk.used()`."""
    try:
        return FaultyDisk()
    except RuntimeError as error:
        pytest.fail(str(error))


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    """An empty folder in memory where there is one: the tests open thousands of logs."""
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(prefix="airladder-", dir=memory if memory.is_dir() else tmp_path) as name:
        yield Path(name)
