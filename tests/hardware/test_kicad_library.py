"""The tables of the rules against KiCad's own symbols: header, diodes, transistors, contacts, protection."""

from __future__ import annotations

import re

import pytest

from hardware.rules.built import GROUND
from hardware.rules.header import HEADER, SOUND, SUPPLY
from hardware.rules.links import JOINS, Kind
from hardware.rules.off import COMMON, DRAIN, GATE, SOURCE
from hardware.rules.protection import ENDS, TWINS
from hardware.rules.usb import CONFIGURATION, DATA, GROUND_CONTACTS, VBUS_CONTACTS
from making.circuit import load_parts
from making.sexpr import lists
from making.symbols import library_symbol

pytestmark = pytest.mark.usefixtures("kicad")

BOARDS = ("Connector:Raspberry_Pi_2_3", "Connector:Raspberry_Pi_4")
PCM = {"bit_clock": "PCM_CLK", "frame_clock": "PCM_FS", "from_codec": "PCM_DIN", "to_codec": "PCM_DOUT"}
PARTS = load_parts()


def names(symbol: str) -> dict[str, str]:
    """Number of a pin -> its name, in KiCad's library."""
    return {
        str(next(lists(pin, "number"))[1]): str(next(lists(pin, "name"))[1])
        for unit in lists(library_symbol(symbol).tree, "symbol")
        for pin in lists(unit, "pin")
    }


@pytest.mark.parametrize("board", BOARDS)
def test_the_header_is_that_of_the_library(board: str) -> None:
    told = names(board)
    numbers = {pin: re.search(r"GPIO(\d+)", name) for pin, name in told.items()}
    assert {int(found[1]): int(pin) for pin, found in numbers.items() if found} == HEADER
    assert {int(pin): name for pin, name in told.items() if not numbers[pin]} == SUPPLY


def test_the_sound_port_is_that_of_the_library() -> None:
    told = names("Connector:Raspberry_Pi_4")
    for name, bcm in SOUND.items():
        assert PCM[name] in told[str(HEADER[bcm])]


def test_the_bus_is_that_of_the_library() -> None:
    told = names("Connector:Raspberry_Pi_2_3")
    assert (told[str(HEADER[2])], told[str(HEADER[3])]) == ("SDA/GPIO2", "SCL/GPIO3")


@pytest.mark.parametrize("symbol", ["Device:D", "Device:D_Schottky"])
def test_a_diode_has_its_cathode_where_the_library_has_it(symbol: str) -> None:
    cathode, anode = ENDS[symbol]
    told = names(symbol)
    assert (told[cathode], told[anode]) == ("K", "A")
    assert JOINS[symbol] == (Kind.DIODE, ((anode, cathode),))


def test_the_double_diode_points_from_its_first_to_its_second_pin() -> None:
    """Its pins' names mislead in the library; the drawing counts, whose bars stand at the tips of its arrows."""
    symbol = library_symbol("Diode:BAV99")
    cathode, anode = ENDS["Diode:BAV99"]
    assert symbol.pins[anode].at[0] < symbol.pins["3"].at[0] < symbol.pins[cathode].at[0]
    assert JOINS["Diode:BAV99"] == (Kind.DIODE, ((anode, "3"), ("3", cathode)))
    shapes = [
        [(float(str(xy[1])), float(str(xy[2]))) for points in lists(line, "pts") for xy in lists(points, "xy")]
        for unit in lists(symbol.tree, "symbol")
        for line in lists(unit, "polyline")
    ]
    bars = [shape[0][0] for shape in shapes if {x for x, _ in shape} == {shape[0][0]} and shape[0][0] != 0]
    tips = [x for shape in shapes if len(shape) > 3 for x, y in shape if y == 0]
    assert sorted(bars) == sorted(tips)
    assert len(bars) == 2


@pytest.mark.parametrize("symbol", ["Transistor_FET:BSS138", "Transistor_FET:BSS84"])
def test_a_transistor_has_the_pins_of_the_library(symbol: str) -> None:
    told = names(symbol)
    assert (told[GATE], told[SOURCE], told[DRAIN]) == ("G", "S", "D")
    assert JOINS[symbol] == (Kind.CONTACT, ((DRAIN, SOURCE),))


def test_the_slide_has_its_common_in_the_middle() -> None:
    told = names("Switch:SW_SPDT")
    assert told[COMMON] == "B"
    assert all(COMMON in pair for pair in JOINS["Switch:SW_SPDT"][1])


def test_the_jumper_has_its_common_in_the_middle() -> None:
    told = names("Jumper:SolderJumper_3_Bridged12")
    assert told["2"] == "C"
    assert all("2" in pair for pair in JOINS["Jumper:SolderJumper_3_Bridged12"][1])


def test_the_socket_has_the_contacts_of_the_library() -> None:
    told = names(PARTS["usb-c"].symbol)
    assert {pin for pin, name in told.items() if name == "VBUS"} == set(VBUS_CONTACTS)
    assert {pin for pin, name in told.items() if name == "GND"} == set(GROUND_CONTACTS)
    assert [told[pin] for pin in CONFIGURATION] == ["CC1", "CC2"]
    assert {name: {told[pin] for pin in pins} for name, pins in DATA.items()} == {"D+": {"D+"}, "D-": {"D-"}}


def test_the_protecting_pins_are_all_but_the_common() -> None:
    for part in PARTS.values():
        if part.esd:
            common = {pin for pin, name in names(part.symbol).items() if name in ("common", GROUND)}
            assert set(names(part.symbol)) - common == set(part.esd), part.key


def test_the_twins_have_one_name_in_the_library() -> None:
    for symbol, pairs in TWINS.items():
        told = names(symbol)
        assert all(told[one] == told[other] for one, other in pairs)


def test_every_two_pin_symbol_of_the_circuit_is_a_link_or_known_for_none() -> None:
    """A part that the walks do not know would be an open circuit to them."""
    none = {"Connector_Generic:Conn_01x02", "Device:D_TVS_Dual_AAC"}
    plain = {part.symbol for part in PARTS.values() if not part.symbol.startswith("box:")}
    for symbol in plain - none:
        if len(names(symbol)) == 2:
            assert symbol in JOINS
