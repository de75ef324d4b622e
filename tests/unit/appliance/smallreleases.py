"""Releases of a package of three files, quick to make, unpack and compile."""

from __future__ import annotations

from pathlib import Path

from airladder.appliance import release
from airladder.appliance.stated import Stated

STEPS = 4
"""Of the log's form, as many as the real program has."""


def package(version: str, steps: int = STEPS) -> dict[str, bytes]:
    """The files of such a package by their path in it."""
    return {
        "__init__.py": f'"""Small."""\n\n__version__ = "{version}"\n'.encode(),
        "__main__.py": b'import airladder, sys\nprint("ran", airladder.__version__, *sys.argv[1:])\n',
        **{f"journal/schema/{step:04}_x.sql": b"SELECT 1;\n" for step in range(1, steps + 1)},
    }


def files(version: str = "0.2.0", steps: int = STEPS, said: Stated | None = None) -> dict[str, bytes]:
    """What lies in the release, but for the sums."""
    inside = {f"airladder/{name}": content for name, content in package(version, steps).items()}
    return {**inside, "release.toml": (said or Stated(version, steps)).text().encode()}


def summed(inside: dict[str, bytes]) -> dict[str, bytes]:
    """The same with right sums."""
    lines = [f"{release._sum(content)}  {name}\n" for name, content in sorted(inside.items())]
    return {**inside, "SHA256SUMS": "".join(lines).encode()}


def small(version: str = "0.2.0", steps: int = STEPS, said: Stated | None = None) -> bytes:
    """Such a release."""
    return release.packed(summed(files(version, steps, said)))


def tree(folder: Path, version: str = "0.2.0") -> Path:
    """Such a package on the disk."""
    for name, content in package(version).items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    return folder
