"""Rules of the ways for wires through the tray, and where a wire has to go.

Where legs go through comes from the drill files of the carrier board; no rule reads tray.toml.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from math import cos, pi, sin

import numpy as np
from build123d import Box, Pos

from casing.bought import JACK, KNOB_SWITCH, SWITCH, board, row_place
from casing.figures import ENCLOSURE
from casing.piece import Piece
from enclosure.case import Case, skin
from enclosure.measure.kinds import Floats, words

Place = tuple[float, float]

ON_FOAM = ("codec", "clock", "gauge", "power")
ROD = 1.0
FAB = ENCLOSURE.parent / "hardware" / "made" / "fab"


@cache
def drilled() -> list[Place]:
    """Middles of the carrier board's holes that are neither vias nor for screws; both ends of a slot."""
    found: list[Place] = []
    for name in ("airladder-PTH.drl", "airladder-NPTH.drl"):
        head, _, rest = (FAB / name).read_text("ascii").partition("\n%\n")
        tools = {t: float(size) for t, size in re.findall(r"^T(\d+)C([\d.]+)$", head, re.MULTILINE)}
        for tool, lines in re.findall(r"^T(\d+)$\n((?:[XG].*\n)+)", rest, re.MULTILINE):
            if 0.35 < tools[tool] < 2.0:
                found += [(float(x), float(y)) for x, y in re.findall(r"X([\d.]+)Y([\d.]+)", lines)]
    return found


def legs(case: Case) -> list[Place]:
    """Where something goes through the plate: legs of what stands on it, the display's wires."""
    x, y = row_place(case.parts)
    found = [(x + k * 2.54, y) for k in (-1.5, -0.5, 0.5, 1.5)]
    for piece in case.like(f"{SWITCH}*", f"{JACK}*", f"{KNOB_SWITCH}*"):
        lies = piece.shape.bounding_box()
        found += [
            (px, py)
            for px, py in drilled()
            if lies.min.X - 0.8 < px < lies.max.X + 0.8 and lies.min.Y - 0.8 < py < lies.max.Y + 0.8
        ]
    return found


def wires(case: Case) -> Iterator[str]:
    """A rod goes through for each leg and each wire of the display; solder has room under what lies low."""
    ways = [(x, y, -2.0, 4.2) for x, y in legs(case)]
    solder = case.parts.mm("board.solder")
    for piece in case.like(*ON_FOAM):
        there = next(p for p in board(case.parts) if p.name == piece.name)
        rows = [b for b in (s.bounding_box() for s in there.shape.solids()) if b.max.Z > -0.2]
        dx, dy, _ = np.array(tuple(piece.shape.bounding_box().center())) - _middle(there)
        face = skin(piece).high[2]
        for row in rows:
            long = max(row.size.X, row.size.Y)
            for k in np.arange(-long / 2 + 1.27, long / 2, 2.54):
                x, y = (k, 0.0) if row.size.X > row.size.Y else (0.0, k)
                middle = row.center()
                ways.append((middle.X + dx + x, middle.Y + dy + y, face + 0.01, solder))
    turns = [(0.0, 0.0), *((ROD / 2 * cos(k * pi / 4), ROD / 2 * sin(k * pi / 4)) for k in range(8))]
    for x, y, start, long in ways:
        at = np.array([(x + a, y + b, start) for a, b in turns])
        for piece in case.printed:
            lines = skin(piece).caster
            if (lines.first(at, np.array([0.0, 0.0, 1.0]), long).triangle >= 0).any() or lines.holds(at).any():
                yield f"{piece.name}: no way for a wire at {words((x, y, start))}"


def _middle(there: Piece) -> Floats:
    """Middle of a module without its socket strips."""
    boxes = [b for b in (s.bounding_box() for s in there.shape.solids()) if b.max.Z <= -0.2]
    low = np.min([tuple(b.min) for b in boxes], axis=0)
    high = np.max([tuple(b.max) for b in boxes], axis=0)
    return np.asarray((low + high) / 2)


def openings(case: Case) -> Iterator[str]:
    """There are holes for wires from front to back, and slots for ties, two and two."""
    found = list(_openings(case))
    if sum(min(size) >= 4.9 for size in found) < 4:
        yield "there are fewer than four holes for wires"
    if sum(1.5 <= min(size) <= 2.0 and 2.8 <= max(size) <= 4.0 for size in found) < 6:
        yield "there are fewer than three pairs of slots for ties"


def _openings(case: Case) -> Iterator[Place]:
    """x and y size of what is open through the plate's middle, and not covered by the front part."""
    thick = case.parts.numbers("board.size")[2]
    cut = (Pos(56, 39, thick / 2) * Box(200, 200, 0.2)) & case.piece("tray").shape
    front = skin(case.piece("tray-front")).caster
    for hole in max(cut.faces(), key=lambda f: float(f.center().Z)).inner_wires():
        lies = hole.bounding_box()
        at = np.array([[lies.center().X, lies.center().Y, 0.0]])
        if front.first(at, np.array([0.0, 0.0, 1.0]), 20.0).triangle[0] < 0:
            yield float(lies.size.X), float(lies.size.Y)
