"""Sound: headphones that cannot hurt, a bias that reaches the microphones only, and jacks that switch over."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from hardware.rules.built import GROUND, Built
from hardware.rules.links import Kind, Link, between, links_of, walk

CLIP, PHONES, PIEZO = "J1", "J2", "J3"
CHANNELS = {"HP_L": "T", "HP_R": "R"}
"""The codec's output -> the jack's contact: left is the tip (common practice of 3.5 mm plugs)."""
SOFTENED = 8.0
"""The codec's volts are divided by at least so much, for the ear's sake (judged; gain.py reckons the loudness)."""
LOWEST = 65.0
"""Hertz of a baritone's low A, which the phones still pass at half power; phones of 32 ohm are judged usual."""
USUAL = 32.0
MIC_NETS = {"MICB", "MIC", "MIC_TIP", "STAND"}
OTHER_BIAS = "bias"
"""The option for a codec module that does not bring its bias out."""
FEED = "R1"
"""The resistor that feeds both microphones."""
LOAD = (2000.0, 2400.0)
"""Ohms that the capsule's figures hold for: 2.2 kohm (parts.toml, [capsule]), 10 % either way."""
COUPLING = 4.7e-6
"""Farads into the codec's input, whose resistance falls to a few kohm at full gain (WM8976 data sheet, of the same
family): 1 uF would cut a baritone's lowest notes."""


def phones(built: Built) -> Iterator[str]:
    """Each channel goes through a capacitor, a series resistor and a shunt, and both channels are alike."""
    told: dict[str, tuple[float, float, float]] = {}
    for name, contact in CHANNELS.items():
        (source,) = {built.net(*pin) for pin in built.named(name)} or {""}
        out = built.net(PHONES, contact)
        paths = [
            (capacitor, series)
            for capacitor in links_of(built, source, Kind.CAPACITOR)
            for series in between(built, capacitor.far(source), out, Kind.RESISTOR)
        ]
        shunts = between(built, out, GROUND, Kind.RESISTOR)
        if len(paths) != 1 or len(shunts) != 1:
            yield f"{PHONES} pin {contact}: {name} does not reach {out} by capacitor, resistor, shunt; wanted these"
            continue
        (capacitor, series), shunt = paths[0], shunts[0]
        told[name] = (capacitor.value, series.value, shunt.value)
        loaded = shunt.value * USUAL / (shunt.value + USUAL)
        if (divided := (series.value + shunt.value) / shunt.value) < SOFTENED:
            yield f"{PHONES} pin {contact}: {name} is divided by {divided:.1f}; wanted {SOFTENED} or more"
        if (hertz := 1 / (2 * pi * capacitor.value * (series.value + loaded))) > LOWEST:
            yield f"{PHONES} pin {contact}: {name} is cut below {hertz:.0f} Hz; wanted {LOWEST:.0f} Hz or lower"
    if len(set(told.values())) > 1:
        yield f"{PHONES}: the channels have {told['HP_L']} and {told['HP_R']}; wanted both alike"


def direct(built: Built) -> Iterator[str]:
    """No direct current of the codec reaches a jack's contact of the phones, nor the codec's input."""
    for name in (*CHANNELS, "LIN1"):
        for pin in sorted(built.named(name)):
            reached = walk(built, built.net(*pin), lambda link: link.kind is not Kind.CAPACITOR)
            for ref in (CLIP, PHONES, PIEZO):
                for contact, net in built.pins_of(ref).items() if ref in built.items else ():
                    if net in reached - {GROUND}:
                        yield f"{ref} pin {contact}: is joined to {name} for direct current; wanted a capacitor"


