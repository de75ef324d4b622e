"""The parts drawn apart, each with a number, and the numbers' names: for whoever puts the box together."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np
from scipy.ndimage import distance_transform_edt

from casing.lines import Drawn, draw, path
from casing.piece import Piece
from casing.seen import Triple, View

Leader = tuple[float, float, float, float]
"""From a balloon to what it names: x, y, x, y, mm."""

EYE: Triple = (0.85, 0.5, 0.75)
ROUND = 3.6
"""Radius of a balloon, mm."""
ASIDE = 16.0
"""From the drawing to the balloons, mm."""


def _name(piece: Piece, names: dict[str, str]) -> str:
    return names.get(piece.name, piece.name.replace("-", " "))


def exploded(pieces: Sequence[Piece], names: dict[str, str], title: str) -> str:
    """SVG, mm: the pieces moved by their `apart`.

    Parameters
    ----------
    names : what a piece is called in the list, by its name; pieces of one name share a number; "" has none
    """
    view = View.from_eye(EYE)
    drawn = draw(pieces, view, apart=True)
    groups: dict[str, list[int]] = {}
    ways: list[str] = []
    top, left = float(drawn.high[1]), float(drawn.low[0]) - ASIDE - 3 * ROUND
    middles = view.of(np.array([tuple(p.shape.bounding_box().center()) for p in pieces]))
    for k, piece in enumerate(pieces):
        if name := _name(piece, names):
            groups.setdefault(name, []).append(k)
        home, there = middles[k], middles[k] + view.of(np.array([piece.apart]))[0]
        if np.hypot(*(there - home)[:2]) > 4:
            a, b = (home[0] - left, top - home[1]), (there[0] - left, top - there[1])
            ways.append(f"M{a[0]:.2f} {a[1]:.2f}L{b[0]:.2f} {b[1]:.2f}")
    spots = {name: spot for name, which in groups.items() if (spot := pointed_at(drawn, which))}
    balloons, listed = _balloons(spots, top, left, float(drawn.low[0]), float(drawn.high[0]))
    wide, high = float(drawn.high[0]) - left + ASIDE + 3 * ROUND, top - float(drawn.low[1])
    rows = (len(listed) + 2) // 3
    words = [
        f'<text x="{6 + k // rows * wide / 3:.1f}" y="{high + 14 + k % rows * 5.2:.1f}">{k + 1}  {name}</text>'
        for k, name in enumerate(listed)
    ]
    total = high + 14 + rows * 5.2 + 4
    size = f"{wide + 4:.1f} {total + 8:.1f}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-2 -8 {size}" font-family="sans-serif" font-size="3.6">'
        f'<title>{title}</title><rect x="-2" y="-8" width="100%" height="100%" fill="white"/>'
        f'<path d="{"".join(ways)}" fill="none" stroke="#999" stroke-width="0.18" stroke-dasharray="3 0.8 0.4 0.8"/>'
        f'<path d="{path(drawn, top, left)}" fill="none" stroke="black" stroke-width="0.22" stroke-linecap="round"/>'
        f"{balloons}{''.join(words)}</svg>\n"
    )


def pointed_at(drawn: Drawn, which: list[int]) -> tuple[float, float] | None:
    """Where a number's line ends: what is seen of these pieces, as far from its edge as can be; right, up, mm.

    None if nothing of them is seen: a number that points at something else would be wrong.
    """
    mask = np.isin(drawn.whose, which)
    if not mask.any():
        return None
    rows, columns = np.nonzero(mask.any(axis=1))[0], np.nonzero(mask.any(axis=0))[0]
    inner = np.pad(mask[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1], 1)
    row, column = np.unravel_index(int(np.argmax(distance_transform_edt(inner))), inner.shape)
    right, up = drawn.seen.low + (np.array([columns[0] + column, rows[0] + row]) - 0.5) / drawn.seen.per_mm
    return float(right), float(up)


def crossing(a: Leader, b: Leader) -> bool:
    """Whether two lines cross, each x, y, x, y."""

    def side(line: Leader, x: float, y: float) -> float:
        return (line[2] - line[0]) * (y - line[1]) - (line[3] - line[1]) * (x - line[0])

    return side(a, *b[:2]) * side(a, *b[2:]) < 0 and side(b, *a[:2]) * side(b, *a[2:]) < 0


def _untangled(spots: list[tuple[float, float]], x: float, heights: list[float]) -> list[int]:
    """Which height each spot's balloon has, so that no lines cross: two that do change places.

    Each change makes the lines shorter together, so it comes to an end.
    """
    order = list(range(len(spots)))
    lines = [(x, heights[k], *spot) for k, spot in zip(order, spots, strict=True)]
    while crossed := next((p for p in combinations(range(len(spots)), 2) if crossing(*(lines[k] for k in p))), None):
        i, j = crossed
        order[i], order[j] = order[j], order[i]
        for k in crossed:
            lines[k] = (x, heights[order[k]], *spots[k])
    return order


def _balloons(
    places: dict[str, tuple[float, float]], top: float, left: float, low: float, high: float
) -> tuple[str, list[str]]:
    """Circles with numbers at both sides, one under the other, so that no lines cross."""
    middle = float(np.median([x for x, _ in places.values()]))
    sides = ([n for n, p in places.items() if p[0] <= middle], [n for n, p in places.items() if p[0] > middle])
    listed: list[str] = []
    drawn: list[str] = []
    for right, names in enumerate(sides):
        ordered = sorted(names, key=lambda n: -places[n][1])
        heights = _spread([top - places[n][1] for n in ordered], 2.6 * ROUND)
        x = (high + ASIDE if right else low - ASIDE) - left
        spots = [(places[n][0] - left, top - places[n][1]) for n in ordered]
        untangled = _untangled(spots, x, heights)
        for y, name in sorted((heights[k], name) for k, name in zip(untangled, ordered, strict=True)):
            listed.append(name)
            px, py = places[name][0] - left, top - places[name][1]
            drawn.append(f'<path d="M{x:.2f} {y:.2f}L{px:.2f} {py:.2f}" stroke="#555" stroke-width="0.15"/>')
            drawn.append(f'<circle cx="{px:.2f}" cy="{py:.2f}" r="0.6"/>')
            drawn.append(
                f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{ROUND}" fill="white" stroke="black" stroke-width="0.22"/>'
            )
            drawn.append(f'<text x="{x:.2f}" y="{y + 1.3:.2f}" text-anchor="middle">{len(listed)}</text>')
    return "".join(drawn), listed


def _spread(wanted: list[float], apart: float) -> list[float]:
    """Heights in the same order, near to what is wanted and never nearer to each other than apart."""
    found: list[float] = []
    for y in wanted:
        found.append(max(y, found[-1] + apart) if found else y)
    over = max(found[-1] - max(wanted), 0.0) / 2 if found else 0.0
    return [y - over for y in found]
