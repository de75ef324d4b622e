"""The one word that every maker here knows: `--into FOLDER`."""

from __future__ import annotations

import argparse
from pathlib import Path

from making.circuit import HARDWARE

MADE = HARDWARE / "made"
"""Where things go without that word."""


def folder_asked_for(about: str | None) -> Path:
    """The folder that the command line names; it is made when it is not there.

    Parameters
    ----------
    about : what the command does, for its help
    """
    parser = argparse.ArgumentParser(description=about)
    parser.add_argument("--into", type=Path, default=MADE, metavar="FOLDER")
    folder: Path = parser.parse_args().into
    folder.mkdir(parents=True, exist_ok=True)
    return folder
