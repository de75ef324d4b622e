"""A solid that turns about an axle along x: where it then is, where it meets another, what a round bar leans on.

All of it looks along x: a place is z, y; plus turns from y to -z, as a jaw behind the axle opens downwards.
"""

from __future__ import annotations

from math import cos, hypot, inf, radians, sin
from typing import NamedTuple

import numpy as np

from casing.mesh import Mesh
from enclosure.measure import gaps
from enclosure.measure.skin import Skin

HALVINGS = 12
STEPS = 12
NEAR = 0.01
"""So near a bar comes to both sides of its notch, mm."""


class Place(NamedTuple):
    """z to the right, y up; mm."""

    z: float
    y: float

    def turned(self, about: Place, degrees: float) -> Place:
        """Where it comes to with a turn about another place."""
        angle, dz, dy = radians(degrees), self.z - about.z, self.y - about.y
        return Place(about.z + dz * cos(angle) - dy * sin(angle), about.y + dz * sin(angle) + dy * cos(angle))

    def to(self, other: Place) -> float:
        """How far it is to another place, mm."""
        return hypot(other.z - self.z, other.y - self.y)


def arm(about: Place, one: Place, other: Place) -> float:
    """How far the line through two places passes from a third, mm."""
    dz, dy = other.z - one.z, other.y - one.y
    return abs((one.z - about.z) * dy - (one.y - about.y) * dz) / hypot(dz, dy)


def turned(skin: Skin, about: Place, degrees: float) -> Skin:
    """The triangles with a turn about an axle."""
    angle, middle = -radians(degrees), np.array([0.0, about.y, about.z])
    turn = np.array([[1, 0, 0], [0, cos(angle), -sin(angle)], [0, sin(angle), cos(angle)]])
    return Skin(Mesh((skin.mesh.points - middle) @ turn.T + middle, skin.mesh.triangles))


def free_from(skin: Skin, other: Skin, about: Place, meets: float, free: float) -> float:
    """The turn, degrees, next to which a solid begins to meet another.

    Parameters
    ----------
    meets : it is taken to meet the other there
    free : it must be free there; the answer is infinite where it is not
    """
    if gaps.least(turned(skin, about, free), other, 0.0) is not None:
        return inf
    for _ in range(HALVINGS):
        middle = (meets + free) / 2
        if gaps.least(turned(skin, about, middle), other, 0.0) is not None:
            meets = middle
        else:
            free = middle
    return free


def nearest(skin: Skin, middle: Place, x: float, low: float, high: float) -> tuple[float, float]:
    """How near a skin comes to a place in the plane of one x, mm, and in which direction.

    Parameters
    ----------
    low, high : directions that are looked at, degrees from +z over +y
    """
    ways = np.arange(low, high, 0.25)
    spots = np.tile([x, middle.y, middle.z], (len(ways), 1))
    along = np.radians(ways)
    rays = np.stack([np.zeros(len(ways)), np.sin(along), np.cos(along)], axis=1)
    found = skin.caster.first(spots, rays).distance
    k = int(found.argmin())
    return float(found[k]), float(ways[k])


def seat(skin: Skin, start: Place, radius: float, x: float) -> Place | None:
    """Where the axis of a round bar comes to lie in a notch over it, touching on both sides; none where it cannot.

    Parameters
    ----------
    start : in the open below the notch
    x : the plane that is looked at, mm
    """
    here = start
    for _ in range(STEPS):
        (a, left), (b, right) = nearest(skin, here, x, 90.0, 180.0), nearest(skin, here, x, 0.0, 90.0)
        if not np.isfinite(a + b):
            return None
        if max(abs(a - radius), abs(b - radius)) < NEAR:
            return here
        ways = np.array([[cos(radians(way)), sin(radians(way))] for way in (left, right)])
        if abs(np.linalg.det(ways)) < NEAR:
            return None
        z, y = np.linalg.solve(ways, [a - radius, b - radius])
        here = Place(here.z + float(z), here.y + float(y))
    return None


def spare(push: float, left: float, right: float) -> float:
    """By how many degrees a push stays between two others that balance it together; minus: nothing but friction does.

    Parameters
    ----------
    push : direction of the push, degrees
    left, right : directions in which two fixed things lie that it presses against; right is the lesser, and they are
        less than half a turn apart
    """
    lean = (push - right + 180) % 360 - 180
    return min(lean, left - right - lean)
