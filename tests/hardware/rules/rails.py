"""Volts: every supply pin gets what it bears, and no signal of a 3.3 V part can go above 3.3 V."""

from __future__ import annotations

import re
from collections.abc import Iterator

from hardware.rules.built import COMPUTER, GROUND, Built
from hardware.rules.header import SUPPLY
from hardware.rules.links import Kind, Link, links, links_of

# Least and most volts. VBUS: 4.5 V is what the charger wants, 5.5 V the most of vSafe5V (USB Type-C specification,
# table of VBUS source levels; USB PD, vSafe5V); BAT: a protected cell from its cut-off to its charger's 4.20 V and
# 1 %; 5V: as the boost is bought (parts.toml, [power]); 3V3: the computer's own regulator, nominal.
RAILS = {
    GROUND: (0.0, 0.0),
    "3V3": (3.3, 3.3),
    "3V3A": (3.3, 3.3),
    "5V": (5.0, 5.2),
    "VBUS": (4.5, 5.5),
    "VBUS_IN": (4.5, 5.5),
    "BAT": (2.8, 4.25),
    "CELL": (2.8, 4.25),
}
HIGHEST = 3.3
"""Volts that the computer's pins bear: more "will likely destroy" them (raspberrypi/documentation,
gpio-on-raspberry-pi)."""
LOW_VOLTAGE = 3.6
"""A part that bears no more is a part of 3.3 V."""
FIXED_LEVELS = {"gauge"}
"""Its bus levels do not hang on its supply: 1.4 V is high (MAX17048 data sheet, digital inputs)."""
TOLERANCE = 0.01
RESERVE = 1.5
"""A capacitor is rated for so many times its volts: common practice, for ceramics lose capacity under voltage."""

GROUNDED = ("GND", "AGND", "BAT-", "QST")
"""Names of modules' pins that belong on ground; the gauge's quick start, which is not used, among them."""

# Rail -> the rail that feeds it through one fuse or ferrite.
FED_THROUGH = {"3V3A": "3V3", "VBUS": "VBUS_IN", "BAT": "CELL"}


def supplies(built: Built) -> Iterator[str]:
    """Every supply pin is on a rail that stays inside its limits."""
    for ref, item in built.items.items():
        for pin, (least, most) in item.part.supply.items():
            net = built.net(ref, pin)
            if net not in RAILS or net == GROUND:
                yield f"{ref} pin {pin}: its supply is on {net or 'nothing'}; wanted a rail of {least}-{most} V"
            elif RAILS[net][0] < least or RAILS[net][1] > most:
                low, high = RAILS[net]
                yield f"{ref} pin {pin}: {net} has {low}-{high} V; wanted within {least}-{most} V"


def bus_levels(built: Built) -> Iterator[str]:
    """Who is on the bus lives on its 3.3 V: 0.7 x supply is high for most (NXP UM10204, table of input levels)."""
    for ref, item in built.items.items():
        if item.part.address is None or item.part.key in FIXED_LEVELS:
            continue
        for pin in item.part.supply:
            if (net := built.net(ref, pin)) != "3V3":
                yield f"{ref} pin {pin}: is on {net or 'nothing'}; wanted 3V3, which the bus is pulled up to"


def rail_sources(built: Built) -> Iterator[str]:
    """Every rail is fed from where it should be, and every pin of a module that belongs on ground is."""
    boost = [pin for pin in built.named("5V") if built.net(*pin) == "5V"]
    if len(boost) != 1:
        yield f"5V: is fed by {len(boost)} outputs of a boost; wanted one"
    if built.net(COMPUTER, "1") != "3V3":
        yield "3V3: header pin 1 does not feed it; wanted that"
    for rail, source in FED_THROUGH.items():
        found = [link for link in links_of(built, rail, Kind.WIRE) if link.far(rail) == source]
        if len(found) != 1:
            yield f"{rail}: is joined to {source} by {len(found)} fuses or ferrites; wanted one"
    for ref, pin in sorted(built.named(*GROUNDED)):
        if built.net(ref, pin) != GROUND:
            yield f"{ref} pin {pin}: is on {built.net(ref, pin) or 'nothing'}; wanted GND"


def signal_levels(built: Built) -> Iterator[str]:
    """No signal of the computer, or of another part of 3.3 V, is on a net that can exceed 3.3 V."""
    for ref, item in built.items.items():
        limits = [most for _, most in item.part.supply.values()]
        if ref != COMPUTER and (not limits or max(limits) > LOW_VOLTAGE):
            continue
        for pin, net in built.pins_of(ref).items():
            if pin in item.part.supply or (ref == COMPUTER and int(pin) in SUPPLY):
                continue
            volts = highest(built, net)
            if volts is not None and volts > HIGHEST + 1e-6:
                yield f"{ref} pin {pin}: {net} can have {volts:.2f} V; wanted at most {HIGHEST} V"


def ratings(built: Built) -> Iterator[str]:
    """Every capacitor bears the volts that can be across it, with a reserve; the lower end may be at ground."""
    for link in links(built):
        if link.kind is not Kind.CAPACITOR:
            continue
        rated = re.search(r"([\d.]+) V\b", built.items[link.ref].part.spec)
        volts = max(highest(built, net) or 0.0 for net in (link.one, link.other))
        if rated is None or float(rated[1]) < RESERVE * volts:
            told = f"{rated[1]} V" if rated else "no volts"
            yield f"{link.ref}: is rated for {told}, and can have {volts:.1f} V; wanted {RESERVE} times that"


def highest(built: Built, net: str, seen: tuple[str, ...] = ()) -> float | None:
    """The most volts that a net can have; None when nothing can lift it.

    An upper bound. Resistors to rails (1 %, the worse way) always count; a switch or a transistor may be closed, and
    what lies behind a resistor may float, so these count only where they lift the net. The processor's own pull-downs
    are not counted on: the firmware may change them, and they are not there while the board is off.
    """
    if net in RAILS:
        return RAILS[net][1]
    steady = list(_pulled(built, net))
    loose: list[tuple[float, float]] = []
    for link in links_of(built, net):
        far = link.far(net)
        if far in seen or link.kind is Kind.CAPACITOR or (link.kind is Kind.DIODE and link.one == net):
            continue
        volts = highest(built, far, (*seen, net))
        if volts is not None:
            ohms = _worse(link, volts)
            (steady if ohms and far in RAILS else loose).append((volts, ohms))
    found = _mean(steady)
    for volts, ohms in sorted(loose, reverse=True):
        if found is None or volts > found:
            if not ohms or not steady:
                found = max(volts, found or 0.0)
            else:
                steady.append((volts, ohms))
                found = _mean(steady)
    return found


def _pulled(built: Built, net: str) -> Iterator[tuple[float, float]]:
    for ref, pin in built.nets.get(net, ()):
        pull = built.items[ref].part.pull_ups.get(pin)
        if pull:
            yield RAILS[pull[1]][1], pull[0]


def _worse(link: Link, volts: float) -> float:
    return link.value * (1 - TOLERANCE if volts > 0 else 1 + TOLERANCE)


def _mean(pulls: list[tuple[float, float]]) -> float | None:
    """Volts of a net that is pulled to several, each given with its ohms."""
    if not pulls:
        return None
    return sum(volts / ohms for volts, ohms in pulls) / sum(1 / ohms for _, ohms in pulls)
