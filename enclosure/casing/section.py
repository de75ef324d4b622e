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


ROOM, TAIL = 7.0, 4.0
"""A shorter measure has its arrows outside; how far their lines run on, mm."""


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
    """(n, 2): z, y along a wire.

    Its edges come in order, but each may run either way: one that starts away from where the last ended is turned.
    """
    edges = wire.order_edges()
    bits = [
        np.array(
            [(p.Z, p.Y) for p in e.positions([0.0, 1.0] if e.geom_type.name == "LINE" else np.linspace(0, 1, 25))]
        )
        for e in edges
    ]
    if len(bits) > 1 and _gap(bits[0][0], bits[1]) < _gap(bits[0][-1], bits[1]):
        bits[0] = bits[0][::-1]
    for k in range(1, len(bits)):
        if np.hypot(*(bits[k][-1] - bits[k - 1][-1])) < np.hypot(*(bits[k][0] - bits[k - 1][-1])):
            bits[k] = bits[k][::-1]
    return np.concatenate([b[:-1] for b in bits])


def _gap(place: Floats, bit: Floats) -> float:
    """From a place to the nearer end of a bit of outline, mm."""
    return float(min(np.hypot(*(bit[0] - place)), np.hypot(*(bit[-1] - place))))


def _outline(faces: list[Face], low: Floats, high: Floats) -> str:
    """The `d` of an SVG path, back at the left, y downwards.

    The kernel gives faces, and where an outline begins, in an order of its own each time: here it is always the same.
    """
    loops = [
        np.round((_points(wire) - [low[0], high[1]]) * [1, -1], 2) + 0.0
        for face in faces
        for wire in (face.outer_wire(), *face.inner_wires())
    ]
    return "".join(sorted("M" + "L".join(f"{a:.2f} {b:.2f}" for a, b in _one_way(flat)) + "Z" for flat in loops))


def _one_way(loop: Floats) -> Floats:
    """The loop from its lowest place on, in the sense in which its area counts as positive."""
    x, y = loop.T
    turned = loop if np.dot(x, np.roll(y, -1)) > np.dot(y, np.roll(x, -1)) else loop[::-1]
    return np.roll(turned, -int(np.lexsort(turned.T)[0]), axis=0)


def _arrow(x: float, y: float, dx: float, dy: float) -> str:
    """A slim arrow head whose tip is at x, y and that comes from dx, dy."""
    a, b = x + 2.2 * dx, y + 2.2 * dy
    left, right = (a - 0.45 * dy, b + 0.45 * dx), (a + 0.45 * dy, b - 0.45 * dx)
    return f'<path d="M{x:.2f} {y:.2f}L{left[0]:.2f} {left[1]:.2f}L{right[0]:.2f} {right[1]:.2f}Z"/>'


def _dimension(wanted: Dimension, low: Floats, high: Floats) -> str:
    """Lines, arrows and the figure; if there is no room between the arrows they come from outside, as in ISO 129.

    It is drawn lying, along x from 0 to its size at y = 0, and then put in its place: upright ones are turned.
    """
    (az, ay), (bz, by) = wanted.start, wanted.end
    ax, ay, bx, by = az - low[0], high[1] - ay, bz - low[0], high[1] - by
    lying = abs(bx - ax) >= abs(by - ay)
    if lying:
        line = (ay if wanted.away > 0 else by) - wanted.away
        (start, one), (end, other) = sorted([(ax, ay), (bx, by)])
        place = f"translate({start:.2f} {line:.2f})"
    else:
        line = (ax if wanted.away < 0 else bx) + wanted.away
        (end, other), (start, one) = sorted([(ay, ax), (by, bx)])
        place = f"translate({line:.2f} {start:.2f}) rotate(-90)"
    size = abs(end - start)
    lines = f"M0 {one - line:.2f}V0M{size:.2f} {other - line:.2f}V0"
    if size >= ROOM:
        lines += f"M0 0H{size:.2f}"
        heads = _arrow(0, 0, 1, 0) + _arrow(size, 0, -1, 0)
        word = f'<text x="{size / 2:.2f}" y="-0.8" text-anchor="middle">{size:.1f}</text>'
    else:
        lines += f"M{-TAIL} 0H{size + TAIL + 4:.2f}"
        heads = _arrow(0, 0, -1, 0) + _arrow(size, 0, 1, 0)
        word = f'<text x="{size + TAIL - 1:.2f}" y="-0.8">{size:.1f}</text>'
    thin = 'stroke="black" stroke-width="0.13" fill="none"'
    return f'<g transform="{place}"><path d="{lines}" {thin}/>{heads}{word}</g>'


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
