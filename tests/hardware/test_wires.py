"""The wire list against the netlist: whoever solders what the page says has joined exactly what is to be joined."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

import pytest

from making.circuit import Circuit, CircuitFault, load
from making.harness import End, Harness, harness, is_wired
from making.into import MADE
from making.netlist import read
from making.wires import numbered, page

_END = re.compile(r"\b([A-Z]+\d+)\.(\w+)")

Joined = set[frozenset[End]]


@pytest.fixture(scope="module", name="circuit")
def _circuit() -> Circuit:
    return load()


@pytest.fixture(scope="module", name="nets")
def _nets(circuit: Circuit) -> dict[str, frozenset[End]]:
    """KiCad's own, without what is not there when one builds with wires."""
    nets = read(MADE / "netlist.xml").nets
    return {net: frozenset(end for end in ends if is_wired(circuit, end[0])) for net, ends in nets.items()}


@pytest.fixture(scope="module", name="some")
def _some(circuit: Circuit) -> Harness:
    return harness(circuit, read(MADE / "netlist.xml").nets)


def joined(text: str, ends: Iterable[End]) -> Joined:
    """What hangs together when all rows of the page's tables are soldered: each row joins the ends that it names."""
    group = {end: {end} for end in ends}
    for row in text.splitlines():
        if row.startswith("|"):
            named = [(ref, pin) for ref, pin in _END.findall(row)]
            together = set().union(*(group.setdefault(end, {end}) for end in named))
            for end in together:
                group[end] = together
    return {frozenset(one) for one in group.values()}


def all_ends(nets: Mapping[str, frozenset[End]]) -> list[End]:
    return [end for ends in nets.values() for end in ends]


def test_what_is_soldered_by_the_page_is_exactly_the_netlist(nets: dict[str, frozenset[End]]) -> None:
    assert joined((MADE / "wires.md").read_text("utf-8"), all_ends(nets)) == set(nets.values())


def test_a_wire_that_is_dropped_is_found_whichever_it_is(nets: dict[str, frozenset[End]]) -> None:
    text = (MADE / "wires.md").read_text("utf-8")
    rows = [row for row in text.splitlines() if re.match(r"\| W\d+ \|", row)]
    assert rows
    for row in rows:
        assert joined(text.replace(row, ""), all_ends(nets)) != set(nets.values()), row


def test_a_joint_that_is_dropped_is_found_whichever_it_is(nets: dict[str, frozenset[End]]) -> None:
    text = (MADE / "wires.md").read_text("utf-8")
    rows = [row for row in text.splitlines() if " – " in row]
    assert rows
    for row in rows:
        assert joined(text.replace(row, ""), all_ends(nets)) != set(nets.values()), row


def test_a_wire_on_the_wrong_pin_is_found(nets: dict[str, frozenset[End]]) -> None:
    text = (MADE / "wires.md").read_text("utf-8")
    wrong = text.replace("| SDA | A1.3 (GPIO2/SDA) | DS1.4 (SDA)", "| SDA | A1.3 (GPIO2/SDA) | DS1.3 (SCL)")
    assert wrong != text
    assert joined(wrong, all_ends(nets)) != set(nets.values())


def test_no_wire_is_needless(some: Harness, circuit: Circuit, nets: dict[str, frozenset[End]]) -> None:
    """With one wire fewer a net falls apart: no second way, no loop of ground."""
    for wire in some.wires:
        left = replace(some, wires=tuple(other for other in some.wires if other is not wire))
        assert joined(page(left, circuit), all_ends(nets)) != set(nets.values()), wire


def test_the_analogue_ground_leaves_by_the_codec_alone(some: Harness) -> None:
    sound = {ref for name in ("microphone", "headphones", "piezo") for ref in some.places[name].parts}
    grounds = [wire for wire in some.wires if wire.net == "GND" and sound & {ref for ref, _ in wire.ends}]
    assert len(grounds) == 3
    assert all("A2" in {ref for ref, _ in wire.ends} for wire in grounds)


def test_wires_are_numbered_in_the_order_of_the_steps(some: Harness) -> None:
    steps = [wire.step for wire in numbered(some).values()]
    assert steps == sorted(steps)
    assert set(steps) == set(range(1, len(some.steps) + 1))


def test_nothing_of_an_option_is_needed_for_the_rest(some: Harness, circuit: Circuit) -> None:
    for wire in some.wires:
        for ref, _pin in wire.ends:
            assert circuit.items[ref].option in ("", wire.option), wire


def test_what_feeds_is_thick(some: Harness) -> None:
    feeding = ("5V", "BAT", "VBUS", "GND")
    assert {wire.awg for wire in some.wires if wire.net in feeding} == {24}


def test_a_part_without_a_place_is_refused(circuit: Circuit) -> None:
    extra = replace(circuit.items["R1"], ref="R99")
    more = replace(circuit, items={**circuit.items, "R99": extra})
    with pytest.raises(CircuitFault, match="R99 is on 0 places"):
        harness(more, more.nets())


def test_a_new_wire_without_a_colour_is_refused(circuit: Circuit) -> None:
    nets = {**circuit.nets(), "NEW": [("A1", "7"), ("A2", "12")]}
    with pytest.raises(CircuitFault, match="NEW needs a wire"):
        harness(circuit, nets)


def test_the_page_is_the_same_from_the_circuit_as_from_the_netlist(some: Harness, circuit: Circuit) -> None:
    assert page(harness(circuit, circuit.nets()), circuit) == page(some, circuit)


def test_what_is_committed_is_what_is_made_now(some: Harness, circuit: Circuit) -> None:
    assert (MADE / "wires.md").read_bytes() == page(some, circuit).encode()
