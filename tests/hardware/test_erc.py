"""KiCad's electrical rule check: silent about the circuit as it is, and loud about each fault put in on purpose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from making import kicad as kicad_cli
from making.checks import erc
from making.circuit import Circuit, load
from making.schematic import write

pytestmark = pytest.mark.usefixtures("kicad")


def rewired(circuit: Circuit, nets: Mapping[tuple[str, str], str | None]) -> Circuit:
    """The circuit with some pins on other nets; a pin on None is forgotten, and not marked as left open."""
    items = dict(circuit.items)
    for (ref, pin), net in nets.items():
        pins = {name: of for name, of in items[ref].pins.items() if name != pin} | ({pin: net} if net else {})
        items[ref] = replace(items[ref], pins=pins)
    return replace(circuit, items=items)


def joined(circuit: Circuit, one: str, other: str) -> Circuit:
    """The circuit with everything on one net moved to another."""
    on = circuit.nets()[one]
    return rewired(circuit, dict.fromkeys(on, other))


def found(circuit: Circuit, folder: Path) -> set[str]:
    return {violation.kind for violation in erc(write(circuit, folder))}


def test_the_circuit_has_no_violation_of_any_severity(tmp_path: Path) -> None:
    assert erc(write(load(), tmp_path)) == []


@pytest.mark.parametrize(
    ("nets", "kinds"),
    [
        pytest.param({("DS1", "3"): None}, {"pin_not_connected"}, id="the display's SCL is open"),
        pytest.param(
            {("A2", "7"): "DACDAT", ("A2", "8"): "ADCDAT"},
            {"pin_to_pin"},
            id="the codec's two data pins are swapped",
        ),
        pytest.param({("A2", "5"): "BLCK"}, {"global_label_dangling"}, id="the name of a net has a typing error"),
        pytest.param({("A5", "7"): None}, {"power_pin_not_driven"}, id="the boost's output is left off"),
        pytest.param({("A5", "2"): None}, {"pin_not_connected"}, id="a ground of the charger is left off"),
        pytest.param({("A1", "3"): "5V"}, {"pin_to_pin"}, id="5 V goes to a pin of the computer"),
    ],
)
def test_a_fault_is_found(nets: Mapping[tuple[str, str], str | None], kinds: set[str], tmp_path: Path) -> None:
    assert kinds <= found(rewired(load(), nets), tmp_path)


def test_5_v_joined_to_3_3_v_is_found(tmp_path: Path) -> None:
    assert "pin_to_pin" in found(joined(load(), "5V", "3V3"), tmp_path)


def test_a_part_that_the_drawing_does_not_know_is_still_checked(tmp_path: Path) -> None:
    circuit = load()
    new = replace(circuit.items["C1"], ref="C99", pins={"1": "3V3"}, open=())
    told = erc(write(replace(circuit, items={**circuit.items, "C99": new}), tmp_path))
    assert [one.kind for one in told] == ["pin_not_connected"]
    assert "C99" in told[0].items[0]


def test_a_net_that_lost_a_pin_of_its_drawn_wires_stays_joined(tmp_path: Path) -> None:
    """Its lines are left out, and its other pins are joined by name: the fault found is the one put in."""
    told = erc(write(rewired(load(), {("R25", "2"): None}), tmp_path))
    assert [(one.kind, one.items[0].split()[1]) for one in told] == [("pin_not_connected", "R25")]


def test_a_failed_call_is_told_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(kicad_cli.KicadFault, match=r"^kicad-cli sch erc .* failed with \d+: [^\n]*$"):
        erc(tmp_path / "nothing.kicad_sch")


def test_a_missing_kicad_is_told_in_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    kicad_cli.version.cache_clear()
    with pytest.raises(kicad_cli.KicadFault, match="kicad-cli is not installed; install KiCad 9"):
        kicad_cli.version()
    assert not kicad_cli.installed()
