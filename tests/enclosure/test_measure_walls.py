"""Whether a toy is whole, and how thin its walls are."""

from __future__ import annotations

from math import radians, tan

import numpy as np
import pytest
from build123d import Axis, Box, Cone, Cylinder, Plane, Polygon, Pos, Rot, Shape, Sphere, chamfer, extrude, fillet

from casing.mesh import Mesh, mesh_of
from enclosure.measure import solids, wall

FINE = (0.005, 0.1)
"""Tolerance (mm) and turn (rad) of triangles that are nearly as round as the solid."""


def round_box() -> Shape:
    return fillet(Box(20, 10, 6).edges(), 1.5) - Cylinder(2, 10)


@pytest.mark.parametrize("shape", [Box(3, 4, 5), Sphere(5), round_box(), Cone(4, 1, 9)])
def test_a_whole_solid_has_no_fault(shape: Shape) -> None:
    assert solids.whole(shape) == []


def test_a_solid_that_was_looked_at_has_the_triangles_it_had() -> None:
    coarse = len(mesh_of(Sphere(5)).triangles)
    ball = Sphere(5)
    assert solids.whole(ball) == []
    assert len(mesh_of(ball).triangles) == coarse


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        (Box(2, 2, 2) + Pos(5, 0, 0) * Box(1, 1, 1), "2 solids stand apart"),
        (Box(9, 9, 9) - Box(3, 3, 3), "a hollow without a way in"),
        (Plane.XY * Polygon((0, 0), (3, 0), (0, 3)), "0 solids"),
    ],
)
def test_what_is_not_one_closed_solid_is_found(shape: Shape, words: str) -> None:
    assert any(words in text for text in solids.whole(shape))


def test_bad_triangles_are_found() -> None:
    good = mesh_of(Box(2, 3, 4))
    turned = good.triangles.copy()
    turned[3] = turned[3, ::-1]
    twice = np.concatenate([good.triangles, good.triangles])
    for triangles in (good.triangles[1:], turned, twice):
        assert any("not shared by two" in text for text in solids.shut(Mesh(good.points, triangles), 24.0))
    assert list(solids.shut(good, 24.0)) == []
    assert list(solids.shut(good, 24.03)) == ["the triangles hold 24.0 mm3; the solid 24.0 mm3"]
    assert any("2 bodies" in text for text in solids.shut(mesh_of(Box(1, 1, 1) + Pos(3, 0, 0) * Box(1, 1, 1)), 2.0))
    assert list(solids.shut(Mesh(np.zeros((3, 3)), np.array([[0, 1, 2]])), 1.0)) == ["there are no triangles"]


def tube(thick: float) -> Shape:
    return Cylinder(8, 20) - Cylinder(8 - thick, 20)


def wedge(degrees: float) -> Shape:
    return extrude(Polygon((0, 0), (30, 0), (30, 30 * tan(radians(degrees))), align=None), 20)


def window(land: float) -> Shape:
    """A plate of 2.2 with an opening that leans out at 45 degrees above an upright part; 0: a knife's edge."""
    lean = 2.2 - land
    opening = Pos(0, 0, 1.1 - lean / 2) * Box(20 + 2 * lean, 10 + 2 * lean, lean)
    opening = chamfer(opening.faces().sort_by(Axis.Z)[0].edges(), lean - 1e-4)
    return Box(60, 40, 2.2) - opening - Box(20, 10, 9)


def slope(long: float) -> Shape:
    """A bar on its flat side: from 0.5 it rises by 25 degrees for a while, then by 60."""
    top = 0.5 + long * tan(radians(25))
    corners = (0, 0), (20, 0), (20, top + (20 - long) * tan(radians(60))), (long, top), (0, 0.5)
    return extrude(Polygon(*corners, align=None), 20)


def ledge(wide: float) -> Shape:
    """A plate with an opening that is a little narrower in its lowest 1 mm."""
    return Box(40, 30, 4) - Pos(0, 0, 1) * Box(20, 20, 4) - Box(20 - 2 * wide, 20, 9)


