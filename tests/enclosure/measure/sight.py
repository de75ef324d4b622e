"""How much of a lit field a player does not see who looks from the side, through glass, air and a clear pane."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from enclosure.measure.kinds import Floats, Triple
from enclosure.measure.rays import Caster


class Field(NamedTuple):
    """A lit rectangle.

    Attributes
    ----------
    corner : its lower left corner for who looks at it, mm
    right, up : from there to the next corners, mm; right x up points to who looks
    """

    corner: Triple
    right: Triple
    up: Triple


class Layer(NamedTuple):
    """What lies before the pixels, from them outwards; the air before the last one has no end.

    Attributes
    ----------
    thick : mm
    refraction : its index; 1 for air
    """

    thick: float
    refraction: float


SIDES = {"left": (-1, 0), "right": (1, 0), "above": (0, 1), "below": (0, -1)}


def _spots(field: Field, across: int, high: int) -> Floats:
    corner, right, up = (np.array(v) for v in field)
    u, v = np.meshgrid(np.linspace(0, 1, across), np.linspace(0, 1, high))
    return np.asarray(corner + u.reshape(-1, 1) * right + v.reshape(-1, 1) * up)


def hidden(
    blockers: Sequence[Caster],
    field: Field,
    layers: Sequence[Layer],
    angle: float = 45.0,
    spots: tuple[int, int] = (41, 21),
) -> dict[str, float]:
    """Which share of the field is hidden for an eye at the left, right, above, below: 0 is none, 1 is all.

    The way of the light is reckoned backwards, from the pixels to the eye (Snell's law): within a layer of index n
    its angle is asin(sin(angle) / n). A blocker counts wherever the way meets it, in a layer too.

    Parameters
    ----------
    blockers : what light does not go through; the clear pane is none of them
    layers : from the pixels outwards
    angle : in the air, from straight on, degrees
    spots : how many places are tried from left to right and from below to above, the edges too
    """
    right, up = (np.array(v) / np.linalg.norm(v) for v in (field.right, field.up))
    out = np.cross(right, up)
    found: dict[str, float] = {}
    for side, (x, y) in SIDES.items():
        at = _spots(field, *spots)
        dark = np.zeros(len(at), dtype=np.bool_)
        for thick, refraction in (*layers, Layer(np.inf, 1.0)):
            sine = np.sin(np.radians(angle)) / refraction
            way = out + sine / np.sqrt(1 - sine**2) * (x * right + y * up)
            for blocker in blockers:
                dark |= blocker.first(at, way, thick).triangle >= 0
            if np.isfinite(thick):
                at = at + thick * way
        found[side] = float(dark.mean())
    return found
