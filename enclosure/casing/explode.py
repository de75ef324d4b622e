"""The parts drawn apart, each with a number, and the numbers' names: for whoever puts the box together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from build123d import Location

from casing.lines import draw, path
from casing.piece import Piece
from casing.seen import Triple, View

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
    out = [replace(p, shape=Location(p.apart) * p.shape) for p in pieces]
    drawn = draw(out, view)
    groups: dict[str, list[tuple[float, float]]] = {}
    ways: list[str] = []
    top, left = float(drawn.high[1]), float(drawn.low[0]) - ASIDE - 3 * ROUND
    for piece, there in zip(pieces, out, strict=True):
        middle = np.array(tuple(there.shape.bounding_box().center()))
        seen = view.of(middle[None])[0]
        if name := _name(piece, names):
            groups.setdefault(name, []).append((float(seen[0]), float(seen[1])))
        home = view.of(np.array(tuple(piece.shape.bounding_box().center()))[None])[0]
        if np.hypot(*(seen - home)[:2]) > 4:
            a, b = (home[0] - left, top - home[1]), (seen[0] - left, top - seen[1])
            ways.append(f"M{a[0]:.2f} {a[1]:.2f}L{b[0]:.2f} {b[1]:.2f}")
    balloons, listed = _balloons(groups, top, left, float(drawn.low[0]), float(drawn.high[0]))
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


def _balloons(
    groups: dict[str, list[tuple[float, float]]], top: float, left: float, low: float, high: float
) -> tuple[str, list[str]]:
    """Circles with numbers at both sides, one under the other in the order of what they point at."""
    places = {name: max(spots, key=lambda s: abs(s[0] - (low + high) / 2)) for name, spots in groups.items()}
    middle = float(np.median([x for x, _ in places.values()]))
    sides = ([n for n, p in places.items() if p[0] <= middle], [n for n, p in places.items() if p[0] > middle])
    listed: list[str] = []
    drawn: list[str] = []
    for right, names in enumerate(sides):
        ordered = sorted(names, key=lambda n: -places[n][1])
        heights = _spread([top - places[n][1] for n in ordered], 2.6 * ROUND)
        x = (high + ASIDE if right else low - ASIDE) - left
        for name, y in zip(ordered, heights, strict=True):
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