THICK_ENOUGH = {
    "plate": Box(40, 30, 1.6),
    "plate on the skew": Rot(20, 30, 40) * Box(40, 30, 1.6),
    "plate with soft edges": fillet(Box(40, 30, 1.6).edges(), 0.6),
    "bevelled plate": chamfer(Box(40, 30, 1.6).edges(), 0.7),
    "ball": Sphere(5),
    "tube": tube(1.6),
    "wedge of 45 degrees": wedge(45),
    "window with a land": window(0.6),
    "window with a knife's edge": window(0.0),
    "deep blind hole": Box(20, 20, 8) - Pos(0, 0, 1.6) * Cylinder(2, 8),
    "hole a wall away from the side": Box(20, 20, 8) - Pos(10 - 1.6 - 2, 0, 0) * Cylinder(2, 8),
    "opening with a ledge that nobody sees": ledge(1e-4),
}
TOO_THIN = {
    "plate": (Box(40, 30, 1.5), 1.5),
    "plate on the skew": (Rot(20, 30, 40) * Box(40, 30, 1.5), 1.5),
    "plate with soft edges": (fillet(Box(40, 30, 1.5).edges(), 0.6), 1.5),
    "tube": (tube(1.5), 1.5),
    "small ball": (Sphere(0.7), 1.4),
    "deep blind hole": (Box(20, 20, 8) - Pos(0, 0, 1.0) * Cylinder(2, 8), 1.0),
    "hole too near to the side": (Box(20, 20, 8) - Pos(10 - 1.2 - 2, 0, 0) * Cylinder(2, 8), 1.2),
    "rib": (Box(40, 30, 3) + Pos(0, 0, 4) * Box(0.8, 30, 5), 0.8),
    "pin": (Box(10, 10, 3) + Pos(0, 0, 4) * Cylinder(0.5, 5), 1.0),
    "opening with a ledge": (ledge(0.5), 1.0),
    "long slope before a steep one": (slope(3.0), 0.5),
    "groove": (Box(40, 30, 2.2) - Pos(0, 0, 1.1) * Box(1.2, 30, 1.8), 1.3),
    "small thin place in a large plate": (Box(90, 60, 2) - Pos(31, 7, 1) * Box(1.5, 1.5, 1.4), 1.3),
}


@pytest.mark.parametrize("name", THICK_ENOUGH)
def test_walls_that_are_thick_enough_pass(name: str) -> None:
    assert wall.thin(mesh_of(THICK_ENOUGH[name], *FINE)) == []


@pytest.mark.parametrize("name", TOO_THIN)
def test_thin_walls_are_found_and_their_thickness_told(name: str) -> None:
    shape, thick = TOO_THIN[name]
    found = wall.thin(mesh_of(shape, *FINE))
    assert found
    assert float(found[0].split()[0]) == pytest.approx(thick, abs=0.035)


def test_a_thin_place_is_told_where_it_is() -> None:
    (text,) = wall.thin(mesh_of(TOO_THIN["small thin place in a large plate"][0]))
    x, y, _ = (float(v) for v in text.split("(")[1].split(")")[0].split(","))
    assert abs(x - 31) <= 0.8
    assert abs(y - 7) <= 0.8


def test_a_flat_wedge_is_thin_up_to_where_it_is_thick_enough() -> None:
    found = wall.thin_places(mesh_of(wedge(20)), 1.6)
    reach = 1.6 / tan(radians(20))
    lower = found.at[found.at[:, 1] < 1e-6]
    assert lower[:, 0].max() == pytest.approx(reach, abs=1.0)
    assert lower[:, 0].max() <= reach
    assert found.thick[found.at[:, 1] < 1e-6] == pytest.approx(lower[:, 0] * tan(radians(20)), abs=1e-4)


def test_a_place_counts_if_the_ray_back_finds_a_wall_too() -> None:
    """From the slope a ray meets the under side 0.23 or more to the right: over there is the steep face, no wall."""
    found = wall.thin_places(mesh_of(slope(0.2)), 1.6)
    assert (found.at[:, 1] < 0.3).all()
    assert len(found.at)


def test_samples_are_even_and_always_the_same() -> None:
    mesh = mesh_of(Box(40, 30, 2))
    at, whose = wall.samples(mesh, 1.0)
    assert (np.bincount(whose) >= mesh.areas).all()
    top = at[np.abs(at[:, 2] - 1) < 1e-9]
    counts, _, _ = np.histogram2d(top[:, 0], top[:, 1], bins=(8, 6), range=((-20, 20), (-15, 15)))
    assert counts.min() >= 25 / 2
    assert (wall.samples(mesh, 1.0)[0] == at).all()
    assert wall.samples(mesh, 1e-6)[0] == pytest.approx(mesh.corners.mean(axis=1))
