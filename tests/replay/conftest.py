"""What the replay tests share."""

from __future__ import annotations

from pathlib import Path

import pytest

from additive.note import Note
from airladder.config import Settings
from stage import Stage, take, written


@pytest.fixture
def stage(tmp_path: Path) -> Stage:
    """A stage of its own."""
    return Stage(tmp_path)


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home of its own: no settings, no log."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path


@pytest.fixture
def climb(tmp_path: Path) -> Path:
    """A short recording: the fundamental, then partial 2."""
    return written(tmp_path / "climb.wav", take(Settings(), Note(1), Note(2)))
