"""What stands beside the chips: a capacitor by each supply pin, and a pad on each net to be measured."""

from __future__ import annotations

from collections.abc import Iterator

from hardware.rules.built import GROUND, Built
from hardware.rules.links import Kind, between
from hardware.rules.rails import RAILS
from making.circuit import Item

LEAST = 100e-9
"""Farads at a supply pin: common practice."""
MOST = 1e-6
"""Farads of a capacitor that is still quick: common practice."""
RESERVE = 10e-6
"""Farads near who draws its current in bursts, whatever else there is: common practice."""
# Part -> its supply pins; of the computer also the 3.3 V that it gives, as its regulator is far from the modules.
IN_BURSTS = {
    "computer": ("1", "2"),
    "codec": ("1",),
    "display": ("2",),
    "display-other": ("1",),
    "power": ("3", "7"),  # USB allows no more than 10 uF on its 5 V
}
MEASURED = (
    "5V", "3V3", GROUND, "SDA", "SCL", "BCLK", "LRCLK", "ADCDAT", "MICB", "LIN1", "VBUS", "BAT", "EN", "KILL",
)  # fmt: skip
"""Nets that the bring-up measures."""


def decoupled(built: Built) -> Iterator[str]:
    """Every supply pin, and every pin that parts.toml names, has at least 100 nF to ground, placed by that part."""
    for ref, item in built.items.items():
        for pin in sorted({*item.part.decoupled, *item.part.supply}):
            net = built.net(ref, pin)
            if not any(farads >= LEAST for farads in _near(built, item, net)):
                yield f"{ref} pin {pin}: {net or 'nothing'} has no 100 nF to GND that stands by it; wanted one"


def quick(built: Built) -> Iterator[str]:
    """A chip with a bus, and the computer's 5 V, has a small capacitor; a large one alone is slow."""
    for item in built.items.values():
        pins = item.part.supply if item.part.address is not None or item.part.key == "computer" else ()
        for net in sorted({built.net(item.ref, pin) for pin in pins}):
            if not any(LEAST <= farads <= MOST for farads in _near(built, item, net)):
                yield f"{item.ref}: {net or 'nothing'} has no 100 nF to 1 uF to GND that stands by it; wanted one"


def reserve(built: Built) -> Iterator[str]:
    """Who draws current in bursts has 10 uF, and so has the analogue supply behind its ferrite."""
    for item in built.items.values():
        for pin in IN_BURSTS.get(item.part.key, ()):
            net = built.net(item.ref, pin)
            if sum(_near(built, item, net)) < RESERVE:
                yield f"{item.ref} pin {pin}: {net or 'nothing'} has less than 10 uF to GND by it; wanted that"
    if sum(link.value for link in between(built, "3V3A", GROUND, Kind.CAPACITOR) if link.value > MOST) < RESERVE:
        yield "3V3A: has less than 10 uF to GND behind its ferrite; wanted that"


def near_somebody(built: Built) -> Iterator[str]:
    """Whoever stands near a part shares a supply net with it; else the layout would place it for nothing."""
    for ref, item in built.items.items():
        if not item.near:
            continue
        hosts = [other.ref for other in built.items.values() if item.near in (other.ref, other.part.instead_of)]
        supplies = set(built.pins_of(ref).values()) & set(RAILS) - {GROUND}
        if not any(supplies & set(built.pins_of(host).values()) for host in hosts):
            yield f"{ref}: is to stand near {item.near} and shares no supply with it; wanted another place"


def measured(built: Built) -> Iterator[str]:
    """Every net that the bring-up measures has a pad."""
    pads = {net for item in built.with_symbol("Connector:TestPoint") for net in built.pins_of(item.ref).values()}
    for net in MEASURED:
        if net not in pads:
            yield f"{net}: has no test point; wanted one"


def _near(built: Built, item: Item, net: str) -> list[float]:
    """Farads of the capacitors from a net to ground that stand by a part, or by the one that it stands in for."""
    by = {item.ref, item.part.instead_of} - {""}
    return [link.value for link in between(built, net, GROUND, Kind.CAPACITOR) if built.items[link.ref].near in by]
