"""What a G-code file prints: how far its strands reach, how long the supports among them are, time and mass.

Only moves that push filament count. The file's own comments name what a strand is for (`;TYPE:`).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from math import hypot, inf

_WORD = re.compile(r"([A-Z])(-?\d*\.?\d+)")
_TIME = re.compile(r"estimated printing time \(normal mode\)\s*=\s*(.*)")
_MASS = re.compile(r"^\s*filament used \[g\]\s*=\s*([\d.]+)")
_UNITS = {"d": 86400, "h": 3600, "m": 60, "s": 1}


class GcodeFault(Exception):
    """A file without what is wanted of it. Its text is one sentence."""


@dataclass
class Strands:
    """What is printed.

    Attributes
    ----------
    low, high : the least and the largest x, y, z of the strands' middle lines, mm; supports do not count
    layers : different heights, likewise
    length : of strands by their kind, as "Support material", mm
    seconds, grams : as the file's comments say; 0 where they do not
    """

    low: list[float] = field(default_factory=lambda: [inf, inf, inf])
    high: list[float] = field(default_factory=lambda: [-inf, -inf, -inf])
    layers: int = 0
    length: dict[str, float] = field(default_factory=dict)
    seconds: int = 0
    grams: float = 0.0

    @property
    def size(self) -> list[float]:
        """How far the strands reach along x, y, z, mm; 0 where there are none."""
        return [max(b - a, 0.0) for a, b in zip(self.low, self.high, strict=True)]

    @property
    def supports(self) -> float:
        """Length of all that only holds up something else, mm."""
        return sum(mm for kind, mm in self.length.items() if kind.startswith("Support"))


def seconds(words: str) -> int:
    """ "1h 2m 3s" as seconds."""
    return sum(int(n) * _UNITS[unit] for n, unit in re.findall(r"(\d+)\s*([dhms])", words))


def read(lines: Iterable[str]) -> Strands:
    """What the lines of a G-code file print.

    G0 and G1 move, G90 and G91 count from the origin or from where it stands, M82 and M83 likewise for the filament,
    G92 says where it stands. GcodeFault where no strand is printed.
    """
    found = Strands()
    at = {"X": 0.0, "Y": 0.0, "Z": 0.0, "E": 0.0}
    absolute, filament_absolute, kind = True, True, ""
    heights: set[float] = set()
    for line in lines:
        code, _, comment = line.partition(";")
        if comment.startswith("TYPE:"):
            kind = comment[5:].strip()
        if match := _TIME.search(comment):
            found.seconds = seconds(match[1])
        if match := _MASS.search(comment):
            found.grams = float(match[1])
        words = dict(_WORD.findall(code.upper()))
        command = next(((k, int(float(words[k]))) for k in ("G", "M") if k in words), None)
        if command in {("G", 90), ("G", 91)}:
            absolute = command == ("G", 90)
        elif command in {("M", 82), ("M", 83)}:
            filament_absolute = command == ("M", 82)
        elif command == ("G", 92):
            at |= {k: float(words[k]) for k in at if k in words}
        elif command in {("G", 0), ("G", 1)}:
            to = dict(at)
            for k in at:
                if k in words:
                    counts = filament_absolute if k == "E" else absolute
                    to[k] = float(words[k]) if counts else at[k] + float(words[k])
            way = hypot(to["X"] - at["X"], to["Y"] - at["Y"])
            if to["E"] > at["E"] and way > 0:
                found.length[kind] = found.length.get(kind, 0.0) + way
                if not kind.startswith("Support"):
                    heights.add(round(to["Z"], 4))
                    for n, k in enumerate("XYZ"):
                        found.low[n] = min(found.low[n], at[k], to[k])
                        found.high[n] = max(found.high[n], at[k], to[k])
            at = to
    if not found.length:
        raise GcodeFault("The G-code prints nothing; a file that a slicer wrote is wanted.")
    found.layers = len(heights)
    return found
