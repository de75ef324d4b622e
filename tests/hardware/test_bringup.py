"""The numbers of BRINGUP.md are those that the firmware judges by, those of the pin map and those of the circuit."""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Mapping
from dataclasses import asdict

import pytest

from airladder.appliance import condition
from airladder.devices import gauge
from airladder.devices.pins import pin_map
from airladder.hearing.block import RATE
from airladder.selftest import bounce, capsule, cell, contacts, pace, supply
from airladder.selftest.checks import ABOUT
from airladder.selftest.header import HEADER
from making import sound_out
from making.circuit import HARDWARE, Circuit, load
from making.codec import FULL_SCALE, levels
from making.values import of, parallel

_NUMBER = re.compile(r"(?:(?<=GPIO)|(?<![\w.]))(-?(?:0x[0-9A-F]+|\d+(?:\.\d+)?))(?!\w)")
_POINT = re.compile(r"(TP\d+) \((\w+)\)(?: is)? ?([A-Z]+\d+\.\w+)?")
_NAMED = re.compile(r"([^|;()`]*)`([a-z_][\w '-]*)`")

Numbers = tuple[float, ...]


def told(text: str) -> list[tuple[str, Numbers]]:
    """Each name in code type of the tables, with the numbers that stand before it."""
    found = []
    for row in text.splitlines():
        if row.startswith("|"):
            for words, name in _NAMED.findall(row):
                if numbers := tuple(float(int(n, 16)) if "x" in n else float(n) for n in _NUMBER.findall(words)):
                    found.append((name, numbers))
    return found


def in_source(module: object, pattern: str) -> Numbers:
    """The numbers of a sentence of the firmware."""
    found = re.search(pattern, inspect.getsource(module))  # type: ignore[arg-type]
    assert found, pattern
    return tuple(float(number) for number in found.groups())


def pulled_up(circuit: Circuit, *more: float) -> float:
    """What codec and display pull SDA up with, and whatever does besides, ohms to the nearest hundred."""
    known = [next(iter(circuit.items[ref].part.pull_ups.values()))[0] for ref in ("A2", "DS1")]
    return round(parallel([*known, *more]), -2)


def loop_dbfs(circuit: Circuit) -> float:
    """The tone of speaker-test (0.8 of full scale, from memory) out of the phones' socket and in, as at the bell."""
    bell = levels("bell")
    share = 0.8 * FULL_SCALE * sound_out.divided(circuit, math.inf)
    sine = 20.0 * math.log10(math.sqrt(2.0))  # one at full scale is -3 dBFS
    return 20.0 * math.log10(share) + bell.phones + bell.gain - sine


def cable_volts(circuit: Circuit) -> Numbers:
    """Between R34 and R35, with and without the processor's own pull-down: 40 kohm at least (from memory)."""
    least, most = circuit.items["A5"].part.supply["1"]
    upper, lower = of(circuit, "R34"), of(circuit, "R35")
    pulled = parallel([lower, 40e3])
    low, high = least * pulled / (upper + pulled), most * lower / (upper + lower)
    return math.floor(10.0 * low) / 10.0, math.ceil(10.0 * high) / 10.0


