"""What a section draws encloses what the plane cuts, and short measures have their arrows outside."""

from __future__ import annotations

import re

import numpy as np
import pytest
from build123d import Axis, Box, Cylinder, Plane, Pos, Rectangle, Shape, Wire, fillet, loft

from casing import section
from casing.piece import Piece
from casing.section import ROOM, Dimension

LYING = Cylinder(5, 20, rotation=(0, 90, 0))


def window() -> Shape:
    """A round plate, a window with slanting sides, a groove: its outline has edges that run either way."""
    plate = fillet(Box(60, 60, 8).edges().filter_by(Axis.X), 2.5)
    cone = loft([(Plane.XY.offset(-1)) * Rectangle(20, 20), (Plane.XY.offset(5)) * Rectangle(26, 26)])
    return plate - cone - Pos(0, 0, -4) * Box(28, 28, 6) - Pos(0, 22, 4) * Box(60, 1.2, 1.2)


def enclosed(wire: Wire) -> float:
    """The area in the outline as it is drawn, mm2."""
    x, y = section._points(wire).T
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2


@pytest.mark.parametrize(
    "shape",
    [window(), LYING, LYING - Cylinder(3, 30, rotation=(0, 90, 0)), Pos(0, 3, 1) * Box(4, 5, 6)],
    ids=["window", "disc", "ring", "box"],
)
def test_the_outline_encloses_what_is_cut(shape: Shape) -> None:
    faces = section.cut(Piece("thing", shape), 0.3)
    assert faces
    for face in faces:
        drawn = enclosed(face.outer_wire()) - sum(enclosed(w) for w in face.inner_wires())
        assert drawn == pytest.approx(face.area, rel=0.015)


@pytest.mark.parametrize("size", [ROOM - 1, ROOM + 1])
@pytest.mark.parametrize("upright", [False, True])
def test_a_figure_does_not_lie_on_its_own_lines(size: float, upright: bool) -> None:
    thing = Piece("thing", Pos(0, size / 2, size / 2) * Box(4, size, size))
    wanted = Dimension((size, 0.0), (size, size), 5.0) if upright else Dimension((0.0, size), (size, size), 5.0)
    text = section.section([thing], 0.0, [wanted], "test")
    found = re.search(rf'<text x="([\d.]+)"[^>]*?(text-anchor="middle")?>{size:.1f}</text>', text)
    assert found is not None
    if size < ROOM:
        assert float(found[1]) > size, "beyond the second arrow"
    else:
        assert float(found[1]) == pytest.approx(size / 2, abs=0.01), "between the arrows"


def test_it_does_not_matter_in_which_order_the_kernel_gives_what_is_cut() -> None:
    faces = section.cut(Piece("thing", window()), 0.3)
    assert len(faces) > 1
    low, high = np.array([-40.0, -40.0]), np.array([40.0, 40.0])
    assert section._outline(faces, low, high) == section._outline(faces[::-1], low, high)
    loop = np.array([[0.0, 0.0], [4.0, 1.0], [3.0, 5.0], [-1.0, 2.0]])
    wanted = section._one_way(loop).tolist()
    for start in range(4):
        turned = np.roll(loop, start, axis=0)
        assert section._one_way(turned).tolist() == section._one_way(turned[::-1]).tolist() == wanted
