"""Where the log lies when its disk is read-only, missing, or somebody else's."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from airladder.appliance.place import settled


def test_a_folder_that_can_be_written_is_it_and_is_made_where_it_is_missing(tmp_path: Path) -> None:
    assert settled(tmp_path / "a" / "log", tmp_path / "memory") == (tmp_path / "a" / "log", "")
    assert (tmp_path / "a" / "log").is_dir()
    assert not (tmp_path / "memory").exists()


def test_one_that_cannot_be_made_leads_to_memory_and_says_why(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    folder, sentence = settled(tmp_path / "file" / "log", tmp_path / "memory")
    assert folder == tmp_path / "memory"
    assert folder.is_dir()
    assert sentence.startswith(f"Nothing is kept: {tmp_path / 'file' / 'log'} cannot be written (Not a directory)")


def test_one_that_may_not_be_written_does_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    folder, sentence = settled(tmp_path / "log", tmp_path / "memory")
    assert (folder, "somebody else" in sentence) == (tmp_path / "memory", True)
    monkeypatch.setattr(os, "statvfs", lambda path: os.statvfs_result((0,) * 8 + (os.ST_RDONLY, 255)))
    assert "no data partition" in settled(tmp_path / "log", tmp_path / "memory")[1]
