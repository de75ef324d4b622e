"""How far panels span, and what hangs in the air while it is printed."""

from __future__ import annotations

from math import cos, pi, radians, sin, tan

import numpy as np
import pytest
from build123d import Box, Cone, Cylinder, Pos, Rot, Shape

from casing.mesh import mesh_of
from enclosure.measure import overhang, panel

FINE = (0.005, 0.1)
"""Tolerance (mm) and turn (rad) of triangles that are nearly as round as the solid."""


def tray(*more: Shape) -> Shape:
    """A floor of 2 mm with walls of 2 mm, 80 x 60 outside."""
    form = Pos(0, 0, 5) * Box(80, 60, 10) - Pos(0, 0, 7) * Box(76, 56, 10)
    for shape in more:
        form += shape
    return form


def test_the_section_is_as_large_as_the_solid_says() -> None:
    shape = tray(Pos(3, 4, 5) * Cylinder(5, 10))
    cut = panel.section(mesh_of(shape, *FINE), 4.0, (-45.0, -35.0), (1400, 1800), 0.05)
    assert cut.sum() * 0.05**2 == pytest.approx(80 * 60 - 76 * 56 + 25 * pi, rel=2e-3)


@pytest.mark.parametrize(
    ("shape", "radius"),
    [
        (tray(), 28.0),
        (tray(Pos(0, 0, 3.5) * Box(80, 1.6, 3)), 13.6),
        (tray(Pos(0, 0, 2.2) * Box(80, 1.6, 0.8)), 28.0),  # too low for a rib
        (tray(Pos(0, 0, 3.5) * Box(1.6, 60, 3)), 18.6),
        (tray() - Pos(0, 0, 0) * Box(20, 4, 9), 28.0),  # a hole holds nothing
        (Pos(0, 0, 1) * Box(80, 60, 2), 30.0),
        (Pos(0, 0, 40) * Box(80, 60, 2), 0.0),
    ],
)
def test_the_free_span_of_a_panel(shape: Shape, radius: float) -> None:
    assert panel.unstiffened(mesh_of(shape), 1.0, 3.5).radius == pytest.approx(radius, abs=0.4)


def test_the_free_span_is_that_of_a_place_where_there_is_plastic() -> None:
    """The middle of the hole is 28 from the walls; the best plastic is at its right and left edge, 18 from a wall."""
    found = panel.unstiffened(mesh_of(tray() - Box(40, 30, 9)), 1.0, 3.5)
    assert found.radius == pytest.approx(18.0, abs=0.4)
    assert abs(found.at[0]) == pytest.approx(20.0, abs=0.4)


def test_the_free_span_says_where_it_is() -> None:
    found = panel.unstiffened(mesh_of(tray(Pos(0, -10, 3.5) * Box(80, 1.6, 3))), 1.0, 3.5)
    assert found.at[1] == pytest.approx((28 - 9.2) / 2, abs=0.5)


def at_zero(shape: Shape) -> Shape:
    return Pos(0, 0, -shape.bounding_box().min.Z) * shape


def bridge(span: float, wide: float = 20.0) -> Shape:
    legs = [Pos(side * (span / 2 + 1), 0, 5) * Box(2, wide, 10) for side in (-1, 1)]
    return Pos(0, 0, 11) * Box(span + 4, wide, 2) + legs[0] + legs[1]


def leaning(degrees: float) -> Shape:
    """A cone whose flank leans out from upright."""
    return at_zero(Cone(5, 5 + 8 * tan(radians(degrees)), 8))


def test_a_bridge_is_as_long_as_its_span() -> None:
    (patch,) = overhang.patches(mesh_of(bridge(11)))
    assert patch.area == pytest.approx(220)
    assert patch.bridge == pytest.approx(11)
    assert [patch.narrow, patch.long] == pytest.approx([11, 20])
    assert overhang.unsupported(mesh_of(bridge(11))) == []
    assert len(overhang.unsupported(mesh_of(bridge(13)))) == 1


