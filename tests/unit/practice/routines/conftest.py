"""A folder in which a player writes routines."""

from __future__ import annotations

from pathlib import Path

import pytest

from unit.practice.routines.players import Write


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Writes a file, `mine.toml` unless it is named, and gives its path."""

    def written(text: str | bytes, name: str = "mine.toml") -> Path:
        path = tmp_path / name
        path.write_bytes(text.encode() if isinstance(text, str) else text)
        return path

    return written
