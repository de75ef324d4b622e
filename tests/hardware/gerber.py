"""A small reader of Gerber and Excellon files: enough to see that they are whole and where they draw."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from making.layout import Point

_UNIT = 1e-6
_DRAW = re.compile(r"^(?:X(-?\d+))?(?:Y(-?\d+))?(?:I(-?\d+))?(?:J(-?\d+))?D0([123])\*$", re.MULTILINE)


class GerberFault(Exception):
    """The file is not whole; the text is one sentence."""


@dataclass(frozen=True)
class Gerber:
    """One layer.

    Parameters
    ----------
    function : what the file says that it is, like "Copper,L1,Top"
    points : all places that it draws to, millimetres
    flashes : how many pads it flashes
    """

    function: str
    points: tuple[Point, ...]
    flashes: int


def read_gerber(path: Path) -> Gerber:
    """Read a layer.

    Raises
    ------
    GerberFault
        It has no end, no millimetres, another form of numbers, or uses an aperture that it does not define.
    """
    text = path.read_text(encoding="ascii")
    for wanted in ("%FSLAX46Y46*%", "%MOMM*%"):
        if wanted not in text:
            raise GerberFault(f"{path.name} has no {wanted}")
    if not text.rstrip().endswith("M02*"):
        raise GerberFault(f"{path.name} has no end")
    defined = set(re.findall(r"^%ADD(\d+)", text, re.MULTILINE))
    used = set(re.findall(r"^D(\d\d+)\*$", text, re.MULTILINE))
    if used - defined:
        raise GerberFault(f"{path.name} uses aperture {min(used - defined)}, which it does not define")
    if (
        unknown := set(re.findall(r"^%ADD\d+([A-Za-z]\w*)", text, re.MULTILINE))
        - {"C", "R", "O", "P"}
        - set(re.findall(r"^%AM(\w+)\*", text, re.MULTILINE))
    ):
        raise GerberFault(f"{path.name} uses shape {min(unknown)}, which it does not define")
    x = y = 0.0
    points, flashes = [], 0
    for told_x, told_y, _, _, kind in _DRAW.findall(text):
        x = int(told_x) * _UNIT if told_x else x
        y = int(told_y) * _UNIT if told_y else y
        points.append((x, y))
        flashes += kind == "3"
    function = re.search(r"TF\.FileFunction,([^*]*)\*", text)
    return Gerber(function[1] if function else "", tuple(points), flashes)


def read_drill(path: Path) -> Counter[float]:
    """Diameter in millimetres -> how many holes; a slot counts once."""
    text = path.read_text(encoding="ascii")
    if "METRIC" not in text or not text.rstrip().endswith("M30"):
        raise GerberFault(f"{path.name} is not whole, or not metric")
    tools = {name: float(size) for name, size in re.findall(r"^T(\d+)C([\d.]+)$", text, re.MULTILINE)}
    found: Counter[float] = Counter()
    tool = ""
    for line in text.partition("\n%\n")[2].splitlines():
        if change := re.fullmatch(r"T(\d+)", line):
            tool = change[1]
        elif line.startswith("X"):
            found[tools[tool]] += 1
    return found
