"""A cut through the box across x, hatched, with dimensions that are measured on the solids.

Lines as ISO 128 has them: thick outlines of what is cut, thin hatching at 45 degrees, neighbours hatched the other
way; dimensions as ISO 129: thin lines with arrows, the figure over the line, in millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from build123d import Face, Plane, Rectangle, Wire

from casing.piece import Piece
from casing.seen import Floats

Point = tuple[float, float]
"""z, y in the box's frame, mm."""


class Dimension(NamedTuple):
    """A measure to be drawn.

    Attributes
    ----------
    start, end : the two places that it is between; it is drawn along the axis in which they differ more
    away : how far beside them its line runs, mm, plus is up or to the player
    """

    start: Point
    end: Point
    away: float


def cut(piece: Piece, x: float) -> list[Face]:
    """The faces in which a plane cuts a piece."""
    plane = Plane.YZ.offset(x) * Rectangle(600, 600)
    both = piece.shape.intersect(plane)
    return [face for shape in ([] if both is None else both) for face in shape.faces()]


def _points(wire: Wire) -> Floats:
    """(n, 2): z, y along a wire."""
    found = [
        e.position_at(t)
        for e in wire.order_edges()
        for t in ((0.0,) if e.geom_type.name == "LINE" else np.linspace(0, 0.9, 10))
    ]
    return np.array([(p.Z, p.Y) for p in found])


def _outline(faces: list[Face], low: Floats, high: Floats) -> str:
    """The `d` of an SVG path, back at the left, y downwards."""
    text: list[str] = []
    for face in faces:
        for wire in (face.outer_wire(), *face.inner_wires()):
            flat = (_points(wire) - [low[0], high[1]]) * [1, -1]
            text.append("M" + "L".join(f"{a:.2f} {b:.2f}" for a, b in flat) + "Z")
    return "".join(text)


def _arrow(x: float, y: float, dx: float, dy: float) -> str:
    """A slim arrow head whose tip is at x, y and that comes from dx, dy."""
    a, b = x + 2.2 * dx, y + 2.2 * dy
    left, right = (a - 0.45 * dy, b + 0.45 * dx), (a + 0.45 * dy, b - 0.45 * dx)
    return f'<path d="M{x:.2f} {y:.2f}L{left[0]:.2f} {left[1]:.2f}L{right[0]:.2f} {right[1]:.2f}Z"/>'


def _dimension(wanted: Dimension, low: Floats, high: Floats) -> str:
    (az, ay), (bz, by) = wanted.start, wanted.end
    ax, ay, bx, by = az - low[0], high[1] - ay, bz - low[0], high[1] - by
    thin = 'stroke="black" stroke-width="0.13" fill="none"'
    if abs(bx - ax) >= abs(by - ay):
        y = (ay if wanted.away > 0 else by) - wanted.away
        size, middle = abs(bx - ax), (ax + bx) / 2
        lines = f"M{ax:.2f} {ay:.2f}V{y:.2f}M{bx:.2f} {by:.2f}V{y:.2f}M{ax:.2f} {y:.2f}H{bx:.2f}"
        heads = _arrow(ax, y, np.sign(bx - ax), 0) + _arrow(bx, y, np.sign(ax - bx), 0) if size > 6 else ""
        word = f'<text x="{middle:.2f}" y="{y - 0.8:.2f}" text-anchor="middle">{size:.1f}</text>'
    else:
        x = (ax if wanted.away < 0 else bx) + wanted.away
        size, middle = abs(by - ay), (ay + by) / 2
        lines = f"M{ax:.2f} {ay:.2f}H{x:.2f}M{bx:.2f} {by:.2f}H{x:.2f}M{x:.2f} {ay:.2f}V{by:.2f}"
        heads = _arrow(x, ay, 0, np.sign(by - ay)) + _arrow(x, by, 0, np.sign(ay - by)) if size > 6 else ""
        place = f"translate({x - 0.8:.2f} {middle:.2f}) rotate(-90)"
        word = f'<text transform="{place}" text-anchor="middle">{size:.1f}</text>'
    return f"<path d='{lines}' {thin}/>{heads}{word}"


def section(pieces: Sequence[Piece], x: float, dimensions: Sequence[Dimension], title: str) -> str:
    """SVG in real millimetres: the player is at the right.

    Parameters
    ----------
    x : where the box is cut, mm
    """
    cuts = [(piece, faces) for piece in pieces if (faces := cut(piece, x))]
    corners = [b for _, faces in cuts for f in faces for b in (f.bounding_box().min, f.bounding_box().max)]
    flat = np.array([(p.Z, p.Y) for p in corners])
    low, high = flat.min(axis=0), flat.max(axis=0)
    bodies: list[str] = []
    printed = 0
    for piece, faces in cuts:
        fill = "#d8d8d8"
        if piece.printed:
            fill, printed = f"url(#h{printed % 3})", printed + 1
        look = f'fill="{fill}" fill-rule="evenodd" stroke="black" stroke-width="{0.35 if piece.printed else 0.18}"'
        bodies.append(f'<path d="{_outline(faces, low, high)}" {look}/>')
    size = high - low
    wide, tall = float(size[0]) + 60, float(size[1]) + 52
    drawn = "".join(_dimension(d, low, high) for d in dimensions)
    bar = f"M0 {size[1] + 24:.1f}h20m0 -1v2m-20 -2v2"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.1f}mm" height="{tall:.1f}mm"'
        f' viewBox="-30 -20 {wide:.1f} {tall:.1f}" font-family="sans-serif" font-size="2.8">'
        f"<title>{title}</title><defs>{_hatches()}</defs>"
        f'<rect x="-30" y="-20" width="100%" height="100%" fill="white"/>{"".join(bodies)}{drawn}'
        f'<path d="{bar}" stroke="black" stroke-width="0.2" fill="none"/>'
        f'<text x="0" y="{size[1] + 22:.1f}">20 mm</text>'
        f'<text x="-26" y="{size[1] + 29:.1f}">{title}</text></svg>\n'
    )


def _hatches() -> str:
    """Three ways of hatching."""
    found: list[str] = []
    for k, (w, turn) in enumerate(((1.2, 45), (1.2, -45), (0.8, 45))):
        size = f'width="{w}" height="{w}"'
        where = f'patternUnits="userSpaceOnUse" patternTransform="rotate({turn})"'
        line = f'<path d="M0 0V{w}" stroke="black" stroke-width="0.2"/>'
        found.append(f'<pattern id="h{k}" {size} {where}><rect {size} fill="white"/>{line}</pattern>')
    return "".join(found)
