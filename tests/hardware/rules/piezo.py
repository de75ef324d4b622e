"""The option of a piezo clip: a capacitor, a follower of high input resistance, and a pad to the codec's level."""

from __future__ import annotations

from collections.abc import Iterator

from hardware.rules.built import GROUND, Built
from hardware.rules.links import Kind, between, links_of

OPTION, JACK, CLAMP = "piezo", "J3", "Diode:BAV99"
OUT, MINUS, PLUS, BELOW = "1", "4", "3", "2"
"""Of the follower (KiCad's symbol MCP6001-OT)."""
MIDDLE, OTHER_SIDE = "3", "3"
"""Of the clamp, and of the jumper: its side that is not bridged."""
LEAST = 1e6
"""Ohms at the follower's input: 15 nF of a piezo disc into 1 Mohm pass 11 Hz, into 47 kohm only 226 Hz."""


def followed(built: Built) -> Iterator[str]:
    """The clip reaches the follower by a capacitor and a resistor, clamped, and rests at half the supply."""
    if not any(item.option == OPTION for item in built.items.values()):
        return
    chips = [item.ref for item in built.with_part("follower")]
    if len(chips) != 1 or JACK not in built.items:
        yield f"piezo: has the followers {chips} and {'a' if JACK in built.items else 'no'} jack; wanted one of each"
        return
    plus, tip = built.net(chips[0], PLUS), built.net(JACK, "T")
    blocked = [link.far(tip) for link in links_of(built, tip, Kind.CAPACITOR)]
    if tip in ("", GROUND) or not any(between(built, net, plus, Kind.RESISTOR) for net in blocked):
        yield f"{JACK} pin T: does not reach {chips[0]} by a capacitor and a resistor; wanted that"
    if not built.net(chips[0], OUT) or built.net(chips[0], OUT) != built.net(chips[0], MINUS):
        yield f"{chips[0]}: its output is not on its minus input; wanted that, a follower"
    if built.net(chips[0], BELOW) != GROUND:
        yield f"{chips[0]} pin {BELOW}: is on {built.net(chips[0], BELOW) or 'nothing'}; wanted GND"
    if not plus or plus not in {built.net(item.ref, MIDDLE) for item in built.with_symbol(CLAMP)}:
        yield f"{chips[0]} pin {PLUS}: is not clamped; wanted a double diode's middle on it"
    rests = [link for link in links_of(built, plus, Kind.RESISTOR) if link.value >= LEAST]
    if not any(_halved(built, link.far(plus)) for link in rests):
        yield f"{chips[0]} pin {PLUS}: does not rest at half the supply through {LEAST / 1e6:.0f} Mohm; wanted that"


def padded(built: Built) -> Iterator[str]:
    """The follower's output is divided, and reaches the side of the jumper that is not bridged by a capacitor."""
    for item in built.with_part("follower"):
        out = built.net(item.ref, OUT)
        side = {built.net(jumper.ref, OTHER_SIDE) for jumper in built.with_part("choice")} - {""}
        pads = [link.far(out) for link in links_of(built, out, Kind.RESISTOR)]
        found = [pad for pad in pads if between(built, pad, GROUND, Kind.RESISTOR)]
        if not any(between(built, pad, net, Kind.CAPACITOR) for pad in found for net in side):
            yield f"{item.ref} pin {OUT}: does not reach the jumper by a divider and a capacitor; wanted that"


def _halved(built: Built, net: str) -> bool:
    up, down = (between(built, net, rail, Kind.RESISTOR) for rail in ("3V3A", GROUND))
    alike = len(up) == len(down) == 1 and up[0].value == down[0].value
    return alike and bool(between(built, net, GROUND, Kind.CAPACITOR))
