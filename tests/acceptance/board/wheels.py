"""The wheels of the box's libraries for arm64 and Python 3.13, for ``firmware/install --into``.

What PyPI has for arm64 is fetched. aubio, lgpio and pyalsaaudio are built here from their sources by Debian's cross
compiler: on a board pip builds them itself. `install` unpacks them and does not look at their names, which bear the
version of the Python that built them.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
import zipfile
import zlib
from pathlib import Path

from board.base import unpack
from board.machine import TOP
from cachefolder import CACHE

BUILT = ("aubio", "lgpio", "pyalsaaudio")
_BROUGHT = ("luma.core", "colorzero", "smbus2", "cbor2", "cffi", "pycparser", "packaging")
"""What those that are wanted want."""

_PLATFORMS = ("any", *(f"manylinux_2_{n}_aarch64" for n in (41, 39, 34, 31, 28, 27, 17)), "manylinux2014_aarch64")
_SUFFIX = ".cpython-313-aarch64-linux-gnu.so"
_HEADERS = "libpython3-dev,libasound2-dev"


def wheels() -> Path:
    """The folder with them, made where it is not kept yet: about a minute."""
    text = (TOP / "pyproject.toml").read_text()
    kept = CACHE / f"board-wheels-{zlib.crc32((text + Path(__file__).read_text()).encode()):08x}"
    if not (kept / "ready").exists():
        work = kept.with_suffix(".work")
        for folder in (kept, work):
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir(parents=True)
        fetch([*libraries(text), *_BROUGHT], kept)
        build(kept, work)
        shutil.rmtree(work)
        (kept / "ready").touch()
    return kept


def libraries(text: str) -> list[str]:
    """What pyproject.toml wants of a board, and has not to be built."""
    project = tomllib.loads(text)["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["board"]]
    return [one.split(";")[0] for one in wanted if not one.startswith(BUILT)]


def fetch(wanted: list[str], to: Path) -> None:
    """Fetch them for the board's processor and Python."""
    words = ["--no-deps", "--only-binary", ":all:", "--python-version", "3.13", "--implementation", "cp"]
    words += [word for abi in ("cp313", "abi3", "none") for word in ("--abi", abi)]
    words += [word for platform in _PLATFORMS for word in ("--platform", platform)]
    subprocess.run([sys.executable, "-m", "pip", "download", "-q", "--dest", str(to), *words, *wanted], check=True)


def build(to: Path, work: Path) -> None:
    """Build the others."""
    root, python, libraries_here = work / "root", work / "venv/bin/python", work / "lib"
    unpack(root, f"--include={_HEADERS}", "--arch=arm64")
    subprocess.run([sys.executable, "-m", "venv", str(work / "venv")], check=True)
    subprocess.run([python, "-m", "pip", "install", "-q", "setuptools>=77", "wheel", "numpy"], check=True)
    libraries_here.mkdir()
    (libraries_here / "libasound.so").symlink_to(root / "usr/lib/aarch64-linux-gnu/libasound.so.2")
    headers = root / "usr/include"
    told = {
        "CC": "aarch64-linux-gnu-gcc",
        "LDSHARED": "aarch64-linux-gnu-gcc -shared",
        "CFLAGS": f"-O2 -w -Wno-error=incompatible-pointer-types -I{headers / 'python3.13'} -idirafter {headers}"
        f" -idirafter {headers / 'aarch64-linux-gnu'}",
        "LDFLAGS": f"-L{libraries_here} -Wl,--allow-shlib-undefined",
        "SETUPTOOLS_EXT_SUFFIX": _SUFFIX,
        "_PYTHON_HOST_PLATFORM": "linux-aarch64",
        "PYPI": "1",  # lgpio brings the C library that it is of
        "PKG_CONFIG_LIBDIR": "/nonexistent",  # aubio needs none of what is here
        "PKG_CONFIG_PATH": "",
    }
    words = ["--no-deps", "--no-build-isolation", "--use-pep517", "--no-cache-dir", "--no-binary", ",".join(BUILT)]
    for name in BUILT:
        subprocess.run(
            [python, "-m", "pip", "wheel", "-q", "-w", work / "built", *words, name],
            env={**os.environ, **told},
            check=True,
        )
    for wheel in (work / "built").glob("*.whl"):
        _renamed(wheel, to / wheel.name)


def _renamed(wheel: Path, to: Path) -> None:
    """aubio's build names its library for this computer, whatever it is told."""
    with zipfile.ZipFile(wheel) as packed, zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as new:
        for item in packed.namelist():
            stem, dot, rest = item.partition(".cpython-")
            new.writestr(stem + _SUFFIX if dot and rest.endswith(".so") else item, packed.read(item))


if __name__ == "__main__":
    print(wheels())  # noqa: T201  # for whoever wants to install by hand
