"""A computer with a few of Debian's own programs and nothing of ours, for trying what sets things up."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path


def bare(folder: Path, *names: str) -> Path:
    """The folder, with these programs in it: the whole PATH of the computer."""
    for name in names:
        found = shutil.which(name)
        assert found is not None, name
        (folder / name).symlink_to(found)
    return folder


def program(folder: Path, name: str, does: str) -> None:
    """One program more, a shell script."""
    path = folder / name
    path.write_text(f"#!/bin/sh\n{does}\n")
    path.chmod(0o755)


def run(folder: Path, script: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """A script of ours on that computer."""
    command = ["sh", str(script), *words]
    return subprocess.run(command, env={"PATH": str(folder)}, capture_output=True, text=True, check=False)
