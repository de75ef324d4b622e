"""What KiCad really draws on a sheet: the letters and the lines of its SVG, in millimetres of the paper."""

from __future__ import annotations

import re
from collections.abc import Container, Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise
from pathlib import Path
from xml.etree import ElementTree

_NUMBER = re.compile(r"-?\d+\.?\d*")
_COLOUR = re.compile(r"stroke:\s*(#[0-9A-F]{6})")
# The colour of KiCad's cross through parts that are not fitted (making/kicad.py); it lies over them on purpose.
CROSS = "#F4C8C8"

Point = tuple[float, float]
Line = tuple[Point, Point]


@dataclass(frozen=True)
class Words:
    """A text, and the box around its strokes."""

    said: str
    left: float
    top: float
    right: float
    bottom: float

    def over(self, other: Words) -> bool:
        """Whether two texts share any of the paper."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom

    def struck(self, a: Point, b: Point) -> bool:
        """Whether a straight line runs through the box (clipping after Liang and Barsky)."""
        begin, end = 0.0, 1.0
        for start, way, low, high in (
            (a[0], b[0] - a[0], self.left, self.right),
            (a[1], b[1] - a[1], self.top, self.bottom),
        ):
            if way == 0:
                if not low < start < high:
                    return False
                continue
            near, far = sorted(((low - start) / way, (high - start) / way))
            begin, end = max(begin, near), min(end, far)
        return begin < end


@dataclass(frozen=True)
class Drawn:
    """One sheet: its texts, its lines as pairs of points, and apart from those the crosses through parts."""

    words: tuple[Words, ...]
    lines: tuple[Line, ...]
    crosses: tuple[Line, ...]

    def collisions(self) -> list[str]:
        """Each text that lies over another, and each that a line runs through, in words."""
        found = [
            f"'{one.said}' lies over '{other.said}' at {one.left:.1f}, {one.top:.1f}"
            for one, other in combinations(self.words, 2)
            if one.over(other)
        ]
        for one in self.words:
            if any(one.struck(*line) for line in self.lines):
                found.append(f"a line runs through '{one.said}' at {one.left:.1f}, {one.top:.1f}")
        return found

    def crossed(self, names: Container[str]) -> list[str]:
        """Those of some texts that lie under a cross; what is written inside a part, like a pin's number, may."""
        crossed = [one for one in self.words if any(one.struck(*line) for line in self.crosses)]
        return [
            f"'{one.said}' at {one.left:.1f}, {one.top:.1f} is crossed out" for one in crossed if one.said in names
        ]


def drawn(svg: Path) -> Drawn:
    """Read a sheet that KiCad exported as SVG."""
    words: dict[Words, None] = {}
    lines: dict[Line, None] = {}
    crosses: dict[Line, None] = {}
    for element, colour in _walk(ElementTree.parse(svg).getroot(), ""):
        if element.get("class") == "stroked-text":
            points = [point for path in element for point in _points(path)]
            if points:
                across, down = zip(*points, strict=True)
                said = element.findtext("{*}desc", "")
                words[Words(said, min(across), min(down), max(across), max(down))] = None
        else:
            (crosses if colour == CROSS else lines).update(dict.fromkeys(pairwise(_points(element))))
    return Drawn(tuple(words), tuple(lines), tuple(crosses))


def _walk(element: ElementTree.Element, colour: str) -> Iterator[tuple[ElementTree.Element, str]]:
    if found := _COLOUR.search(element.get("style", "")):
        colour = found[1]
    yield element, colour
    if element.get("class") != "stroked-text":
        for child in element:
            yield from _walk(child, colour)


def _points(element: ElementTree.Element) -> list[Point]:
    kind = element.tag.partition("}")[2]
    if kind == "path":
        told = element.get("d", "")
        if "A" in told:  # an arc's radii and flags are no points: its two ends are
            head, _, tail = told.partition("A")
            numbers = [*_numbers(head), *_numbers(tail)[-2:]]
        else:
            numbers = _numbers(told)
        return list(zip(numbers[::2], numbers[1::2], strict=True))
    if kind == "rect":
        x, y, wide, high = (float(element.get(name, "0")) for name in ("x", "y", "width", "height"))
        return [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high), (x, y)]
    if kind == "circle":
        x, y, r = (float(element.get(name, "0")) for name in ("cx", "cy", "r"))
        return [(x - r, y), (x, y - r), (x + r, y), (x, y + r), (x - r, y)]
    return []


def _numbers(text: str) -> list[float]:
    return [float(one) for one in _NUMBER.findall(text)]
