"""What PrusaSlicer says of the parts, and that it would say of a bad one."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from build123d import Box, Location, Polygon, Pos, Rot, Shape, extrude
from hypothesis import given
from hypothesis import strategies as st

from casing import gcode, slicing
from casing.exports import write_stl
from casing.figures import ENCLOSURE, parts
from casing.make import distinct
from casing.piece import Piece
from casing.slicing import SlicerFault, slice_part
from enclosure.chosen import ALL

LIST = ENCLOSURE / "made" / "parts.md"
BRIDGES = 0.02
"""So much of all strands may be supports: under short bridges that the slicer does not take for bridges."""
HELD = {"base-cell": 4800.0, "lid": 4800.0, "base-plain": 4800.0, "clip-saddle": 800.0, "tray": 320.0}
"""So long may they be, mm, a quarter more than measured; in all other parts there are none. The slicer also puts them
under edges in which two slopes of 45 degrees meet, as such an edge leans out further than either."""


def sliced(piece: Piece, folder: Path) -> gcode.Strands:
    """What is printed if the slicer may put supports under it."""
    path = folder / f"{piece.name}.stl"
    write_stl(piece, path)
    return slicing.run(path, folder / "part.gcode", *slicing.SUPPORTS)


def share(found: gcode.Strands) -> float:
    """How much of all strands only holds up others."""
    return found.supports / sum(found.length.values())


def allowed(name: str) -> float:
    """The length of supports that a part may have, mm."""
    return HELD.get("lid" if name.startswith("lid") else name, 0.0)


def outside(found: gcode.Strands) -> bool:
    """Whether it reaches over the printer's bed."""
    return any(a > b for a, b in zip(found.size, parts().numbers("printer.bed"), strict=True))


def thing(shape: Shape) -> Piece:
    return Piece("thing", shape)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("slices")


SLICED = list(distinct()) if ALL else ["base-cell", "lid-1.3", "tray", "clip-saddle", "key-up", "coupon-loose"]
"""In every run the largest and the trickiest; made/parts.md has all of them."""


@pytest.mark.usefixtures("slicer")
@pytest.mark.parametrize("name", SLICED)
def test_each_part_prints_on_the_bed_with_nothing_under_it(name: str, folder: Path) -> None:
    found = sliced(replace(distinct()[name], name=name), folder)
    assert not outside(found)
    assert share(found) <= BRIDGES
    assert found.supports <= allowed(name)
    assert found.seconds > 60


def test_the_list_of_parts_has_them_all_and_none_wants_supports() -> None:
    rows = re.findall(r"^\| (\S+) \| [\dx ]+ \| ([^|]+) \| ([\d.]+) \| ([\d.]+)% \|$", LIST.read_text("utf-8"), re.M)
    assert {name for name, *_ in rows} == set(distinct())
    density = parts().mm("material.density") / 1000
    for name, _, grams, held in rows:
        solid = distinct()[name].shape.volume * density
        assert 0.5 * solid < float(grams) < 1.05 * solid, name
        assert float(held) <= 100 * BRIDGES, name


@pytest.mark.usefixtures("slicer")
def test_a_tray_the_other_way_up_would_want_supports(folder: Path) -> None:
    front = distinct()["tray-front-1.3"]
    found = sliced(replace(front, flat=Location(Rot(180, 0, 0)) * front.flat), folder)
    assert share(found) > 5 * BRIDGES


@pytest.mark.usefixtures("slicer")
def test_a_part_is_sliced_with_and_without_supports(folder: Path) -> None:
    path = folder / "shelf.stl"
    write_stl(distinct()["shelf"], path)
    found = slice_part(path, folder)
    assert (found.supports, found.outside([120, 120, 120]), found.outside([60, 120, 120])) == (0, False, True)
    assert 3 < found.grams < 6 < found.seconds


@pytest.mark.usefixtures("slicer")
def test_a_cube_has_its_size_and_mass(folder: Path) -> None:
    path = folder / "cube.stl"
    write_stl(thing(Box(20, 20, 20)), path)
    found = slice_part(path, folder)
    assert found.size == pytest.approx((20, 20, 20), abs=0.1)
    assert found.supports == 0
    # four lines of 0.45 mm all round and five layers of 0.2 mm at top and bottom are full, a quarter of the rest
    inside = (20 - 2 * 4 * 0.45) ** 2 * (20 - 2 * 5 * 0.2)
    assert found.grams == pytest.approx((8000 - 0.75 * inside) / 1000 * 1.27, rel=0.15)
    assert found.layers == 100


@pytest.mark.usefixtures("slicer")
def test_a_part_comes_out_the_same_twice(folder: Path) -> None:
    """To the byte, but for the date; only to the mass where a container keeps random addresses on."""
    path, out = folder / "clip-lever.stl", folder / "twice.gcode"
    write_stl(distinct()["clip-lever"], path)
    with slicing.one_order():
        fixed = int(Path("/proc/self/personality").read_text("ascii"), 16) & slicing.NO_RANDOM_ADDRESSES
    masses, texts = [], []
    for _ in range(2):
        masses.append(slicing.run(path, out).grams)
        texts.append(re.sub(r"; generated by.*", "", out.read_text("utf-8")))
    assert masses[0] == masses[1] > 0
    assert not fixed or texts[0] == texts[1]


@pytest.mark.usefixtures("slicer")
@pytest.mark.parametrize(("out", "wants"), [(10.0, False), (10.8, True)])
def test_45_degrees_stand_and_47_do_not(out: float, wants: bool, folder: Path) -> None:
    """A wall that leans out by so much over a height of 10 mm."""
    wall = extrude(Rot(90, 0, 0) * Polygon((0, 0), (10, 0), (10 + out, 10), (0, 10), align=None), 20)
    assert (sliced(thing(wall), folder).supports > 100) == wants


