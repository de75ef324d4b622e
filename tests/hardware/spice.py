"""Decks for ngspice, built from the circuit: the parts between given nets, models of the worst parts, and the run.

What is not a resistor, a capacitor, a bead, a signal diode, a transistor, the slide or the jumper is left out:
protection diodes and test points do nothing here, and the modules' pins are put on as sources and loads by the tests.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

from making.circuit import Circuit, Item
from making.values import of, told

GROUND = "GND"
SLIDE_ON, SLIDE_OFF = "slide_on", "slide_off"
"""Nodes of 0 and 1 V that close the slide's two contacts."""
SECONDS = 120
"""After that long ngspice has hung."""

COMMON = f"""
* The diode of parts.toml: 0.6 V at 0.3 mA; slope of the usual model of a 1N4148.
.model signal D(IS=0.53n N=1.752 RS=0.57)
.model contact SW(VT=0.5 VH=0.1 RON=0.1 ROFF=1G)
* The bodies of transistors have a diode each, which a model of level 1 brings along.
v{SLIDE_ON} {SLIDE_ON} 0 PWL({{on}})
v{SLIDE_OFF} {SLIDE_OFF} 0 PWL({{off}})
"""
N_GAIN, P_GAIN = 0.025, 0.01
"""Amperes a square volt, from the least transconductances of the data sheets: BSS138 0.1 S at 0.2 A, BSS84 0.05 S at
0.1 A (both from memory)."""
LEAK = 42e6
"""Ohms of a BSS84 that is off: 0.1 uA of a full cell (data sheet, zero gate voltage drain current at 25 C; from
memory)."""


class SpiceFault(Exception):
    """Ngspice did not measure what the deck asks for; the text is its last words."""


def elements(
    circuit: Circuit, nets: Collection[str], rails: Collection[str], mark: str = "", leak: float = LEAK
) -> Iterator[str]:
    """Lines of the deck: every part that is always fitted and stands between `nets` and `rails`, on one net at least.

    Parameters
    ----------
    mark : behind each name of a part, net and model, so that one deck can hold the same circuit many times
    leak : ohms of a p-channel transistor that is off
    """
    for item in circuit.items.values():
        on = set(item.pins.values())
        if not item.option and on & set(nets) and on <= {*nets, *rails, GROUND}:
            yield from _element(circuit, item, mark, leak)


def node(net: str, mark: str = "") -> str:
    """What the deck calls a net."""
    return "0" if net == GROUND else f"{net}{mark}"


def models(n_volts: float, p_volts: float, mark: str) -> str:
    """The transistors, by their thresholds."""
    n_channel = f".model n{mark} NMOS(LEVEL=1 VTO={n_volts} KP={N_GAIN})"
    return f"{n_channel}\n.model p{mark} PMOS(LEVEL=1 VTO={-p_volts} KP={P_GAIN})"


def run(lines: Sequence[str], folder: Path) -> dict[str, float]:
    """Run a deck in batch and return what it measures, by name.

    Raises
    ------
    SpiceFault : a measurement is missing.
    """
    deck = folder / "deck.cir"
    deck.write_text("\n".join(["* airladder", *lines, ".end", ""]), "utf-8")
    words = ["ngspice", "-b", str(deck)]
    done = subprocess.run(words, capture_output=True, text=True, check=False, timeout=SECONDS, cwd=folder)
    found = {
        name: float(value)
        for name, value in re.findall(r"^(\w+)\s*=\s*(-?[\d.]+e[-+]\d+)", done.stdout, re.MULTILINE)
    }
    wanted = {line.split()[2] for line in lines if line.startswith(".meas")}
    if missing := wanted - set(found):
        raise SpiceFault(f"{min(missing)} was not measured: {done.stdout[-300:]} {done.stderr[-300:]}")
    return found


def _element(circuit: Circuit, item: Item, mark: str, leak: float) -> Iterator[str]:
    symbol, name = item.part.symbol, f"{item.ref}{mark}"
    at = {pin: node(net, mark) for pin, net in item.pins.items()}
    if symbol in ("Device:R", "Device:C"):
        yield f"{symbol[-1]}{name} {at['1']} {at['2']} {of(circuit, item.ref):g}"
    elif symbol == "Device:FerriteBead":
        yield f"R{name} {at['1']} {at['2']} {told(item.part.spec, 'at most # ohm')}"
    elif symbol == "Device:D":
        yield f"D{name} {at['2']} {at['1']} signal"
    elif symbol == "Transistor_FET:BSS138":
        yield f"M{name} {at['3']} {at['1']} {at['2']} {at['2']} n{mark}"
    elif symbol == "Transistor_FET:BSS84":
        yield f"M{name} {at['3']} {at['1']} {at['2']} {at['2']} p{mark}"
        yield f"R{name}leak {at['3']} {at['2']} {leak:g}"
    elif symbol == "Switch:SW_SPDT":
        yield f"S{name}a {at['1']} {at['2']} {SLIDE_ON} 0 contact"
        yield f"S{name}b {at['3']} {at['2']} {SLIDE_OFF} 0 contact"
    elif symbol.startswith("Jumper:SolderJumper_3_Bridged12") and {"1", "2"} <= set(at):
        yield f"R{name} {at['1']} {at['2']} 0.01"
