"""Names that a stranger gave to files: which of them may become names on our own disk."""

from __future__ import annotations

import unicodedata

from airladder.faults import BadInput

LONGEST = 40
"""Characters before ``.toml``: a routine's name is no longer, and 40 of any script fit every file system."""

_FORBIDDEN = frozenset('\\/:*?"<>|')
# Microsoft, "Naming Files, Paths, and Namespaces": devices, whatever stands behind a dot.
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", "conin$", "conout$"}
    | {f"{port}{number}" for port in ("com", "lpt") for number in "0123456789¹²³"}
)
_ENDING = ".toml"
_LEFT_BY_COMPUTERS = frozenset({"desktop.ini", "thumbs.db"})


def is_by_the_way(name: str) -> bool:
    """Whether a computer leaves such a file on every drive (``.DS_Store``, ``._name``), so that nobody meant it."""
    return name.startswith((".", "~$")) or name.casefold() in _LEFT_BY_COMPUTERS


def routine_file(name: str) -> str:
    """The name under which a routine is kept, composed (Unicode's NFC), with ``.toml`` in small letters.

    Raises
    ------
    BadInput : says what is wrong with the name.
    """
    composed = unicodedata.normalize("NFC", name)
    stem, ending = composed[: -len(_ENDING)], composed[-len(_ENDING) :]
    if ending.lower() != _ENDING or not stem:
        raise BadInput("it is no routine; wanted a name that ends in .toml.")
    if not composed.isprintable() or "\ufffd" in composed or _FORBIDDEN.intersection(composed):
        raise BadInput("its name has signs that no file should have; wanted letters, digits, spaces and hyphens.")
    if len(stem) > LONGEST:
        raise BadInput(f"its name is too long; wanted at most {LONGEST} characters before .toml.")
    if stem.startswith((".", " ")):
        raise BadInput("its name begins with a dot or a space; wanted a letter or a digit.")
    if stem.split(".")[0].strip().casefold() in _DEVICES:
        raise BadInput("its name is that of a device on some computers; choose another.")
    return stem + _ENDING


def told(name: str) -> str:
    """A name as it may stand in a sentence: no more than a line, nothing that writes backwards or rings a bell."""
    plain = "".join(sign if sign.isprintable() else "?" for sign in name)
    return plain if len(plain) <= LONGEST + 5 else f"{plain[:LONGEST]}..."
