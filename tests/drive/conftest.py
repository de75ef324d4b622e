"""Folders to make drives of, and drives that a computer has written."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from airladder.drive.image import build
from airladder.drive.incoming import LABEL

WRITTEN = datetime(2026, 5, 4, 18, 30, 12)

Writer = Callable[[dict[str, bytes]], Path]


@pytest.fixture
def written(tmp_path: Path) -> Writer:
    """Makes a drive as a computer would leave it at `WRITTEN`, with these files by their paths."""

    return lambda files: written_drive(tmp_path, files)


def written_drive(place: Path, files: dict[str, bytes]) -> Path:
    """Such a drive in the folder `place`."""
    folder = place / "host"
    for name, content in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    image = place / "in.img"
    build(folder, image, LABEL, WRITTEN)
    return image
