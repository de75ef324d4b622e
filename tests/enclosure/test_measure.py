"""Rays and pieces, which the measures of solids rest on, against what can be reckoned by hand."""

from __future__ import annotations

import numpy as np
import pytest
from build123d import Box, Pos, Sphere
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from casing.mesh import Mesh, mesh_of
from enclosure.measure.joined import bodies, welded
from enclosure.measure.kinds import Floats
from enclosure.measure.pieces import split
from enclosure.measure.rays import Caster

HALF = np.array([20.0, 15.0, 4.0])
BOX = mesh_of(Box(40, 30, 8))
BALL = mesh_of(Sphere(10), 0.002, 0.05)
IN_BOX, IN_BALL = Caster(BOX), Caster(BALL)

calm = settings(deadline=None, max_examples=80)
points = arrays(np.float64, (3,), elements=st.floats(-30, 30, width=32))


def way_of(start: Floats, end: Floats) -> Floats:
    length = float(np.linalg.norm(end - start))
    assume(length > 0.1)
    return (end - start) / length


@calm
@given(points, points)
def test_a_ray_meets_a_box_where_its_sides_say(start: Floats, end: Floats) -> None:
    way = way_of(start, end)
    with np.errstate(divide="ignore", invalid="ignore"):
        sides = np.stack([(-HALF - start) / way, (HALF - start) / way])
    assume(np.isfinite(sides).all())
    into, out = sides.min(axis=0).max(), sides.max(axis=0).min()
    assume(abs(out - into) > 1e-3)  # not just a corner
    assume(min(abs(into), abs(out)) > 1e-6)  # it does not begin on the skin
    wanted = np.inf if into > out or out < 0 else into if into > 0 else out
    assert IN_BOX.first(start[None], way).distance[0] == pytest.approx(wanted, abs=1e-6)


@calm
@given(points, points)
def test_a_ray_meets_a_ball_where_its_radius_says(start: Floats, end: Floats) -> None:
    way = way_of(start, end)
    along = -float(start @ way)
    aside = float(np.linalg.norm(start + along * way))
    assume(abs(aside - 10) > 0.5)
    assume(abs(float(np.linalg.norm(start)) - 10) > 0.1)
    half = np.sqrt(max(100 - aside**2, 0.0))
    hits = [d for d in (along - half, along + half) if d > 0 and aside < 10]
    found = IN_BALL.first(start[None], way).distance[0]
    assert found == pytest.approx(min(hits, default=np.inf), abs=0.05)


@calm
@given(arrays(np.float64, (12, 3, 3), elements=st.floats(-9, 9, width=16)), points)
def test_the_grid_loses_no_triangle(soup: Floats, start: Floats) -> None:
    """The same rays, tried on each triangle by solving for it: three unknowns, three equations."""
    ways = np.concatenate([np.eye(3), -np.eye(3), soup.mean(axis=1) - start])
    ways = ways[np.linalg.norm(ways, axis=1) > 1e-3]
    found = Caster(Mesh(soup.reshape(-1, 3), np.arange(36).reshape(-1, 3)), cell=1.3).first(
        np.broadcast_to(start, ways.shape), ways
    )
    for way, distance in zip(ways, found.distance, strict=True):
        sure, others, clear = np.inf, [np.inf], True
        for a, b, c in soup:
            system = np.column_stack([way, a - b, a - c])
            if abs(np.linalg.det(system)) < 1e-6:
                clear = False  # it is seen from the edge, or is none
                continue
            t, u, v = np.linalg.solve(system, a - start)
            rim = min(u, v, 1 - u - v, t)
            sure = min(sure, t) if rim > 1e-6 else sure
            others += [t] if abs(rim) <= 1e-6 else []
        assert distance <= sure + 1e-6
        assert not clear or any(distance == t or abs(distance - t) < 1e-5 for t in (sure, *others))


def test_a_ray_that_leaves_sees_only_backs_and_none_goes_too_far() -> None:
    start = np.array([[0.3, 0.2, 30.0]])
    down = np.array([0.0, 0.0, -1.0])
    assert IN_BOX.first(start, down).distance[0] == pytest.approx(26)
    assert IN_BOX.first(start, down, leaving=True).distance[0] == pytest.approx(34)
    assert np.isinf(IN_BOX.first(start, down, far=25.9).distance[0])


@calm
@given(arrays(np.float64, (20, 3), elements=st.floats(-12, 12, width=32)))
def test_a_point_is_within_the_solid_or_not(some: Floats) -> None:
    depth = 10 - np.linalg.norm(some, axis=1)
    clear = np.abs(depth) > 0.02
    assert (IN_BALL.holds(some) == (depth > 0))[clear].all()
    depth = (HALF - np.abs(some)).min(axis=1)
    clear = np.abs(depth) > 1e-6
    assert (IN_BOX.holds(some) == (depth > 0))[clear].all()


def test_halved_triangles_are_the_same_skin() -> None:
    pieces, owner = split(BOX.corners, 3.0)
    sides = np.linalg.norm(np.roll(pieces, -1, axis=1) - pieces, axis=2)
    areas = np.linalg.norm(np.cross(pieces[:, 1] - pieces[:, 0], pieces[:, 2] - pieces[:, 0]), axis=1) / 2
    assert sides.max() <= 3
    assert np.bincount(owner, areas) == pytest.approx(BOX.areas)


def test_corners_are_joined_and_bodies_told_apart() -> None:
    joined = welded(mesh_of(Box(2, 2, 2) + Pos(5, 0, 0) * Box(1, 1, 1)))
    assert len(joined.points) == 16
    assert len(np.unique(bodies(joined))) == 2
