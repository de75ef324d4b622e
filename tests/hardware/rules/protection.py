"""What leaves the box is protected, and what has a polarity has the right one."""

from __future__ import annotations

from collections.abc import Iterator

from hardware.rules.built import GROUND, Built, Pin
from hardware.rules.links import Kind, walk

LEAVES = ("Connector_Audio:", "Connector:USB_C_Receptacle")
"""Symbols of sockets that a hand and a cable reach."""
# Reference -> the net of its cathode and of its anode.
DIODES = {"D8": ("BAT", GROUND), "D9": ("OFF_D", "OFF")}
TWINS = {"Power_Protection:USBLC6-2SC6": (("1", "6"), ("3", "4"))}
"""Symbol -> pins that are one inside the part: they may not be on two nets."""
# Symbol -> the pin of the cathode and of the anode (KiCad's library; BAV99: as its data sheet draws it).
ENDS = {"Device:D": ("1", "2"), "Device:D_Schottky": ("1", "2"), "Diode:BAV99": ("2", "1")}


def esd(built: Built) -> Iterator[str]:
    """Every contact that leaves the box, but ground, has a protecting pin on its net, whose common is on ground."""
    for start in LEAVES:
        for item in built.with_symbol(start):
            for pin, net in sorted(built.pins_of(item.ref).items()):
                if net != GROUND and not any(_protects(built, at) for at in built.nets[net]):
                    yield f"{item.ref} pin {pin}: {net} leaves the box unprotected; wanted an ESD diode on it"
    for ref, item in built.items.items():
        commons = {pin: net for pin, net in built.pins_of(ref).items() if pin not in item.part.esd}
        if item.part.esd and set(commons.values()) != {GROUND}:
            yield f"{ref}: its common is on {sorted(commons.values())}; wanted GND"


def twins(built: Built) -> Iterator[str]:
    """Pins of a protection that are joined inside it join no two nets."""
    for symbol, pairs in TWINS.items():
        for item in built.with_symbol(symbol):
            for pair in pairs:
                nets = {built.net(item.ref, pin) for pin in pair} - {""}
                if len(nets) > 1:
                    yield f"{item.ref} pins {' and '.join(pair)}: are on {sorted(nets)}, one inside; wanted one net"


def polarity(built: Built) -> Iterator[str]:
    """Every bare pin row names each pin, and plus and minus are on the nets that they say."""
    for item in built.with_symbol("Connector_Generic:"):
        pins = {pin: built.net(item.ref, pin) for pin in {**item.part.polarity, **built.pins_of(item.ref)}}
        if unnamed := set(pins) - set(item.part.polarity):
            yield f"{item.ref}: nothing is printed beside pin {sorted(unnamed)}; wanted a name for each"
        for pin, net in pins.items():
            said = item.part.polarity.get(pin)
            if said in ("-", GROUND) and net != GROUND:
                yield f"{item.ref} pin {pin}: is marked {said} and has {net or 'nothing'}; wanted GND"
            if said == "+" and net == GROUND:
                yield f"{item.ref} pin {pin}: is marked + and has GND; wanted the other net"
    yield from _reaches(built, "cell-socket", "BAT", {Kind.WIRE})
    yield from _reaches(built, "capsule", "MICB", {Kind.WIRE, Kind.CONTACT, Kind.RESISTOR})


def diodes(built: Built) -> Iterator[str]:
    """Each diode whose direction matters has its cathode where it should be."""
    for ref, wanted in DIODES.items():
        if ref not in built.items:
            yield f"{ref}: is not there; wanted a diode with its cathode on {wanted[0]}, its anode on {wanted[1]}"
            continue
        cathode, anode = ENDS[built.items[ref].part.symbol]
        found = (built.net(ref, cathode), built.net(ref, anode))
        if found != wanted:
            yield f"{ref}: its cathode is on {found[0]}, its anode on {found[1]}; wanted {wanted[0]} and {wanted[1]}"
    for item in built.with_symbol("Diode:BAV99"):
        cathode, anode = ENDS[item.part.symbol]
        if (built.net(item.ref, cathode), built.net(item.ref, anode)) != ("3V3A", GROUND):
            yield f"{item.ref}: does not clamp between GND and 3V3A; wanted its anode on GND, its cathode on 3V3A"


def sleeves(built: Built) -> Iterator[str]:
    """The sleeve of each jack, and the shell of the USB socket, is on ground."""
    for start, pin in zip(LEAVES, ("S", "S1"), strict=True):
        for item in built.with_symbol(start):
            if built.net(item.ref, pin) != GROUND:
                yield f"{item.ref} pin {pin}: is on {built.net(item.ref, pin) or 'nothing'}; wanted GND"


def _protects(built: Built, at: Pin) -> bool:
    ref, pin = at
    return pin in built.items[ref].part.esd


def _reaches(built: Built, key: str, rail: str, kinds: set[Kind]) -> Iterator[str]:
    """Whether the plus of the only part of its kind leads to a rail."""
    pluses = [
        (item.ref, pin) for item in built.with_part(key) for pin, said in item.part.polarity.items() if said == "+"
    ]
    if len(pluses) != 1:
        yield f"{key}: has {len(pluses)} pins marked +; wanted one part with one"
    for ref, pin in pluses:
        reached = walk(built, built.net(ref, pin), lambda link: link.kind in kinds, (GROUND, "3V3", "3V3A"))
        if rail not in reached:
            yield f"{ref} pin {pin}: is marked + and does not lead to {rail}; wanted that"
