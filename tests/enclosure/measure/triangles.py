"""How far two triangles are apart, for many pairs at a time; exact."""

from __future__ import annotations

import numpy as np

from enclosure.measure.kinds import Flags, Floats


def _dot(a: Floats, b: Floats) -> Floats:
    return np.asarray(np.einsum("ij,ij->i", a, b))


def _over(a: Floats, b: Floats) -> Floats:
    return np.divide(a, b, out=np.zeros_like(a), where=b > 0)


def segments_apart(p: Floats, q: Floats, r: Floats, s: Floats) -> Floats:
    """(n,): squares of the distances of the segments p q and r s, (n, 3) each.

    Ericson, Real-Time Collision Detection (2005), 5.1.9; a segment may be a point.
    """
    d, e, w = q - p, s - r, p - r
    a, b, c = _dot(d, d), _dot(d, e), _dot(e, e)
    f, g = _dot(d, w), _dot(e, w)
    along = np.clip(_over(b * g - c * f, a * c - b * b), 0, 1)
    other = _over(b * along + g, c)
    clipped = np.clip(other, 0, 1)
    along = np.clip(_over(b * clipped - f, a), 0, 1)
    gap = w + along[:, None] * d - clipped[:, None] * e
    return _dot(gap, gap)


def _within(point: Floats, triangle: Floats, normal: Floats) -> Flags:
    """Which points, seen along the normal, lie in the triangle."""
    inside = np.ones(len(point), dtype=np.bool_)
    for k in range(3):
        start, end = triangle[:, k], triangle[:, (k + 1) % 3]
        inside &= _dot(np.cross(end - start, point - start), normal) >= 0
    return inside


def _crosses(one: Floats, other: Floats) -> tuple[Floats, Flags]:
    """How far the corners of one are off the face of the other, squared, and whether a side goes through it."""
    normal = np.cross(other[:, 1] - other[:, 0], other[:, 2] - other[:, 0])
    square = _dot(normal, normal)
    flat = square <= 0
    height = np.stack([_dot(one[:, k] - other[:, 0], normal) for k in range(3)], axis=1)
    least, through = np.full(len(one), np.inf), np.zeros(len(one), dtype=np.bool_)
    for k in range(3):
        over = _within(one[:, k], other, normal) & ~flat
        least = np.where(over, np.minimum(least, _over(height[:, k] ** 2, square)), least)
        h, g = height[:, k], height[:, (k + 1) % 3]
        # In one plane there is no crossing to reckon: the sides of the two are zero apart there, and say so.
        sides = (h * g <= 0) & (h != g) & ~flat
        share = np.divide(h, h - g, out=np.zeros_like(h), where=sides)
        point = one[:, k] + share[:, None] * (one[:, (k + 1) % 3] - one[:, k])
        through |= sides & _within(point, other, normal)
    return least, through


def apart(one: Floats, other: Floats) -> Floats:
    """(n,): distances of the triangles one and other, (n, 3 corners, 3) each; 0 where they cut each other, mm.

    Two triangles that do not cut each other are nearest at two sides, or at a corner and a face.
    """
    least, through = _crosses(one, other)
    second, back = _crosses(other, one)
    least = np.minimum(least, second)
    for k in range(3):
        for n in range(3):
            sides = one[:, k], one[:, (k + 1) % 3], other[:, n], other[:, (n + 1) % 3]
            least = np.minimum(least, segments_apart(*sides))
    return np.where(through | back, 0.0, np.sqrt(np.maximum(least, 0.0)))
