"""How much plastic is round the hole of a screw, and whether its core is free."""

from __future__ import annotations

from math import pi

from build123d import Cylinder, Plane, Shape

from enclosure.measure.gaps import overlap
from enclosure.measure.kinds import Triple


def ring(at: Triple, axis: Triple, inner: float, outer: float, depth: float) -> Shape:
    """A ring, or a rod where inner is 0, that begins at a place and goes along an axis.

    Parameters
    ----------
    at : the middle of its first end, mm
    axis : the way that it goes, of any length
    inner, outer : radii, mm
    depth : its length along the axis, mm
    """
    place = Plane(origin=at, z_dir=axis).location
    rod = Cylinder(outer, depth)
    if inner > 0:
        rod -= Cylinder(inner, depth)
    return place * (Plane.XY.offset(depth / 2).location * rod)


def share(solid: Shape, at: Triple, axis: Triple, inner: float, outer: float, depth: float) -> float:
    """Which share of a ring is plastic, 0 to 1: exact. With inner = 0 how much of a screw's core is not free."""
    return overlap(solid, ring(at, axis, inner, outer, depth)) / (pi * (outer**2 - inner**2) * depth)
