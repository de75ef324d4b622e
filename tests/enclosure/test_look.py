"""The raster finds what is nearest, round things look round, and files stay small."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from build123d import Box, Cylinder, Pos, Sphere
from PIL import Image

from casing import look
from casing.mesh import mesh_of
from casing.piece import Piece
from casing.seen import SMALL, View, raster, scene

AHEAD = View.from_eye((0, 0, 1))


@pytest.mark.parametrize("per_mm", [0.7, 3.0, 12.0])
def test_the_raster_of_a_sphere_is_a_sphere(per_mm: float) -> None:
    """Its triangles are small or large against the squares that small ones are sorted by, as the scale goes."""
    what = scene([mesh_of(Sphere(10), 0.005, 0.1)], AHEAD)
    seen = raster(what, np.array([-12.0, -12.0]), np.array([12.0, 12.0]), per_mm)
    rows, columns = seen.depth.shape
    x, y = (np.arange(columns) + 0.5) / per_mm - 12, (np.arange(rows) + 0.5)[:, None] / per_mm - 12
    off = x**2 + y**2
    assert (np.isfinite(seen.depth) == (off < 100))[abs(np.sqrt(off) - 10) > 0.05].all()
    inner = off < 8**2
    assert seen.depth[inner] == pytest.approx(np.sqrt(100 - off[inner]), abs=0.03)


@pytest.mark.parametrize("per_mm", [0.6, 2.0])
def test_the_nearer_one_is_seen_whichever_comes_first(per_mm: float) -> None:
    """Their triangles are of one size, so that they are drawn together if they are small."""
    near, far = mesh_of(Pos(0, 0, 5) * Box(16, 16, 1)), mesh_of(Box(20, 20, 1))
    for order in ([near, far], [far, near]):
        seen = raster(scene(order, AHEAD), np.array([-12.0, -12.0]), np.array([12.0, 12.0]), per_mm)
        (row,), (column,) = seen.at(np.array([[0.5, 0.5]]))
        assert seen.depth[row, column] == pytest.approx(5.5)
        (row,), (column,) = seen.at(np.array([[0.5, 9.0]]))
        assert seen.depth[row, column] == pytest.approx(0.5)
        assert seen.depth[0, 0] == -np.inf


def test_it_does_not_matter_how_many_are_drawn_together(monkeypatch: pytest.MonkeyPatch) -> None:
    what = scene([mesh_of(Sphere(10), 0.05, 0.1)], AHEAD)
    corners = np.array([-12.0, -12.0]), np.array([12.0, 12.0])
    at_once = raster(what, *corners, 4.0)
    monkeypatch.setattr("casing.seen.TOGETHER", max(SMALL) ** 2 * 2)
    few = raster(what, *corners, 4.0)
    assert (at_once.depth == few.depth).all()
    assert (at_once.triangle == few.triangle).all()


def test_a_cylinder_is_round_and_its_rim_sharp() -> None:
    mesh = mesh_of(Cylinder(10, 4), 0.1, 0.5)
    normals, corners = look.rounded(mesh), mesh.corners
    side = abs(mesh.normals[:, 2]) < 0.5
    seam = np.hypot(corners[side][..., 0] - 10, corners[side][..., 1]) < 1e-6
    outwards = corners[side] * [1, 1, 0] / 10
    assert normals[side][~seam] == pytest.approx(outwards[~seam], abs=1e-3)
    assert 0 < seam.sum() < 0.1 * seam.size, "where the face begins and ends"
    assert abs(normals[~side][..., 2]) == pytest.approx(1.0)


def test_facets_are_not_seen() -> None:
    """Brightness along a cylinder lying across changes little from place to place."""
    image = look.picture([Piece("roll", Cylinder(10, 60, rotation=(0, 90, 0)))], (0, 0, 1), width=400)
    tone = np.asarray(image, dtype=np.float64)[:, 200].mean(axis=1)
    middle = len(tone) // 2
    assert abs(np.diff(tone[middle - 40 : middle + 40])).max() < 4
    assert np.ptp(tone[middle - 40 : middle + 40]) > 30


def test_a_picture_is_a_small_file_and_the_same_again(tmp_path: Path) -> None:
    image = look.picture([Piece("ball", Sphere(10), colour=(0.7, 0.5, 0.3))], (1, 1, 1), width=500)
    for name in ("1.png", "2.png"):
        look.save(image, str(tmp_path / name))
    assert (tmp_path / "1.png").read_bytes() == (tmp_path / "2.png").read_bytes()
    assert (tmp_path / "1.png").stat().st_size < 50_000
    with Image.open(tmp_path / "1.png") as read:
        off = abs(np.asarray(read.convert("RGB"), dtype=np.float64) - np.asarray(image, dtype=np.float64))
    assert off.max() < 16
