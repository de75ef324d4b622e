"""What the box draws and how long a cell lasts; starting, charging, resting; USB and I2C by the book.

Run it to see the tables: python3 hardware/power.py

It reads the parts from circuit.toml, parts.toml and extras.toml, so that a change there changes the figures here;
tests/hardware/test_power.py holds the limits. Estimates and sources stand in making/supply.py and making/lines.py.
Untested on hardware.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator

from making import lines, supply
from making.circuit import Circuit, load
from making.values import of, table, told

CELLS = (4.2, 3.7, 3.4, 3.2)
"""Volts of a cell at rest; at 3.2 V the firmware says good night (firmware/airladder/appliance/condition.py)."""


def _budget() -> str:
    mah = supply.capacity()
    draws = {state: supply.draw(state, mah) for state in supply.STATES}
    rows = [["computer, at 5 V", *(f"{supply.BOARD[state]:.0f}" for state in supply.STATES)]]
    rows += [[f"{name}, at 3.3 V", *(f"{each:.1f}" for each in draws_of)] for name, draws_of in supply.RAIL.items()]
    rows.append(["3.3 V in all, beside the computer", *(f"{each.rail:.1f}" for each in draws.values())])
    rows.append(["5 V in all", *(f"{each.five_volts:.0f}" for each in draws.values())])
    rows.append([f"from the cell, {supply.CELL} V", *(f"{each.cell:.0f}" for each in draws.values())])
    rows.append(["hours", *(f"{each.hours:.1f}" for each in draws.values())])
    title = (
        f"Milliamperes, and hours of {mah:.0f} mAh x {supply.USABLE}; boost {supply.BOOST:.0%},"
        f" 3.3 V regulator {supply.REGULATOR:.0%}, wanted from it at most {supply.RAIL_MOST:.0f} mA"
    )
    return table(title, ("what", *supply.STATES), rows)


def start_limits(circuit: Circuit) -> Iterator[tuple[str, float]]:
    """Amperes that fuse, plug and protection of the cell bear while the board starts."""
    yield "F2 holds, warm", told(circuit.items["F2"].part.spec, "hold # A") * supply.WARM
    yield "plug of the cell", told(circuit.items["J6"].part.spec, "# A;")
    yield "cell's protection trips", told(circuit.items["J6"].part.spec, "trips at #")


def _start(circuit: Circuit) -> Iterator[str]:
    rows = []
    for cell in CELLS:
        volts = supply.boost_volts(circuit, cell)
        rows.append([f"{cell}", f"{volts:.2f}", f"{supply.start_amperes(volts):.2f}"])
    bears = ", ".join(f"{name} {amperes:.1f} A" for name, amperes in start_limits(circuit))
    given = told(circuit.items["A5"].part.spec, "V at # A")
    title = (
        f"Starting: {supply.START / 1000:.1f} A at 5 V for a moment (boost gives {given} A), through"
        f" {1000 * supply.path_ohms(circuit, cell_too=True):.0f} mohm, {1000 * supply.INSIDE:.0f} of them the cell's"
        f" ({bears})"
    )
    yield table(title, ("cell at rest, V", "at the boost, V", "from the cell, A"), rows)
    least = circuit.items["A5"].part.supply["3"][0]
    rows = [
        ["cell at rest", f"{supply.start_volts(circuit):.2f}"],
        ["at its plug, under load", f"{supply.start_volts(circuit, cell_too=False):.2f}"],
    ]
    yield table(f"The least volts for a start, with {least} V at the boost", ("where", "V"), rows)


def _charge(circuit: Circuit) -> str:
    mah, amperes = supply.capacity(), supply.charge_amperes(circuit)
    hold = told(circuit.items["F1"].part.spec, "hold # A")
    ohms = told(circuit.items["F1"].part.spec, "at most # ohm")
    practice = amperes + supply.draw("typical", mah).cell / 1000
    rows = [
        ["to the cell", f"{amperes:.2f} A, {1000 * amperes / mah:.2f} C", f"at most {supply.MOST_C} C"],
        ["time, box off", f"{mah / 1000 / amperes * supply.FILLING:.1f} h", "attended"],
        ["from the socket, box off", f"{amperes:.2f} A", f"F1 holds {hold} A, {hold * supply.WARM:.2f} A warm"],
        ["from the socket, practice", f"{practice:.2f} A", "the charger shares; a linear charger, so amperes add"],
        ["F1 takes", f"{practice * ohms:.2f} V", ""],
    ]
    return table("Charging", ("what", "figure", "limit"), rows)


def _rest(circuit: Circuit) -> str:
    mah = supply.capacity()
    rows = [
        [name, f"{1000 * drain:.0f}", f"{supply.days(mah, drain):.0f}"]
        for name, drain in (
            ("slide at off", supply.off_drain(circuit)),
            ("switched itself off, slide at on", supply.latched_drain(circuit)),
        )
    ]
    return table("At rest (a cell's own loss, 2 to 3 % a month, comes on top)", ("state", "uA", "days"), rows)


def _usb(circuit: Circuit) -> str:
    low, high = lines.VBUS_LEAST, lines.VBUS_MOST
    reads = lines.cable_volts(circuit, low, pulled_down=True, lean=-lines.RESISTOR)
    most = lines.cable_volts(circuit, high, pulled_down=False, lean=lines.RESISTOR)
    rows = [
        [
            "capacity on VBUS",
            f"{1e6 * lines.vbus_farads(circuit):.1f} uF",
            f"at most {1e6 * lines.VBUS_FARADS:.0f} uF",
        ],
        ["R27, R28 on CC", f"{of(circuit, 'R27'):.0f}, {of(circuit, 'R28'):.0f} ohm", f"{lines.CC:.0f} ohm each"],
        [f"sensing line at {low} V, pulled down", f"{reads:.2f} V", f"at least {lines.HIGH} V"],
        [f"sensing line at {high} V", f"{most:.2f} V", f"at most {lines.HIGHEST} V"],
        ["into a computer without supply", f"{1e6 * lines.cable_feeds(circuit):.0f} uA", "the less the better"],
    ]
    return table("USB", ("what", "figure", "limit"), rows)


def _bus(circuit: Circuit) -> str:
    rows = [
        [net, f"{lines.pull_up(circuit, net):.0f}", f"{1e9 * lines.rise(circuit, net):.0f}"] for net in ("SDA", "SCL")
    ]
    title = f"I2C: wanted at least {lines.least_pull_up():.0f} ohm, and a rise of at most {1e9 * lines.RISE:.0f} ns"
    return table(title, ("line", "pull-ups, ohm", "rise, ns"), rows)


def main() -> None:
    """Print the tables."""
    circuit = load()
    sys.stdout.write(_budget())
    sys.stdout.writelines(_start(circuit))
    for told_table in (_charge, _rest, _usb, _bus):
        sys.stdout.write(told_table(circuit))


if __name__ == "__main__":
    main()
