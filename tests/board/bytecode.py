"""Bytecode for the virtual board's Python, made on this computer: there it would cost ten seconds of every start.

Bytecode is the same on all processors, but not in all versions (Python's documentation,
"importlib.util.MAGIC_NUMBER"). So it takes the board's own version, built for this computer. That is only unpacked,
beside the board's, and run by its own loader, as its C library may be newer than ours.
"""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

PACKAGES = "python3.13"


def compile_all(python: Path, folder: Path) -> None:
    """Make what is missing or old in the ``__pycache__`` folders below `folder`.

    Parameters
    ----------
    python : the unpacked file system of `PACKAGES`
    folder : sources that cannot be compiled are left out, as some of Debian's are templates
    """
    libraries = next((python / "usr/lib").glob("*-linux-gnu"))
    loader = next(path for place in ("usr/lib64", "usr/lib") for path in (python / place).glob("ld-linux-*.so.*"))
    words = [loader, "--library-path", libraries, python / "usr/bin/python3.13", "-m", "compileall", "-qq", folder]
    told = {**os.environ, "PYTHONHOME": str(python / "usr")}
    told.pop("PYTHONPATH", None)
    subprocess.run([str(word) for word in words], env=told, stdout=subprocess.DEVNULL, check=False)