@pytest.mark.usefixtures("slicer")
@pytest.mark.parametrize(("turn", "wants"), [(0, True), (180, False)])
def test_a_tee_wants_supports_only_on_its_foot(turn: float, wants: bool, folder: Path) -> None:
    tee = Box(6, 20, 20) + Pos(0, 0, 11) * Box(40, 20, 3)
    found = sliced(replace(thing(tee), flat=Location(Rot(turn, 0, 0))), folder)
    assert found.supports > 100 if wants else found.supports == 0


@pytest.mark.usefixtures("slicer")
def test_what_is_larger_than_the_bed_is_found_though_the_slicer_ends_well(folder: Path) -> None:
    assert outside(sliced(thing(Box(130, 20, 2)), folder))


@pytest.mark.usefixtures("slicer")
def test_a_file_that_is_no_part_is_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "no.stl").write_text("nothing")
    with pytest.raises(SlicerFault, match=r"gave up on no\.stl"):
        slice_part(tmp_path / "no.stl", tmp_path)


def test_a_missing_slicer_is_a_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(slicing, "which", lambda _: None)
    with pytest.raises(SlicerFault, match="sh enclosure/setup"):
        slice_part(tmp_path / "x.stl", tmp_path)


WRITES = 'for f; do [ "$last" != --output ] || echo "G1 {}" >"$f"; last=$f; done'


@pytest.mark.parametrize(
    ("does", "sentence"),
    [
        ("echo it broke >&2; exit 134", r"gave up on x\.stl \(exit code 134\): it broke"),
        ("exit 0", r"gave up on x\.stl \(exit code 0\): no word"),
        (WRITES.format("X5"), "prints nothing"),
        (WRITES.format("X5 E1"), "says no time or no mass"),
    ],
)
def test_a_slicer_that_fails_is_a_sentence(
    does: str, sentence: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = tmp_path / "slicer"
    program.write_text(f"#!/bin/sh\n{does}\n")
    program.chmod(0o755)
    (tmp_path / "x.gcode").write_text("G1 X1 E1\n")  # of another day: it does not count
    monkeypatch.setattr(slicing, "PROGRAM", str(program))
    with pytest.raises(SlicerFault, match=sentence):
        slice_part(tmp_path / "x.stl", tmp_path)


ABSOLUTE = """G90
M82
G92 E0
G1 X10 Y10 Z0.2 F6000
;TYPE:Perimeter
G1 X30 Y10 E1.0
G1 X30 Y40 E2.5
G0 X100 Y100
;TYPE:Support material
G1 X100 Y90 E3.0
G1 Z0.4
;TYPE:Solid infill
G1 X90 E2.0 ; pulled back: not printed
G92 E0
G1 X95 E0.5
; estimated printing time (normal mode) = 1h 2m 3s
; filament used [g] = 4.56
; total filament used [g] = 9.50
; estimated first layer printing time (normal mode) = 41s
""".splitlines()
RELATIVE = """M83
G91
G1 X10 Y10 Z0.2
;TYPE:Perimeter
G1 X20 E1
G1 Y30 E1
""".splitlines()


def test_only_what_pushes_filament_counts() -> None:
    found = gcode.read(ABSOLUTE)
    assert found.low == [10, 10, 0.2]
    assert found.high == [95, 90, 0.4]
    assert found.length == {"Perimeter": 50.0, "Support material": 10.0, "Solid infill": 5.0}
    assert (found.supports, found.layers, found.seconds, found.grams) == (10.0, 2, 3723, 4.56)


def test_relative_moves_are_added_up() -> None:
    found = gcode.read(RELATIVE)
    assert (found.low, found.high) == ([10, 10, 0.2], [30, 40, 0.2])
    assert found.size == [20, 30, 0]


@given(st.lists(st.tuples(*[st.integers(0, 9000)] * 3, st.booleans()), min_size=1, max_size=20))
def test_absolute_and_relative_say_the_same(moves: list[tuple[int, int, int, bool]]) -> None:
    """A way over places in mm/100, each reached with or without a strand."""
    moves = [(0, 0, 0, False), *moves]
    absolute, relative, fed = ["G90", "M82"], ["G91", "M83"], 0
    for (x0, y0, z0, _), (x, y, z, prints) in pairwise(moves):
        fed += prints
        absolute.append(f"G1 X{x / 100} Y{y / 100} Z{z / 100} E{fed}")
        relative.append(f"G1 X{(x - x0) / 100} Y{(y - y0) / 100} Z{(z - z0) / 100} E{int(prints)}")
        if fed == 3:
            absolute.append("G92 E0")
            fed = 0
    drawn = [(a, b) for a, b in pairwise(moves) if b[3] and a[:2] != b[:2]]
    for lines in (absolute, relative):
        if not drawn:
            with pytest.raises(gcode.GcodeFault):
                gcode.read(lines)
            continue
        found = gcode.read(lines)
        ends = [[p[k] / 100 for way in drawn for p in way] for k in range(3)]
        assert found.low == pytest.approx([min(v) for v in ends], abs=1e-6)
        assert found.high == pytest.approx([max(v) for v in ends], abs=1e-6)
        assert found.layers == len({b[2] for _, b in drawn})


@pytest.mark.parametrize(("words", "wanted"), [("41s", 41), ("2d 1h", 176400), ("59m 1s", 3541), ("", 0)])
def test_times_are_read(words: str, wanted: int) -> None:
    assert gcode.seconds(words) == wanted


def test_a_file_that_prints_nothing_is_a_sentence() -> None:
    with pytest.raises(gcode.GcodeFault, match="prints nothing"):
        gcode.read(["G1 X10", "G1 E5"])
