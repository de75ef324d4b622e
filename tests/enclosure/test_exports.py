"""The files of the parts: other readers find the same solids in them, and they are the same bytes each time."""

from __future__ import annotations

import re
import struct
from collections import Counter
from pathlib import Path
from xml.etree import ElementTree
from zipfile import ZipFile

import numpy as np
import pytest
from build123d import Box, Cylinder, Mesher, Pos, import_step

from casing import exports
from casing.assembly import pieces
from casing.figures import ENCLOSURE
from casing.make import distinct
from casing.mesh import Mesh
from casing.piece import Piece
from casing.variants import VARIANTS, Variant
from enclosure.chosen import ALL

MADE = ENCLOSURE / "made"
CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
THING = Piece("thing", Pos(3, 4, 5) * (Box(20, 10, 4) - Cylinder(3, 9)), colour=(0.2, 0.4, 0.6))


def stl(path: Path) -> Mesh:
    data = path.read_bytes()
    (count,) = struct.unpack_from("<I", data, 80)
    rows = np.frombuffer(data, dtype=[("n", "<3f4"), ("p", "<9f4"), ("a", "<u2")], offset=84)
    assert len(rows) == count
    return Mesh(rows["p"].reshape(-1, 3).astype(np.float64), np.arange(3 * count).reshape(-1, 3))


def models(path: Path) -> dict[str, Mesh]:
    """The objects of a 3MF file by their names."""
    with ZipFile(path) as pack:
        root = ElementTree.fromstring(pack.read("3D/3dmodel.model"))
    assert root.get("unit") == "millimeter"
    found = {}
    for thing in root.iter(f"{CORE}object"):
        points = [[float(v.get(k, "")) for k in "xyz"] for v in thing.iter(f"{CORE}vertex")]
        triangles = [[int(t.get(k, "")) for k in ("v1", "v2", "v3")] for t in thing.iter(f"{CORE}triangle")]
        found[str(thing.get("name"))] = Mesh(np.array(points), np.array(triangles))
    assert len(list(root.iter(f"{CORE}item"))) == len(found)
    return found


def closed(mesh: Mesh) -> bool:
    """Each edge is there twice, once in each sense."""
    a, b, c = mesh.triangles.T
    count = Counter((int(p), int(q)) for s in ((a, b), (b, c), (c, a)) for p, q in zip(*s, strict=True))
    return all(n == 1 and count[(q, p)] == 1 for (p, q), n in count.items())


def test_stl_holds_the_solid_on_the_bed(tmp_path: Path) -> None:
    exports.write_stl(THING, tmp_path / "t.stl")
    found = stl(tmp_path / "t.stl")
    assert found.volume == pytest.approx(THING.shape.volume, rel=1e-3)
    assert found.points.min(axis=0) == pytest.approx([0, 0, 0], abs=1e-3)


def test_3mf_is_read_by_another_reader(tmp_path: Path) -> None:
    exports.write_3mf([THING, Piece("other", Box(5, 5, 5))], "test", tmp_path / "t.3mf")
    found = models(tmp_path / "t.3mf")
    assert set(found) == {"thing", "other"}
    assert all(closed(m) for m in found.values())
    read = Mesher().read(str(tmp_path / "t.3mf"))
    assert sorted(s.volume for s in read) == pytest.approx([125.0, THING.shape.volume], rel=1e-3)


def test_step_has_the_place_the_name_and_the_solid(tmp_path: Path) -> None:
    exports.write_step(THING, tmp_path / "t.step")
    read = import_step(tmp_path / "t.step")
    assert read.label == "thing"
    assert read.volume == pytest.approx(THING.shape.volume)
    assert tuple(read.center()) == pytest.approx((3, 4, 5))
    written = re.search(r"COLOUR_RGB\('',([\d.,]+)\)", (tmp_path / "t.step").read_text("utf-8"))
    assert written is not None
    assert [float(v) for v in written[1].split(",")] == pytest.approx(THING.colour)


def test_the_same_bytes_twice(tmp_path: Path) -> None:
    for k in ("one", "other"):
        (tmp_path / k).mkdir()
        exports.write_stl(THING, tmp_path / k / "t.stl")
        exports.write_3mf([THING], "test", tmp_path / k / "t.3mf")
        exports.write_step(THING, tmp_path / k / "t.step")
    for kind in ("stl", "3mf", "step"):
        assert (tmp_path / f"one/t.{kind}").read_bytes() == (tmp_path / f"other/t.{kind}").read_bytes(), kind


@pytest.mark.parametrize("name", distinct())
def test_what_was_made_is_what_the_figures_say(name: str) -> None:
    """STL and STEP in made/ hold the solids of today's figures: who changes a figure runs `sh enclosure/build`."""
    piece = distinct()[name]
    here = stl(MADE / "parts" / f"{name}.stl")
    assert here.volume == pytest.approx(piece.shape.volume, rel=4e-3)
    size = piece.on_the_bed().bounding_box().size
    assert np.ptp(here.points, axis=0) == pytest.approx(tuple(size), abs=0.05)
    (solid,) = import_step(MADE / "parts" / f"{name}.step").solids()
    assert solid.volume == pytest.approx(piece.shape.volume, rel=1e-6)
    assert tuple(solid.center()) == pytest.approx(tuple(piece.shape.center()), abs=1e-4)


@pytest.mark.parametrize("variant", VARIANTS if ALL else VARIANTS[::5], ids=lambda v: v.name)
def test_each_box_has_its_3mf_with_all_that_is_printed(variant: Variant) -> None:
    found = models(MADE / f"{variant.name}.3mf")
    printed = {p.name: p for p in pieces(variant) if p.printed}
    assert set(found) == set(printed)
    for name, mesh in found.items():
        assert closed(mesh), name
        assert mesh.volume == pytest.approx(printed[name].shape.volume, rel=4e-3), name


def test_there_is_nothing_in_made_that_nobody_makes() -> None:
    wanted = {f"{name}.{kind}" for name in distinct() for kind in ("stl", "step")}
    assert {p.name for p in (MADE / "parts").iterdir()} == wanted
    assert {p.stem for p in MADE.glob("*.3mf")} == {v.name for v in VARIANTS}


def test_made_is_small_enough_to_be_kept_with_its_sources() -> None:
    assert sum(p.stat().st_size for p in MADE.rglob("*") if p.is_file()) < 15e6
    assert max(p.stat().st_size for p in MADE.rglob("*.stl")) < 700e3
