"""The images that are put into the drives, made as the box makes them; their text is invented."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

from airladder.drive import image, incoming, outgoing

FILES = {
    "README.txt": b"An invented drive.\r\n",
    "report.html": b"<!doctype html><title>invented</title>" + bytes(range(256)) * 5000,
    "tries/2027-05.csv": b"try,hz\r\n1,220.5\r\n" * 4000,
    "sessions/00001.mid": b"MThd" + bytes(60_000),
}
"""What is on the drive that goes out, by its path there."""

SETTINGS = 'horn = "alto"\n'


def make(folder: Path) -> None:
    """Make ``out.img``, ``newer.img`` (one file more) and ``in.img`` in `folder`."""
    files = folder / "files"
    for name, content in FILES.items():
        (files / name).parent.mkdir(parents=True, exist_ok=True)
        (files / name).write_bytes(content)
    image.build(files, folder / "out.img", outgoing.LABEL, datetime(2027, 5, 4, 18, 0))
    (files / "newer.txt").write_text("newer")
    image.build(files, folder / "newer.img", outgoing.LABEL, datetime(2027, 5, 5, 18, 0))
    incoming.blank(folder / "in.img", {}, (), SETTINGS)


if __name__ == "__main__":
    make(Path(sys.argv[1]))
