"""How near solids come to each other, and how much of each other's room they take."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations
from typing import NamedTuple

import numpy as np
from build123d import Shape
from scipy.spatial import cKDTree

from casing.piece import Piece
from enclosure.measure.kinds import Floats, Indices, Triple, triple, words
from enclosure.measure.skin import Skin
from enclosure.measure.triangles import apart

TINY = 1e-6
"""What rounding makes of nothing, mm."""
AT_ONCE = 64
"""Triangles of one that are held against all near ones of the other in one go, the nearest first."""


class Gap(NamedTuple):
    """How near two skins come to each other.

    Attributes
    ----------
    size : mm; 0 where they touch or cut each other, or one is within the other
    at : x, y, z about there, mm
    """

    size: float
    at: Triple


def least(one: Skin, other: Skin, upto: float = np.inf) -> Gap | None:
    """The least distance between two skins, exact for their triangles.

    Parameters
    ----------
    upto : nothing is said about skins that are further apart, mm: None. The less, the quicker
    """
    for inner, outer in ((one, other), (other, one)):
        if len(found := inner.within(outer)):
            return Gap(0.0, triple(found[0]))
    return _apart(one, other, upto)


def _apart(one: Skin, other: Skin, upto: float) -> Gap | None:
    """The least distance of the triangles of two skins, neither of which is within the other."""
    if not one.meets(other, upto):
        return None
    reach = upto + TINY
    mine = one.near(other.low - reach, other.high + reach)
    theirs = other.near(one.low - reach, one.high + reach)
    if not len(mine) or not len(theirs):
        return None
    return _best(one, mine, other, theirs, upto)


def closer(shell: Skin, others: Iterable[tuple[str, Skin]], gap: float = 0.5, close: float = 1e-3) -> list[str]:
    """Which of the others come nearer to the shell than they may.

    Parameters
    ----------
    others : name and skin of each
    gap : mm
    close : a gap that is too small by less is right, mm
    """
    named = list(others)
    marks = np.concatenate([np.zeros((0, 3)), *(other.marks for _, other in named)])
    ends = np.cumsum([len(other.marks) for _, other in named], dtype=np.int64)
    inside = np.split(shell.caster.holds(marks), ends)
    found: list[str] = []
    # Behind the last end there is one part more, and nothing in it.
    for (name, other), sunk in zip(named, inside, strict=False):
        within = np.concatenate([other.marks[sunk], shell.within(other)])
        near = Gap(0.0, triple(within[0])) if len(within) else _apart(shell, other, gap)
        if near is not None and near.size < gap - close:
            found.append(f"{name} is {near.size:.2f} mm away at {words(near.at)}; {gap:g} mm is wanted")
    return found


def overlap(one: Shape, other: Shape) -> float:
    """The room that both solids take, mm3: exact, and quick where the boxes round them do not meet."""
    a, b = one.bounding_box(optimal=False), other.bounding_box(optimal=False)
    if any(l1 > h2 or l2 > h1 for l1, h1, l2, h2 in zip(a.min, a.max, b.min, b.max, strict=True)):
        return 0.0
    both = one.intersect(other)
    return sum(float(s.volume) for shape in ([] if both is None else both) for s in shape.solids())


def overlaps(pieces: Sequence[Piece], allowed: float = 0.01) -> list[str]:
    """Which of the pieces take each other's room: more of it than is allowed, mm3."""
    skins = {piece.name: Skin.of(piece.shape) for piece in pieces}
    found: list[str] = []
    for a, b in combinations(pieces, 2):
        near = least(skins[a.name], skins[b.name], 0.0)
        if near is not None and (size := overlap(a.shape, b.shape)) > allowed:
            found.append(f"{a.name} and {b.name} overlap by {size:.2f} mm3, at {words(near.at)}")
    return found


def _best(one: Skin, mine: Indices, other: Skin, theirs: Indices, upto: float) -> Gap | None:
    """The least distance of some pieces of one to some of the other, if it is not over upto."""
    a, b = one.pieces[mine], other.pieces[theirs]
    (low_a, high_a), (low_b, high_b) = _bounds(one, mine), _bounds(other, theirs)
    centres = a.mean(axis=1), b.mean(axis=1)
    round_a, round_b = (
        np.sqrt(np.square(t - c[:, None]).sum(axis=2).max(axis=1)) for t, c in zip((a, b), centres, strict=True)
    )
    tree = cKDTree(centres[1])
    # The middles of the triangles lie on the skins: no gap is larger than the least distance between two of them.
    nearest = tree.query(centres[0])[0]
    best, at = min(upto, float(nearest.min())) + TINY, None
    floor = nearest - round_a - round_b.max()
    order = np.argsort(floor)
    for k in range(0, len(order), AT_ONCE):
        some = order[k : k + AT_ONCE]
        if floor[some[0]] > best:
            break
        lists = tree.query_ball_point(centres[0][some], best + round_a[some] + round_b.max())
        i = np.repeat(some, [len(found) for found in lists])
        j = np.concatenate([np.asarray(found, dtype=np.int64) for found in lists])
        boxes = np.maximum(np.maximum(low_a[:, i] - high_b[:, j], low_b[:, j] - high_a[:, i]), 0.0)
        near = np.einsum("ij,ij->j", boxes, boxes) <= best**2
        i, j = i[near], j[near]
        if not len(i):
            continue
        found = apart(a[i], b[j])
        n = int(found.argmin())
        if found[n] < best:
            best, at = float(found[n]), triple((centres[0][i[n]] + centres[1][j[n]]) / 2)
        if best == 0:
            break
    return None if at is None else Gap(best, at)


def _bounds(skin: Skin, some: Indices) -> tuple[Floats, Floats]:
    """(3, n) each: the least and the largest x, y, z of some pieces."""
    low, high = skin.bounds
    return low[:, some], high[:, some]
