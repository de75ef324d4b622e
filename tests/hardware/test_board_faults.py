"""A fault put into the board on purpose is found, by KiCad's check or by the rules of the board."""

from __future__ import annotations

import shutil
from copy import deepcopy

import pytest

from hardware.board_faults import (
    Fault,
    add_track,
    add_via,
    call,
    narrow_track,
    print_over,
    put,
    remove,
    remove_track,
    rewire,
    shift_track,
    turn,
    turn_over,
)
from making.board_rules import (
    RULES,
    Rule,
    bare_copper_is_ground,
    capacitors_stand_by_their_chip,
    esd_stands_by_its_socket,
    modules_have_room_below,
    nets_are_the_circuits,
    points_to_measure_at_are_reached,
    quiet_region_is_kept,
    screws_have_room,
    sides_are_kept,
    sockets_open_outwards,
    usb_pair_is_short,
)
from making.bodies import load_bodies
from making.checks import Finding, drc
from making.circuit import load
from making.copper import Board, board_of
from making.into import MADE
from making.layout import load_layout
from making.sexpr import Node, lists, read, write

BOARD = "airladder.kicad_pcb"

# What is done, KiCad's name for what it then finds, and a word of what it finds it on. All are done to one board at
# once, as a check takes seconds; no two of them touch the same part or net.
FOUND_BY_KICAD: dict[str, tuple[Fault, str, str]] = {
    "a track was moved": (shift_track("SCL", 0.4), "clearance", "[SCL]"),
    "a track is missing": (remove_track("LRCLK"), "unconnected_items", "[LRCLK]"),
    "a track is too narrow": (narrow_track("5V", 0.1), "track_width", "[5V]"),
    "a track runs over the pads of another net": (
        add_track("HALF", (20.8, 32.4), (27.4, 32.4), "B.Cu"),
        "shorting_items",
        "[HALF]",
    ),
    "a via is at the edge": (add_via("EN", (111.8, 25.0)), "copper_edge_clearance", "Via [EN]"),
    "a via's hole is too small": (add_via("KILL", (108.0, 14.0), 0.2), "drill_out_of_range", "Via [KILL]"),
    "a via is beside a screw": (add_via("CABLE", (4.0, 6.5)), "items_not_allowed", "Via [CABLE]"),
    "a part stands in another": (put("C17", 27.0, 53.6), "courtyards_overlap", "C17"),
    "a module stands in another": (put("A3", 60.0, 53.594), "courtyards_overlap", "A3"),
    "a connector stands under a module": (put("J6", 90.0, 69.0), "courtyards_overlap", "J6"),
    "print lies on a pad": (print_over("R34"), "silk_over_copper", "R34"),
    "a pad is on another net than in the schematic": (rewire("R26", "2", "GND"), "net_conflict", "R26"),
    "a part has another footprint than in the schematic": (
        call("R31", "Resistor_SMD:R_0603_1608Metric"),
        "footprint_symbol_mismatch",
        "R31",
    ),
    "a part is missing": (remove("R16"), "missing_footprint", "R16"),
}

