"""USB and I2C by the book: capacity on VBUS, the resistors on CC, the line that senses the cable, the bus's pull-ups.

Untested on hardware.
"""

from __future__ import annotations

from math import inf

from making.circuit import Circuit
from making.values import of, parallel

VBUS_LEAST, VBUS_MOST = 4.5, 5.5
"""Volts: the charger's least (parts.toml) and the most of vSafe5V (USB Type-C specification, VBUS source levels)."""
VBUS_FARADS = 10e-6
"""The most that a plugged-in device may have on VBUS (USB 2.0 specification, 7.2.4.1)."""
MODULE_FARADS = 4.7e-6
"""What the power module has at its input itself (MCP73871 data sheet, typical application; from memory; BQ24074: 1 to
10 uF). Look at the module that is bought."""
CC = 5.1e3
"""Ohms of a device on each CC pin (USB Type-C specification, Rd; 10 % if it need not tell currents apart)."""
HIGH, HIGHEST = 1.6, 3.3
"""Volts that surely read as high at 3.3 V, and the most that a pin bears (raspberrypi/documentation, GPIO, voltage
specifications of BCM2835 and BCM2837; the board's chip is of the latter kind)."""
PULL_DOWN = 50e3
"""Ohms of a pin's own pull-down, which it has at a reset: 50 to 65 kohm (from memory), the least counts."""
RESISTOR = 0.01

SUNK, LOW = 3e-3, 0.4
"""Amperes that an output sinks and the volts that it then has (NXP UM10204, table of outputs)."""
RISE, FACTOR = 300e-9, 0.8473
"""Seconds of a rise in fast mode, and rise = factor x ohms x farads (NXP UM10204, 7.1)."""
PIN_FARADS, WIRE_FARADS = 10e-12, 100e-12
"""Of one chip's pin (NXP UM10204, table of inputs), and of tracks, sockets and modules' boards together: judged."""


def vbus_farads(circuit: Circuit) -> float:
    """Farads on VBUS, the module's own among them; C27 stands behind the resistor of the sensing line."""
    ours = sum(of(circuit, ref) for ref, pin in circuit.nets()["VBUS"] if ref.startswith("C"))
    return ours + MODULE_FARADS


def cable_volts(circuit: Circuit, vbus: float, *, pulled_down: bool, lean: float = 0.0) -> float:
    """Volts of the line that senses the cable; `lean`: the resistors' tolerance, above nought to the upper side."""
    upper, lower = of(circuit, "R34") * (1 - lean), of(circuit, "R35") * (1 + lean)
    down = parallel((lower, PULL_DOWN if pulled_down else inf))
    return vbus * down / (down + upper)


def cable_feeds(circuit: Circuit) -> float:
    """Amperes into a computer without supply: through R34 and the pin's protection, all volts counted."""
    return VBUS_MOST / of(circuit, "R34")


def pull_up(circuit: Circuit, net: str) -> float:
    """Ohms of all pull-ups on a line of the bus; what stands in for another part is left out."""
    fitted = [circuit.items[ref] for ref, _ in circuit.nets()[net]]
    return parallel(
        item.part.pull_ups[pin][0]
        for item in fitted
        if not item.part.instead_of
        for pin, on in item.pins.items()
        if on == net and pin in item.part.pull_ups
    )


def least_pull_up(volts: float = 3.3) -> float:
    """Ohms that every output still pulls low: 967 at 3.3 V."""
    return (volts - LOW) / SUNK


def rise(circuit: Circuit, net: str) -> float:
    """Seconds of a rise on a line of the bus, with a pin of each part on it."""
    pins = sum(not circuit.items[ref].part.instead_of for ref, _ in circuit.nets()[net] if not ref.startswith("TP"))
    return FACTOR * pull_up(circuit, net) * (pins * PIN_FARADS + WIRE_FARADS)
