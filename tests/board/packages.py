"""The Python packages of the virtual board that Debian 13 has not, or not new enough.

What is Python alone comes from this computer's own .venv, as it is. pyalsaaudio and lgpio are built for arm64 from
their sources on PyPI, with Debian's cross compiler and the board's own headers.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import sysconfig
import tarfile
from pathlib import Path

PURE = ("luma", "luma.core-*", "luma.oled-*", "smbus2*", "gpiozero*", "colorzero*")
"""As they lie in .venv, their metadata with them."""

_COMPILER = ("aarch64-linux-gnu-gcc", "-shared", "-fPIC", "-O2", "-w", "-pthread")
_SITE = "usr/local/lib/python3.13/dist-packages"


def add_packages(root: Path, work: Path) -> None:
    """Put all of them into the file system at `root`; `work` is an empty folder for what is made on the way.

    Raises
    ------
    subprocess.CalledProcessError : when pip, swig or the compiler fails.
    """
    site = root / _SITE
    site.mkdir(parents=True)
    ours = Path(sysconfig.get_path("purelib"))
    for pattern in PURE:
        for found in ours.glob(pattern):
            (shutil.copytree if found.is_dir() else shutil.copy)(found, site / found.name)
    _build_alsaaudio(root, site, _source("pyalsaaudio", "0.11.0", work))
    _build_lgpio(root, site, _source("lgpio", "0.2.2.0", work))


def _source(name: str, version: str, work: Path) -> Path:
    words = ["--no-deps", "--no-binary", ":all:", "--quiet", "--disable-pip-version-check", "--dest", str(work)]
    subprocess.run([sys.executable, "-m", "pip", "download", *words, f"{name}=={version}"], check=True)
    with tarfile.open(work / f"{name}-{version}.tar.gz") as packed:
        packed.extractall(work, filter="data")
    return work / f"{name}-{version}"


def _build_alsaaudio(root: Path, site: Path, source: Path) -> None:
    asound = root / "usr/lib/aarch64-linux-gnu/libasound.so.2"
    _compile(root, site / "alsaaudio.so", [source / "alsaaudio.c"], "-Wl,--allow-shlib-undefined", str(asound))


def _build_lgpio(root: Path, site: Path, source: Path) -> None:
    subprocess.run(["swig", "-python", "lgpio.i"], cwd=source, check=True)
    sources = [*sorted((source / "src").glob("lg*.c")), source / "lgpio_wrap.c", source / "src/rgpiod.c"]
    _compile(root, site / "_lgpio.so", sources, f"-I{source / 'src'}", "-lrt", "-ldl")
    shutil.copy(source / "lgpio.py", site)


def _compile(root: Path, made: Path, sources: list[Path], *words: str) -> None:
    headers = root / "usr/include"
    found = [f"-I{headers / 'python3.13'}", "-idirafter", str(headers), "-idirafter"]
    command = [*_COMPILER, *found, str(headers / "aarch64-linux-gnu"), "-o", str(made), *map(str, sources), *words]
    subprocess.run(command, check=True)
