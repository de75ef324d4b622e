"""Frozen outputs: what a revision was made of, so that a board in the hand can be traced to its files.

`python -m making.freeze` copies what goes to a board house and to the bench into revisions/LETTER, with the SHA-256
of each file. A revision that stands is never written again.
"""

from __future__ import annotations

import hashlib
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

from making.circuit import HARDWARE, load
from making.into import MADE

SUMS = "SHA256SUMS"
FROZEN = ("fab", "bom.csv", "netlist.xml", "schematic.pdf", "wires.md")
"""Of the folder made/: files, and folders with all that is in them."""


class FreezeFault(Exception):
    """The revision cannot be frozen; the text is one sentence."""


def freeze(made: Path, revisions: Path, letter: str) -> Path:
    """Copy what is made into a new revision; its folder.

    Raises
    ------
    FreezeFault
        The revision stands already, or something that belongs to it was not made.
    """
    folder = revisions / letter
    if folder.exists():
        raise FreezeFault(
            f"Revision {letter} is frozen already; give circuit.toml the next letter, or leave it as it is."
        )
    missing = [name for name in FROZEN if not (made / name).exists()]
    if missing:
        raise FreezeFault(f"There is no {made.name}/{missing[0]} to freeze; make it first: sh hardware/build.")
    for name in _files(made):
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(made / name, target)
    (folder / SUMS).write_text("".join(f"{digest}  {name}\n" for name, digest in sums(folder).items()))
    return folder


def sums(folder: Path) -> dict[str, str]:
    """File -> SHA-256 in hex, for all that is frozen of a folder, in order."""
    return {name: hashlib.sha256((folder / name).read_bytes()).hexdigest() for name in _files(folder)}


def told_sums(folder: Path) -> dict[str, str]:
    """The same, as a frozen revision says it (the form of `sha256sum`)."""
    lines = (folder / SUMS).read_text().splitlines()
    return {name: digest for digest, _, name in (line.partition("  ") for line in lines)}


def _files(folder: Path) -> Iterator[str]:
    for name in FROZEN:
        path = folder / name
        found = sorted(path.rglob("*")) if path.is_dir() else [path]
        yield from (each.relative_to(folder).as_posix() for each in found if each.is_file())


def main() -> int:
    """Freeze the revision that circuit.toml names."""
    try:
        folder = freeze(MADE, HARDWARE / "revisions", load().revision)
    except FreezeFault as fault:
        sys.stderr.write(f"freeze: {fault}\n")
        return 1
    sys.stdout.write(f"frozen: {folder.relative_to(HARDWARE.parent)}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
