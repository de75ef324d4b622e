"""Turning about an axle, round bars in notches and what holds them there: against the geometry of simple ones."""

from __future__ import annotations

from math import cos, inf, pi, sin, sqrt, tan

import pytest
from build123d import Box, Cylinder, Pos, Rot
from hypothesis import given
from hypothesis import strategies as st

from casing.hull import Span
from casing.jaws import bar
from enclosure.measure.skin import Skin
from enclosure.measure.turning import Place, arm, free_from, nearest, seat, spare, turned

ANGLES = st.floats(-180, 180)
SIZES = st.floats(-50, 50)


@given(z=SIZES, y=SIZES, degrees=ANGLES)
def test_a_turn_keeps_the_distance_and_comes_back(z: float, y: float, degrees: float) -> None:
    about, one = Place(3.0, -7.0), Place(z, y)
    there = one.turned(about, degrees)
    assert there.to(about) == pytest.approx(one.to(about), abs=1e-9)
    assert there.turned(about, -degrees).to(one) == pytest.approx(0.0, abs=1e-9)


def test_a_quarter_turn_takes_z_to_y() -> None:
    assert Place(4.0, 1.0).turned(Place(1.0, 1.0), 90.0).to(Place(1.0, 4.0)) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("degrees", [-30.0, 0.0, 45.0])
def test_solids_turn_as_places_do(degrees: float) -> None:
    about, here = Place(2.0, -3.0), Place(12.0, 5.0)
    skin = turned(Skin.of(Pos(0, here.y, here.z) * Box(1, 1, 1)), about, degrees)
    middle = skin.mesh.points.mean(axis=0)
    there = here.turned(about, degrees)
    assert (middle[2], middle[1]) == pytest.approx((there.z, there.y), abs=1e-6)


def test_the_arm_of_a_line_is_its_distance_from_the_axle() -> None:
    assert arm(Place(0, 0), Place(3, -9), Place(3, 4)) == pytest.approx(3.0)
    assert arm(Place(0, 0), Place(2, 0), Place(0, 2)) == pytest.approx(sqrt(2))


def test_a_bar_that_swings_onto_a_plate_meets_it_where_sines_say() -> None:
    bar = Skin.of(Pos(0, -10, 20) * Rot(0, 90, 0) * Cylinder(1.0, 8))
    plate = Skin.of(Pos(0, 5, 20) * Box(8, 2, 80))
    found = free_from(bar, plate, Place(0.0, -10.0), meets=89.0, free=0.0)
    assert 20 * sin(found * pi / 180) == pytest.approx(13.0, abs=0.05)


def test_a_bar_that_is_never_free_is_said_to_be_so() -> None:
    bar = Skin.of(Box(4, 4, 4))
    assert free_from(bar, Skin.of(Pos(1, 1, 1) * Box(4, 4, 4)), Place(0, 0), meets=-10.0, free=0.0) == inf


def notch(left: float, right: float) -> Skin:
    """A block with a notch below; its deepest line is at z = y = 0, its faces fall by so many degrees."""
    falls = [40 * tan(degrees * pi / 180) for degrees in (left, right)]
    return Skin.of(bar([(-40, -falls[0]), (0, 0), (40, -falls[1]), (40, 9), (-40, 9)], Span(-10, 10)))


@pytest.mark.parametrize(("left", "right"), [(30.0, 30.0), (20.0, 40.0), (45.0, 15.0)])
@pytest.mark.parametrize("radius", [3.0, 9.0])
def test_a_bar_in_a_notch_touches_both_its_sides(left: float, right: float, radius: float) -> None:
    here = seat(notch(left, right), Place(1.0, -25.0), radius, 2.0)
    assert here is not None
    for z, degrees in ((here.z, left), (-here.z, right)):
        down = z * tan(degrees * pi / 180) - here.y
        assert down * cos(degrees * pi / 180) == pytest.approx(radius, abs=0.02)


def test_a_bar_under_a_plain_face_has_no_seat() -> None:
    assert seat(notch(0.0, 0.0), Place(1.0, -25.0), 5.0, 0.0) is None


def test_a_bar_that_is_too_big_for_the_block_has_no_seat() -> None:
    assert seat(Skin.of(Pos(0, 0, 60) * Box(20, 2, 2)), Place(0.0, -25.0), 5.0, 0.0) is None


def test_the_nearest_of_a_block_is_straight_up() -> None:
    assert nearest(notch(0.0, 0.0), Place(3.0, -5.0), 0.0, 0.0, 180.0) == pytest.approx((5.0, 90.0))


@pytest.mark.parametrize(
    ("push", "stays"), [(90.0, 30.0), (70.0, 10.0), (115.0, 5.0), (125.0, -5.0), (50.0, -10.0), (-90.0, -150.0)]
)
def test_a_push_is_balanced_by_two_others_if_it_lies_between_them(push: float, stays: float) -> None:
    assert spare(push, 120.0, 60.0) == pytest.approx(stays)
    assert spare(push + 360.0, 120.0, 60.0) == pytest.approx(stays)
