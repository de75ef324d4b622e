"""What all of it weighs, and where it would balance."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from build123d import CenterOf, Shape

from enclosure.measure.kinds import Triple


class Load(NamedTuple):
    """A solid with its mass, spread evenly in it; of several solids by their volumes.

    Attributes
    ----------
    shape : where it stands, mm
    grams : of all of it
    """

    shape: Shape
    grams: float

    @classmethod
    def dense(cls, shape: Shape, density: float) -> Load:
        """A solid of a density, g/cm3."""
        return cls(shape, float(shape.volume) / 1000 * density)


class Balance(NamedTuple):
    """A mass and its middle.

    Attributes
    ----------
    grams : g
    centre : x, y, z, mm
    """

    grams: float
    centre: Triple


def centre(loads: Iterable[Load]) -> Balance:
    """All the loads together; ValueError where they weigh nothing."""
    total, sums = 0.0, [0.0, 0.0, 0.0]
    for shape, grams in loads:
        middle = shape.center(CenterOf.MASS)
        total += grams
        sums = [s + grams * v for s, v in zip(sums, middle, strict=True)]
    if total <= 0:
        raise ValueError("What weighs nothing has no centre.")
    x, y, z = (s / total for s in sums)
    return Balance(total, (x, y, z))