def expected(circuit: Circuit) -> dict[str, Numbers]:
    """Name -> the numbers that must stand before it."""
    pins = pin_map()
    lines = {"sda": pins.i2c.sda, "scl": pins.i2c.scl, **{b.value: pin for b, pin in pins.buttons.items()}}
    lines |= {"switch_off": pins.power.switch_off, "battery_alert": pins.power.battery_alert}
    return {
        **{name: (float(pin), float(HEADER[pin])) for name, pin in lines.items()},
        **{name: (float(address),) for name, address in asdict(pins.addresses).items()},
        "cable volts": cable_volts(circuit),
        "cable": (float(HEADER[pins.usb.cable]),),
        "supply": in_source(supply, r"(\d\.\d) to (\d\.\d) V are wanted at the board"),
        "bias": in_source(capsule, r"capsule without bias \((\d\.\d) to (\d\.\d) V at the socket"),
        "celsius": (supply.HOT_C,),
        "bounce_ms": (1000.0 * bounce.LONGEST_S,),
        "patience": (contacts.PATIENCE_S,),
        "noise_dbfs": (capsule.NOISE_DBFS,),
        "hum_dbfs": (capsule.HUM_DBFS,),
        "offset": (100.0 * capsule.OFFSET,),
        "peak_dbfs": (capsule.HEARD_DBFS,),
        "off_ppm": (float(RATE), pace.LIMIT_PPM),
        "volts": (cell.LEAST_V, cell.MOST_V),
        "low": (100.0 * condition.LOW,),
        "empty": (100.0 * condition.EMPTY,),
        "empty volts": (condition.EMPTY_VOLTS,),
        "alert": (float(gauge.ALERT_PERCENT),),
        "usb": circuit.items["A5"].part.supply["1"],
        "pull-ups": (pulled_up(circuit),),
        "pull-ups with the clock's": (pulled_up(circuit, 4700.0),),
        "loop": (float(round(loop_dbfs(circuit))),),
    }


def faults(text: str, wanted: Mapping[str, Numbers]) -> list[str]:
    """Where the page and what it should say part."""
    said = told(text)
    found = [f"{name}: {numbers}, wanted {wanted.get(name)}" for name, numbers in said if wanted.get(name) != numbers]
    return found + [f"{name} is not there" for name in sorted(wanted.keys() - {name for name, _ in said})]


@pytest.fixture(scope="module", name="text")
def _text() -> str:
    return (HARDWARE / "BRINGUP.md").read_text("utf-8")


@pytest.fixture(scope="module", name="circuit")
def _circuit() -> Circuit:
    return load()


def test_every_named_number_is_that_of_the_firmware_or_the_circuit(text: str, circuit: Circuit) -> None:
    assert faults(text, expected(circuit)) == []


def test_a_number_that_parts_is_found_on_either_side(text: str, circuit: Circuit) -> None:
    wanted = expected(circuit)
    for name, numbers in wanted.items():
        moved = wanted | {name: tuple(number + 1.0 for number in numbers)}
        assert faults(text, moved), name
    for before, after in (("-50 dBFS", "-55 dBFS"), ("0x1A", "0x1B"), ("header pin 29", "header pin 31")):
        assert before in text
        assert faults(text.replace(before, after), wanted), before


def test_a_number_that_is_left_out_is_found(text: str, circuit: Circuit) -> None:
    assert faults(text.replace("`hum_dbfs`", ""), expected(circuit)) == ["hum_dbfs is not there"]


def misplaced(text: str, circuit: Circuit) -> list[str]:
    """Test points whose net, or whose pin for those who build with wires, is another."""
    found = []
    for ref, net, pin in _POINT.findall(text):
        if circuit.items[ref].pins["1"] != net:
            found.append(f"{ref} is not on {net}")
        if pin and circuit.items[pin.split(".")[0]].pins[pin.split(".")[1]] != net:
            found.append(f"{pin} is not on {net}")
    return found


def test_test_points_are_on_the_nets_that_the_page_names(text: str, circuit: Circuit) -> None:
    assert len(_POINT.findall(text)) > 30
    assert sum(bool(pin) for _, _, pin in _POINT.findall(text)) >= 10
    assert misplaced(text, circuit) == []
    assert misplaced(text.replace("TP9 (MICB) A2.10", "TP9 (MICB) A2.11"), circuit) == ["A2.11 is not on MICB"]
    assert "TP12 is not on EN" in misplaced(text.replace("TP13 (EN)", "TP12 (EN)"), circuit)


def test_every_check_of_the_selftest_is_in_the_page(text: str) -> None:
    run = {word for line in re.findall(r"selftest ([a-z0-9 ]+)`", text) for word in line.split()}
    assert run == ABOUT.keys()


def test_every_row_has_room_for_what_was_found(text: str) -> None:
    rows = [row for row in text.splitlines() if row.startswith("| ") and not row.startswith("| do |")]
    assert len(rows) > 40
    assert [row for row in rows if row.count("|") != 6 or not row.endswith("| |")] == []