FOUND_BY_RULES: dict[str, tuple[Fault, Rule]] = {
    "a pad is on another net": (rewire("A2", "11", "MICB"), nets_are_the_circuits),
    "a footprint is another": (call("D8", "Diode_SMD:D_SMB"), nets_are_the_circuits),
    "a capacitor is far from its chip": (put("C5", 60.0, 65.0), capacitors_stand_by_their_chip),
    "the other pin of a supply has no capacitor near": (put("C21", 75.0, 60.0), capacitors_stand_by_their_chip),
    "a diode is far from its jack": (put("D1", 30.0, 60.0), esd_stands_by_its_socket),
    "the USB's diodes are far from it": (put("D6", 75.0, 42.0), esd_stands_by_its_socket),
    "a jack opens inwards": (turn("J1", 180.0), sockets_open_outwards),
    "the USB socket opens inwards": (turn("J5", 180.0), sockets_open_outwards),
    "the switch opens inwards": (turn("SW5", 180.0), sockets_open_outwards),
    "a jack stands back from the edge": (put("J2", 9.0, 55.0), sockets_open_outwards),
    "the USB socket opens downwards": (turn("J5", 90.0), sockets_open_outwards),
    "a test point stands on the lip": (put("TP4", 51.5, 77.0), sockets_open_outwards),
    "a small part is on the player's side": (turn_over("R1"), sides_are_kept),
    "a button is on the back": (turn_over("SW1"), sides_are_kept),
    "a part is beside a screw": (put("R28", 106.0, 6.0), screws_have_room),
    "copper is beside a screw": (add_via("GND", (4.0, 7.0)), screws_have_room),
    "a track lies bare beside a hole for the computer": (
        add_track("3V3", (41.5, 27.8), (41.5, 30.0), "F.Cu"),
        bare_copper_is_ground,
    ),
    "a test point is under a module": (put("TP12", 85.0, 70.0), points_to_measure_at_are_reached),
    "the solder jumper is under a module": (put("JP1", 30.0, 47.0), points_to_measure_at_are_reached),
    "a digital track is under the microphone's parts": (
        add_track("BCLK", (20.0, 40.0), (30.0, 40.0), "F.Cu"),
        quiet_region_is_kept,
    ),
    "a track cuts the ground there": (add_track("MICB", (14.0, 50.0), (34.0, 50.0), "F.Cu"), quiet_region_is_kept),
    "the microphone is beside the power module": (put("FB2", 72.0, 60.0), quiet_region_is_kept),
    "D+ is longer than D-": (add_track("USB_DP", (88.0, 42.0), (80.0, 42.0), "B.Cu"), usb_pair_is_short),
}


@pytest.fixture(scope="module")
def findings(kicad: str, tmp_path_factory: pytest.TempPathFactory) -> list[Finding]:
    """What KiCad finds on a board with all those faults."""
    folder = tmp_path_factory.mktemp("faults") / "made"
    shutil.copytree(MADE, folder, ignore=shutil.ignore_patterns("fab", "pictures", "*.step"))
    tree = read((MADE / BOARD).read_text(encoding="utf-8"))
    for fault, _, _ in FOUND_BY_KICAD.values():
        fault(tree)
    (folder / BOARD).write_text(write(tree), encoding="utf-8")
    return drc(folder / BOARD)


@pytest.mark.parametrize("name", FOUND_BY_KICAD)
def test_kicad_finds_that(name: str, findings: list[Finding]) -> None:
    _, kind, word = FOUND_BY_KICAD[name]
    assert any(word in " ".join((one.text, *one.items)) for one in findings if one.kind == kind)


@pytest.fixture(scope="module")
def bare() -> list[Node]:
    """The board's list without its pours, which no rule reads."""
    tree = read((MADE / BOARD).read_text(encoding="utf-8"))
    pours = list(lists(tree, "zone"))
    return [one for one in tree if one not in pours]


def faulty(bare: list[Node], fault: Fault) -> Board:
    tree = deepcopy(bare)
    fault(tree)
    return board_of(tree)


@pytest.mark.parametrize("name", FOUND_BY_RULES)
def test_a_rule_finds_that(name: str, bare: list[Node]) -> None:
    fault, rule = FOUND_BY_RULES[name]
    assert list(rule(faulty(bare, fault), load(), load_layout()))


@pytest.mark.parametrize(("ref", "x", "y"), [("C16", 18.5, 53.3), ("J7", 90.0, 60.0)])
def test_a_part_without_room_under_its_module_is_found(ref: str, x: float, y: float, bare: list[Node]) -> None:
    found = list(modules_have_room_below(faulty(bare, put(ref, x, y)), load_bodies()))
    assert any(said.startswith(ref) for said in found)


def test_every_rule_has_a_fault_that_it_finds() -> None:
    assert {rule for _, rule in FOUND_BY_RULES.values()} == set(RULES)