def bias(built: Built) -> Iterator[str]:
    """The microphone's bias leaves through one resistor, and reaches the microphones only."""
    (start,) = {built.net(*pin) for pin in built.named("MICB")} or {""}
    # The option that feeds the bias from the analogue supply comes in from there.
    reached = walk(built, start, lambda link: link.kind is not Kind.CAPACITOR, (GROUND, "3V3A"))
    if unwanted := reached - MIC_NETS - {GROUND, "3V3A"}:
        yield f"{start or 'MICB'}: the bias reaches {sorted(unwanted)}; wanted {sorted(MIC_NETS)} only"
    if missing := MIC_NETS - reached:
        yield f"{start or 'MICB'}: the bias does not reach {sorted(missing)}; wanted it there"
    strangers = {
        ref
        for net in reached - {GROUND, "3V3A"}
        for ref, pin in built.nets.get(net, ())
        if (built.items[ref].part.symbol.startswith(("box:", "Connector_Audio:")) and ref != CLIP)
        and built.name(ref, pin) != "MICB"
    }
    if strangers:
        yield f"{start or 'MICB'}: the bias also reaches {sorted(strangers)}; wanted the microphones only"
    feeds = [link for link in links_of(built, start, Kind.RESISTOR) if link.far(start) in MIC_NETS]
    if [link.ref for link in feeds] != [FEED]:
        yield f"{start or 'MICB'}: feeds the microphones through {[link.ref for link in feeds]}; wanted {FEED} alone"
    if not between(built, start, GROUND, Kind.CAPACITOR):
        yield f"{start or 'MICB'}: has no capacitor to GND; wanted one against the supply's noise"
    if not [link for link in between(built, "MIC", GROUND, Kind.CAPACITOR) if link.value <= 1e-9]:
        yield "MIC: has no capacitor of at most 1 nF to GND; wanted one against the radio's noise"
    for item in built.items.values():
        if item.option == OTHER_BIAS and set(built.pins_of(item.ref).values()) != {"3V3A", start}:
            yield f"{item.ref}: is on {sorted(built.pins_of(item.ref).values())}; wanted 3V3A and {start}"


def microphone_values(built: Built) -> Iterator[str]:
    """The capsule has the load that its figures hold for, and the lowest notes reach the codec's input."""
    feeds = [link.value for link in links_of(built, "MIC", Kind.RESISTOR) if link.ref == FEED]
    if not feeds or not LOAD[0] <= feeds[0] <= LOAD[1]:
        yield f"{FEED}: loads the microphone with {feeds} ohm; wanted {LOAD[0]:.0f}-{LOAD[1]:.0f}"
    sides = {link.far(built.net(*pin)) for pin in built.named("LIN1") for link in links_of(built, built.net(*pin))}
    for side in sorted(sides - {GROUND}):
        for link in links_of(built, side, Kind.CAPACITOR):
            if link.value < COUPLING:
                yield f"{link.ref}: couples to the codec with {link.value * 1e6:.2g} uF; wanted {COUPLING * 1e6}"


def input_chosen(built: Built) -> Iterator[str]:
    """The codec's input has the microphone, through a capacitor and the bridged side of the jumper."""
    for pin in sorted(built.named("LIN1")):
        net = built.net(*pin)
        bridged = [
            link.far(net)
            for link in links_of(built, net, Kind.CONTACT)
            if {"1", "2"} <= {at for at, on in built.pins_of(link.ref).items() if on in (net, link.far(net))}
        ]
        if not any(between(built, far, "MIC", Kind.CAPACITOR) for far in bridged if far != GROUND):
            yield f"{pin[0]} pin {pin[1]}: {net or 'nothing'} is not bridged to the microphone; wanted that"


def switched_over(built: Built) -> Iterator[str]:
    """Without a plug the capsule in the box is on the tip, with one it is on nothing; the piezo's input is quiet."""
    contact = built.net(CLIP, "TN")
    for item in built.with_part("capsule"):
        plus = [pin for pin, said in item.part.polarity.items() if said == "+"]
        if not contact or [built.net(item.ref, pin) for pin in plus] != [contact]:
            yield f"{CLIP} pin TN: is on {contact or 'nothing'}; wanted the net of the capsule's plus"
    others: list[Link] = [link for link in links_of(built, contact) if link.ref != CLIP] if contact else []
    if others:
        yield f"{CLIP} pin TN: {contact} is also joined by {[link.ref for link in others]}; wanted the jack alone"
    if not between(built, built.net(CLIP, "T"), "MIC", Kind.WIRE):
        yield f"{CLIP} pin T: does not lead to MIC through its ferrite; wanted that"
    if PIEZO in built.items and built.net(PIEZO, "TN") != GROUND:
        yield f"{PIEZO} pin TN: is on {built.net(PIEZO, 'TN') or 'nothing'}; wanted GND: no plug, no sound"
