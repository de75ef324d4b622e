"""The board is the circuit's, passes KiCad's check and the rules, and comes out the same each time."""

from __future__ import annotations

import csv
import shutil
import subprocess
from itertools import pairwise
from pathlib import Path

import pytest

from making import footprints
from making.board_rules import RULES, Rule, modules_have_room_below
from making.bodies import load_bodies, step
from making.checks import drc
from making.circuit import HARDWARE, load
from making.copper import Board, load_board
from making.into import MADE
from making.layout import load_layout
from making.project import CLASSES, NARROWEST, VIA, WIDTH, width_of
from making.tracks import VIA as VIA_LAYER
from making.tracks import load_tracks

PATH = MADE / "airladder.kicad_pcb"
# KiCad's own Python module belongs to the system's Python.
SYSTEM = "/usr/bin/python3"


@pytest.fixture(scope="module")
def board() -> Board:
    return load_board(PATH)


def test_kicads_check_finds_nothing_of_any_severity_and_the_schematic_is_the_same(made_here: bool) -> None:
    """Another KiCad has other libraries, and says so of each footprint."""
    allowed = set() if made_here else {"lib_footprint_mismatch"}
    assert [finding for finding in drc(PATH) if finding.kind not in allowed] == []


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_the_board_keeps(rule: Rule, board: Board) -> None:
    assert list(rule(board, load(), load_layout())) == []


def test_parts_under_modules_have_room(board: Board) -> None:
    assert list(modules_have_room_below(board, load_bodies())) == []


def test_the_tracks_on_the_board_are_those_of_the_table(board: Board) -> None:
    def rounded(tracks: object) -> list[tuple[object, ...]]:
        return sorted(
            (t.net, t.layer, t.width, *sorted((tuple(round(x, 3) for x in t.a), tuple(round(x, 3) for x in t.b))))
            for t in tracks  # type: ignore[attr-defined]
        )

    assert rounded(board.tracks) == rounded(load_tracks())


def test_tracks_are_as_wide_as_their_class_or_narrow_near_a_pad(board: Board) -> None:
    widths = {NARROWEST, WIDTH, VIA, *(width for wide, neck, _ in CLASSES.values() for width in (wide, neck))}
    assert {track.width for track in board.tracks} <= widths
    for _, neck, nets in CLASSES.values():
        for net in nets:
            pads = [pad.at for part in board.parts.values() for pad in part.pads if pad.net == net]
            for track in board.tracks:
                if track.net == net and track.layer != VIA_LAYER and track.width < width_of(net):
                    assert track.width == neck
                    assert min(abs(track.a[0] - x) + abs(track.a[1] - y) for x, y in pads) < 6.0, track


def test_buttons_stand_in_one_row_far_enough_apart(board: Board) -> None:
    row = [board.parts[ref] for ref in ("SW4", "SW2", "SW1", "SW3")]
    assert len({part.at[1] for part in row}) == 1
    gaps = [b.at[0] - a.at[0] for a, b in pairwise(row)]
    assert min(gaps) >= 16.0
    # A display of 2.42 inches, 72 x 43 mm, over the same row of pins stays clear of them.
    display_row = board.parts["DS1"].pads[0].at[1]
    assert display_row + 43.0 < min(part.body[1] for part in row)


def test_jacks_are_far_enough_apart_for_their_plugs(board: Board) -> None:
    heights = sorted(part.at[1] for ref, part in board.parts.items() if ref in ("J1", "J2", "J3", "J4"))
    assert min(b - a for a, b in pairwise(heights)) >= 12.0


def test_the_print_says_what_is_what() -> None:
    text = PATH.read_text(encoding="utf-8")
    for words in ("Airladder", "carrier board, revision A", "CERN-OHL-S-2.0, untested"):
        assert f'(gr_text "{words}"' in text
    for item in load().items.values():
        for sign in item.part.polarity.values():
            assert f'(gr_text "{sign}"' in text
        if item.part.key == "test-point":
            assert f'(gr_text "{item.pins["1"]}"' in text


def test_every_part_that_a_machine_places_is_in_its_list(board: Board) -> None:
    with (MADE / "fab" / "airladder-smd.csv").open(encoding="utf-8") as file:
        rows = {row["Ref"]: row for row in csv.DictReader(file)}
    surface = {
        ref
        for ref, item in load().items.items()
        if not item.part.copper and all(pad.front != pad.back for pad in board.parts[ref].pads if pad.number)
    }
    # The USB socket's shell goes through the board, and KiCad's footprint calls it a surface part all the same.
    assert set(rows) == surface | {"J5"}
    height = load_layout().size[1]
    for ref, row in rows.items():
        x, y = board.parts[ref].at
        assert (float(row["PosX"]), float(row["PosY"])) == pytest.approx((x, height - y), abs=0.002), ref
        assert row["Side"] == "bottom"


def test_all_parts_that_are_bought_are_in_the_other_list() -> None:
    with (MADE / "fab" / "airladder-all.csv").open(encoding="utf-8") as file:
        listed = {row["Ref"] for row in csv.DictReader(file)}
    assert listed == {ref for ref, item in load().items.items() if not item.part.copper}


@pytest.mark.usefixtures("same_kicad")
def test_the_board_comes_out_the_same_and_is_what_lies_in_made(tmp_path: Path) -> None:
    shutil.copyfile(MADE / "netlist.xml", tmp_path / "netlist.xml")
    shutil.copyfile(MADE / "airladder.kicad_pro", tmp_path / "airladder.kicad_pro")
    footprints.write_all(tmp_path / "airladder.pretty", load_layout().hole_keepout)
    words = [SYSTEM, "-m", "making.board", "--into", str(tmp_path)]
    world = {"PYTHONPATH": str(HARDWARE), "HOME": str(tmp_path), "KICAD_CONFIG_HOME": str(tmp_path / "config")}
    ended = subprocess.run(words, env=world, check=True, timeout=120, capture_output=True, text=True)
    assert ended.stderr == ""  # every name found room to be printed
    for name in ("airladder.kicad_pcb", "airladder.kicad_pro", "airladder.kicad_dru"):
        assert (tmp_path / name).read_bytes() == (MADE / name).read_bytes(), name
    for folder in ("airladder.pretty", "bodies"):
        fresh = {path.name: path.read_bytes() for path in (tmp_path / folder).iterdir()}
        assert fresh == {path.name: path.read_bytes() for path in (MADE / folder).iterdir()}


@pytest.mark.parametrize("name", load_bodies())
def test_a_body_is_closed(name: str) -> None:
    """Each edge of a box is used twice, once each way."""
    text = step(name, load_bodies()[name])
    boxes = len(load_bodies()[name])
    assert text.count("EDGE_CURVE(") == 12 * boxes
    assert text.count("ADVANCED_FACE(") == 6 * boxes
    uses = [line.split("*,*,")[1].rstrip(");") for line in text.splitlines() if "ORIENTED_EDGE(" in line]
    assert len(uses) == len(set(uses)) == 24 * boxes


def test_every_part_has_a_body_or_is_copper() -> None:
    for ref, item in load().items.items():
        name = item.part.footprint.partition(":")[2]
        assert item.part.copper or item.part.instead_of or name in load_bodies(), ref
