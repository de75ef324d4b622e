"""The I2C bus: its pull-ups, and who answers where."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import fields

from hardware.rules.built import Built
from hardware.rules.header import net_of
from hardware.rules.links import Kind, links_of
from hardware.rules.rails import RAILS
from making.circuit import Item
from making.lines import FACTOR, PIN_FARADS, RISE, WIRE_FARADS, least_pull_up


def most_ohms(pins: int) -> float:
    """The most pull-up at which a line with so many pins still rises in time."""
    return RISE / (FACTOR * (pins * PIN_FARADS + WIRE_FARADS))


def pull_ups(built: Built) -> Iterator[str]:
    """Both lines are pulled to 3.3 V, neither harder than the outputs can pull nor too weakly to rise in time."""
    for name, bcm in (("SDA", built.pins.i2c.sda), ("SCL", built.pins.i2c.scl)):
        net = net_of(built, bcm)
        pulls = [
            (f"{ref} pin {pin}", *built.items[ref].part.pull_ups[pin])
            for ref, pin in sorted(built.nets.get(net, ()))
            if pin in built.items[ref].part.pull_ups and not _stands_aside(built, built.items[ref])
        ]
        pulls += [(link.ref, link.value, link.far(net)) for link in links_of(built, net, Kind.RESISTOR)]
        for where, _, rail in pulls:
            if rail != "3V3":
                yield f"{where}: pulls {name} to {rail}; wanted 3V3"
        ohms = 1 / sum(1 / value for _, value, _ in pulls) if pulls else float("inf")
        least = least_pull_up(RAILS["3V3"][1])
        most = most_ohms(sum(built.items[ref].part.address is not None for ref, _ in built.nets.get(net, ())) + 1)
        if ohms < least:
            yield f"{name}: is pulled up by {ohms:.0f} ohm in all; wanted at least {least:.0f}"
        if ohms > most:
            yield f"{name}: is pulled up by {ohms:.0f} ohm in all; wanted at most {most:.0f}"


def addresses(built: Built) -> Iterator[str]:
    """Each device has an address of its own, and that of pins.toml; what stands in for another has the same."""
    owners: dict[int, list[str]] = defaultdict(list)
    for ref, item in built.items.items():
        if item.part.address is None:
            continue
        other = built.items.get(item.part.instead_of)
        if other is None:
            owners[item.part.address].append(ref)
        elif other.part.address != item.part.address:
            yield f"{ref}: answers at {item.part.address:#04x}; wanted that of {other.ref}, which it stands in for"
    for address, refs in owners.items():
        if len(refs) > 1:
            yield f"{' and '.join(refs)}: all answer at {address:#04x}; wanted one address each"
    for field in fields(built.pins.addresses):
        wanted = getattr(built.pins.addresses, field.name)
        found = [item.part.address for item in _of_role(built, field.name)]
        if found != [wanted]:
            told = [f"{address:#04x}" for address in found if address is not None]
            yield f"{field.name}: the circuit has it at {told or 'no address'}; pins.toml wants {wanted:#04x}"


def overlay_agrees(built: Built) -> Iterator[str]:
    """The codec's overlay and the clock's line of config.txt name the chips and addresses that are soldered in."""
    codecs = list(_of_role(built, "codec"))
    node = re.search(r'codec@([0-9a-f]+) \{\s*compatible = "wlf,(\w+)";\s*reg = <0x([0-9a-f]+)>;', built.overlay)
    if node is None:
        yield "airladder-codec.dts: has no node codec@... with its chip and address; wanted the codec's"
    for codec in codecs if node else []:
        found = node.groups() if node else ()
        chip, address = codec.part.mpn.rpartition(" ")[2].lower(), f"{codec.part.address:x}"
        if found != (address, chip, address):
            yield f"airladder-codec.dts: has {found} for address, chip, address; {codec.ref} is {chip} at {address}"
    for clock in _of_role(built, "clock"):
        chip = clock.part.mpn.rpartition(" ")[2].lower()
        lines = [line.split(",") for line in built.config if line.startswith("dtoverlay=i2c-rtc")]
        if [words[1:] for words in lines] != [[chip]]:
            yield f"config.txt: has i2c-rtc as {lines}; {clock.ref} wants one line, with {chip} and the usual address"
        if clock.part.address != 0x68:  # the kernel's overlays/README, i2c-rtc: addr is 0x68 unless it is given
            yield f"{clock.ref}: answers at {clock.part.address}; i2c-rtc without addr wants 0x68"


def _of_role(built: Built, role: str) -> Iterator[Item]:
    """What fills a role of pins.toml's addresses: the part of that name, or what stands in for a part left out."""
    for item in built.items.values():
        aside = _stands_aside(built, item)
        if (item.part.key == role or item.part.key == f"{role}-other") and not aside:
            yield item


def _stands_aside(built: Built, item: Item) -> bool:
    """Whether it is there instead of a part that is there too: only one of the two is ever fitted."""
    return item.part.instead_of in built.items
