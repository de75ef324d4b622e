"""Distances and overlaps of toys, against what can be reckoned by hand."""

from __future__ import annotations

import numpy as np
import pytest
from build123d import Box, Cylinder, Pos, Rot, Sphere, Torus
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from casing.piece import Piece
from enclosure.measure import gaps
from enclosure.measure.kinds import Floats
from enclosure.measure.skin import Skin
from enclosure.measure.triangles import apart

triangles = arrays(np.float64, (2, 3, 3), elements=st.floats(-4, 4, width=16))
GRID = np.array([(i / 24, j / 24, 1 - (i + j) / 24) for i in range(25) for j in range(25 - i)])


@settings(deadline=None, max_examples=80)
@given(triangles)
def test_the_distance_of_two_triangles_is_the_least_of_all_their_points(both: Floats) -> None:
    exact = float(apart(both[:1], both[1:])[0])
    spots = [GRID @ triangle for triangle in both]
    tried = float(np.linalg.norm(spots[0][:, None] - spots[1][None], axis=2).min())
    step = max(np.linalg.norm(np.roll(t, -1, axis=0) - t, axis=1).max() for t in both) / 24
    assert exact - 1e-9 <= tried <= exact + 2 * step


def test_triangles_that_cut_each_other_are_not_apart() -> None:
    flat = np.array([[[0, 0, 0], [4, 0, 0], [0, 4, 0]]], dtype=np.float64)
    through = np.array([[[1, 1, -1], [1, 1, 1], [1.2, 1, 1]]], dtype=np.float64)
    assert apart(flat, through)[0] == 0
    assert apart(flat, through + np.array([0, 0, 1.5]))[0] == pytest.approx(0.5)
    assert apart(flat, through + np.array([3, 3, 0]))[0] == pytest.approx(np.sqrt(8))


@pytest.mark.parametrize(
    ("at", "wanted"),
    [
        ((13, 0, 0), 3.0),
        ((13, 14, 0), 5.0),
        ((13, 14, 22), 13.0),
        ((10, 0, 0), 0.0),
        ((9, 1, 0), 0.0),
        ((40, 0, 0), 30.0),
    ],
)
def test_boxes_are_so_far_apart(at: tuple[float, float, float], wanted: float) -> None:
    near = gaps.least(Skin.of(Box(10, 10, 10)), Skin.of(Pos(*at) * Box(10, 10, 10)))
    assert near is not None
    assert near.size == pytest.approx(wanted, abs=1e-6)


def test_the_nearest_place_is_found_among_many_that_are_nearly_as_near() -> None:
    """Two large plates 3 mm apart, and a pin of 1 mm on one of them."""
    plate, pin = Pos(0, 0, 4) * Box(90, 90, 2), Pos(17, 23, -0.5 + 3) * Cylinder(0.5, 1)
    one, other = Skin.of(Pos(0, 0, -1) * Box(90, 90, 2)), Skin.of(plate + pin)
    for near in (gaps.least(one, other), gaps.least(other, one)):
        assert near is not None
        assert near.size == pytest.approx(2.0)
        assert near.at == pytest.approx((17, 23, 1), abs=1.5)


def test_a_ring_round_a_rod_is_measured_inside_its_box() -> None:
    ring, rod = Skin.of(Torus(10, 2)), Skin.of(Rot(0, 0, 20) * Cylinder(5, 30))
    near = gaps.least(ring, rod)
    assert near is not None
    assert near.size == pytest.approx(3.0, abs=0.05)
    assert gaps.least(ring, rod, upto=2.9) is None


def test_a_thing_within_another_has_no_gap() -> None:
    outer, inner = Skin.of(Box(20, 20, 20)), Skin.of(Pos(1, 0, 0) * Box(2, 2, 2))
    assert gaps.least(outer, inner) == gaps.least(inner, outer)
    far = Skin.of(Pos(40, 0, 0) * Box(2, 2, 2))
    for shell, thing in ((outer, inner), (inner, outer)):
        (text,) = gaps.closer(shell, [("far", far), ("thing", thing), ("another", far)])
        assert text.startswith("thing is 0.00 mm away at ")
    assert gaps.closer(outer, []) == []


def test_what_is_nearer_than_the_gap_is_named() -> None:
    shell = Skin.of(Box(40, 40, 20) - Box(36, 36, 16))
    things = [
        ("right", Box(35, 35, 15)),
        ("wide", Pos(0.1, 0, 0) * Box(35, 35, 15)),
        ("ball", Pos(0, 0, 4) * Sphere(3.6)),
    ]
    found = gaps.closer(shell, [(name, Skin.of(shape)) for name, shape in things])
    assert [text.split(" mm ")[0] for text in found] == ["wide is 0.40", "ball is 0.40"]
    assert found[0].endswith("; 0.5 mm is wanted")
    assert gaps.closer(shell, [("ball", Skin.of(things[2][1]))], gap=0.35) == []


def test_shared_room_is_reckoned_in_cubic_millimetres() -> None:
    assert gaps.overlap(Box(2, 2, 2), Pos(1, 0.5, 0) * Box(2, 2, 2)) == pytest.approx(3.0)
    assert gaps.overlap(Box(4, 4, 4), Sphere(1)) == pytest.approx(4 / 3 * np.pi, rel=1e-6)
    assert gaps.overlap(Box(2, 2, 2), Pos(2, 0, 0) * Box(2, 2, 2)) == 0
    assert gaps.overlap(Box(2, 2, 2), Pos(9, 0, 0) * Box(2, 2, 2)) == 0


def test_pieces_that_overlap_are_named_and_neighbours_are_not() -> None:
    one, touching = Piece("one", Box(10, 10, 10)), Piece("touching", Pos(10, 0, 0) * Box(10, 10, 10))
    far, within = Piece("far", Pos(0, 0, 10.5) * Box(10, 10, 10)), Piece("within", Pos(0, 0, 1) * Box(2, 2, 2))
    assert gaps.overlaps([one, touching, far]) == []
    (text,) = gaps.overlaps([one, touching, far, within])
    assert text.startswith("one and within overlap by 8.00 mm3")
