"""Switching off: the slide holds the boost on, and the computer alone, through one diode, lets it go."""

from __future__ import annotations

from collections.abc import Iterator
from math import log

from hardware.rules.built import COMPUTER, GROUND, Built
from hardware.rules.header import HEADER, net_of
from hardware.rules.links import Kind, between, links_of, walk
from hardware.rules.rails import RAILS

GATE, SOURCE, DRAIN = "1", "2", "3"
"""Of a transistor in SOT-23 (KiCad's symbols Q_NMOS_GSD and TP0610T)."""
SLIDE, COMMON, ON, OFF_SIDE = "SW5", "2", "1", "3"
N_FET, P_FET = "Q1", "Q2"
ON_LEAST, ON_MOST = 0.8, 1.5
"""Volts at the gate of the n-channel transistor: below the one it is surely off, above the other surely on
(BSS138 data sheet, gate threshold 0.8-1.5 V)."""
P_LEAST = 0.8
"""Volts between source and gate below which the p-channel transistor is surely off (BSS84 data sheet)."""
OUTPUT = 3.0
"""Least volts of the computer's pin when it is high, at 2 mA (raspberrypi/documentation, gpio-on-raspberry-pi)."""
DROP = 0.7
"""Volts of the diode (1N4148W data sheet: 0.72 V at most at 5 mA; here far less flows)."""


def kill_path(built: Built) -> Iterator[str]:
    """The computer's pin leads to KILL through a diode, and to nothing else; so KILL never lifts the pin."""
    off = net_of(built, built.pins.power.switch_off)
    where = f"header pin {HEADER[built.pins.power.switch_off]}"
    found = links_of(built, off) if off else []
    if [(link.kind, link.one) for link in found] != [(Kind.DIODE, off)]:
        yield f"{where}: {off or 'nothing'} has {[link.ref for link in found]}; wanted one diode, its anode here"
    strangers = [
        ref for ref, _ in built.nets.get(off, ()) if ref != COMPUTER and ref not in {link.ref for link in found}
    ]
    if [ref for ref in strangers if not built.items[ref].part.symbol.startswith("Connector:TestPoint")]:
        yield f"{where}: {off} is also on {sorted(strangers)}; wanted the diode alone"
    forward = walk(
        built, off, lambda link: link.kind is Kind.RESISTOR or (link.kind is Kind.DIODE and link.one == off)
    )
    if "KILL" not in forward:
        yield f"{where}: {off} does not reach KILL; wanted that, through the diode and a resistor"
    if not between(built, "KILL", GROUND, Kind.RESISTOR):
        yield "KILL: has no pull-down; wanted one, or it floats while the computer starts"
    for ref, pin in sorted(built.nets.get("KILL", ())):
        if ref == COMPUTER:
            yield f"header pin {pin}: is on KILL itself; wanted it behind the diode"


def held(built: Built) -> Iterator[str]:
    """The enable pin is pulled to the cell or to ground by the slide, through a resistor that KILL overcomes."""
    if {built.net(*pin) for pin in built.named("EN")} != {"EN"}:
        yield "EN: the boost's enable pin is not on it; wanted that"
    sides = (built.net(SLIDE, ON), built.net(SLIDE, OFF_SIDE))
    if sides != ("BAT", GROUND):
        yield f"{SLIDE}: its sides are on {sides[0]} and {sides[1]}; wanted BAT for on, GND for off"
    common = built.net(SLIDE, COMMON)
    if not between(built, "EN", common, Kind.RESISTOR):
        yield f"{SLIDE}: {common or 'nothing'} does not reach EN through a resistor; wanted that"
    if not between(built, "EN", GROUND, Kind.CAPACITOR):
        yield "EN: has no capacitor to GND; wanted one, or a spike may switch the box off"
    wanted = {N_FET: {GATE: "KILL", SOURCE: GROUND, DRAIN: "EN"}, P_FET: {GATE: "EN", SOURCE: common}}
    for ref, pins in wanted.items():
        for pin, net in pins.items():
            if built.net(ref, pin) != net:
                yield f"{ref} pin {pin}: is on {built.net(ref, pin) or 'nothing'}; wanted {net}"
    if not between(built, built.net(P_FET, DRAIN), "KILL", Kind.RESISTOR):
        yield f"{P_FET} pin {DRAIN}: does not reach KILL through a resistor; wanted that, or it comes on again"


def volts_of_kill(built: Built) -> Iterator[str]:
    """The computer's 3.3 V turns the transistor on, the cell at its emptiest holds it on, and a start does not."""
    down = [link.value for link in between(built, "KILL", GROUND, Kind.RESISTOR)]
    latch = built.net(P_FET, DRAIN)
    up = [link.value for link in between(built, "KILL", latch, Kind.RESISTOR)]
    off = net_of(built, built.pins.power.switch_off)
    steps = [
        link.value
        for diode in links_of(built, off, Kind.DIODE)
        for link in between(built, diode.other, "KILL", Kind.RESISTOR)
    ]
    if len(down) != 1 or len(up) != 1 or len(steps) != 1:
        return  # kill_path and held tell
    for name, volts, ohms in (
        ("the computer", OUTPUT - DROP, steps[0]),
        ("the latch", RAILS["BAT"][0], up[0]),
    ):
        if (found := volts * down[0] / (down[0] + ohms)) < ON_MOST:
            yield f"KILL: {name} lifts it to {found:.2f} V; wanted {ON_MOST} V or more"
    yield from _start(built, up[0])


def config(built: Built) -> Iterator[str]:
    """gpio-poweroff has the pin of pins.toml, active high: the processor pulls it down at a reset."""
    found = [line for line in built.config if "gpio-poweroff" in line]
    wanted = f"dtoverlay=gpio-poweroff,gpiopin={built.pins.power.switch_off}"
    if found != [wanted]:
        yield f"config.txt: has {found}; wanted {wanted}, active high"


def _start(built: Built, up: float) -> Iterator[str]:
    """At the switch-on EN is low for a moment, which opens the latch: EN must be up long before KILL is."""
    enable = [
        (link.value, capacitor.value)
        for link in between(built, "EN", built.net(SLIDE, COMMON), Kind.RESISTOR)
        for capacitor in between(built, "EN", GROUND, Kind.CAPACITOR)
    ]
    slow = sum(link.value for link in between(built, "KILL", GROUND, Kind.CAPACITOR))
    volts = RAILS["BAT"][1]
    latched = up * slow * -log(1 - ON_LEAST / volts)
    rises = max((ohms * farads * log(volts / P_LEAST) for ohms, farads in enable), default=0.0)
    if rises * 3 > latched:
        yield f"EN: is up after {rises * 1e6:.0f} us, KILL after {latched * 1e6:.0f} us; wanted a third of it at most"
