"""Triangles in small pieces, and the counting that goes with heaps of different sizes."""

from __future__ import annotations

import numpy as np

from enclosure.measure.kinds import Floats, Indices


def split(corners: Floats, longest: float) -> tuple[Floats, Indices]:
    """Triangles (m, 3, 3) halved at their longest sides until none is longer, and the number of each one's origin."""
    done: list[Floats] = []
    owners: list[Indices] = []
    owner = np.arange(len(corners))
    while len(corners):
        sides = np.linalg.norm(np.roll(corners, -1, axis=1) - corners, axis=2)
        small = sides.max(axis=1, initial=0.0) <= longest
        done.append(corners[small])
        owners.append(owner[small])
        corners, owner, sides = corners[~small], owner[~small], sides[~small]
        turn = (sides.argmax(axis=1)[:, None] + np.arange(3)) % 3
        a, b, c = np.moveaxis(np.take_along_axis(corners, turn[:, :, None], axis=1), 1, 0)
        middle = (a + b) / 2
        corners = np.concatenate([np.stack([a, middle, c], axis=1), np.stack([middle, b, c], axis=1)])
        owner = np.concatenate([owner, owner])
    return np.concatenate([np.zeros((0, 3, 3)), *done]), np.concatenate([np.zeros(0, dtype=np.int64), *owners])


def spread(counts: Indices) -> tuple[Indices, Indices]:
    """For counts 2, 0, 3: whose turn it is, 0 0 2 2 2, and the how many-th, 0 1 0 1 2."""
    whose = np.repeat(np.arange(len(counts)), counts)
    return whose, np.arange(len(whose)) - (np.cumsum(counts) - counts)[whose]
