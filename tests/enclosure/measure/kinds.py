"""Kinds of things that all measures speak of: arrays, places, and a place in words."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
Flags = NDArray[np.bool_]
Triple = tuple[float, float, float]
"""x, y, z: a place in mm, or a way."""


def triple(point: Iterable[float]) -> Triple:
    """A place out of an array or a vector of three."""
    x, y, z = (float(v) for v in point)
    return x, y, z


def words(at: Iterable[float]) -> str:
    """x, y, z as they stand in a sentence: (1.0, 2.0, 3.0)."""
    return "(" + ", ".join(f"{v:.1f}" for v in at) + ")"