def test_a_narrow_bridge_is_measured_along_what_holds_it() -> None:
    (patch,) = overhang.patches(mesh_of(bridge(30, wide=4)))
    assert patch.narrow == pytest.approx(4)
    assert patch.bridge == pytest.approx(30)


def test_a_bridge_on_the_skew_is_as_long() -> None:
    (patch,) = overhang.patches(mesh_of(Rot(0, 0, 33) * bridge(11)))
    assert patch.bridge == pytest.approx(11, abs=0.1)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_shelf_that_is_held_at_one_side_is_none(turn: float) -> None:
    shelf = Pos(0, 0, 5) * Box(2, 20, 10) + Pos(4, 0, 9) * Box(8, 20, 2)
    (patch,) = overhang.patches(mesh_of(Rot(0, 0, turn) * shelf))
    assert patch.area == pytest.approx(7 * 20)
    assert np.isinf(patch.bridge)
    (text,) = overhang.unsupported(mesh_of(Rot(0, 0, turn) * shelf))
    x, y = round(4.5 * cos(radians(turn)), 1) + 0.0, round(4.5 * sin(radians(turn)), 1) + 0.0
    assert text.startswith("140.0 mm2 look down at (")
    assert text.endswith(", 8.0), 20.0 x 7.0 mm, not held at two sides")
    assert [(a + b) / 2 for a, b in zip(patch.low, patch.high, strict=True)] == pytest.approx([x, y, 8.0])


@pytest.mark.parametrize(("degrees", "area"), [(30, 0.0), (45, 0.0), (50, 1.0), (70, 1.0)])
def test_flanks_that_lean_out_too_much_are_found(degrees: float, area: float) -> None:
    large = 5 + 8 * tan(radians(degrees))
    flank = pi * (5 + large) * 8 / cos(radians(degrees))
    assert overhang.area(mesh_of(leaning(degrees), *FINE)) == pytest.approx(area * flank, rel=1e-2)
    assert bool(overhang.unsupported(mesh_of(leaning(degrees)))) == bool(area)


def test_the_roof_of_a_hole_across_is_a_bridge() -> None:
    block = Pos(0, 0, 10) * Box(30, 20, 20) - Pos(0, 0, 10) * Rot(90, 0, 0) * Cylinder(4, 30)
    (patch,) = overhang.patches(mesh_of(block, *FINE))
    assert patch.bridge == pytest.approx(2 * 4 * sin(radians(45)), abs=0.3)


def test_a_ledge_within_a_well_is_not_held_inside() -> None:
    well = Pos(0, 0, 10) * Box(20, 20, 20) - Pos(0, 0, 5) * Cylinder(5, 10) - Cylinder(2, 90)
    (patch,) = overhang.patches(mesh_of(well, *FINE))
    assert patch.area == pytest.approx(pi * 21, rel=1e-2)
    assert np.isinf(patch.bridge)
    blind = Pos(0, 0, 10) * Box(20, 20, 20) - Pos(0, 0, 5) * Cylinder(5, 10)
    assert overhang.patches(mesh_of(blind, *FINE))[0].bridge == pytest.approx(10, abs=0.8)


def trench(width: float, closed: bool) -> Shape:
    """A plate with an angled trench from below, 3 mm deep, open at one end or at neither."""
    long = Pos(0, 0, 1.5) * Box(40, width, 3) + Pos(20 - width / 2, 10, 1.5) * Box(width, 20 + width, 3)
    plate = Pos(0, 5, 4) * Box(70, 50, 8)
    return plate - long if closed else plate - long - Pos(-40, 0, 1.5) * Box(60, width, 3)


def test_a_winding_trench_is_as_wide_as_its_arms() -> None:
    for closed in (True, False):
        (patch,) = overhang.patches(mesh_of(trench(4.0, closed)))
        assert patch.bridge == pytest.approx(8 * np.sqrt(2) / (1 + np.sqrt(2)), abs=0.3)  # at its corner
        assert overhang.unsupported(mesh_of(trench(4.0, closed))) == []
    assert len(overhang.unsupported(mesh_of(trench(13.0, True)))) == 1
