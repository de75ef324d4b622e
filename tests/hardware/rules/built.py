"""The circuit as the rules see it: KiCad's nets, what the parts are, and what the firmware believes."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path
from types import MappingProxyType

from airladder.devices.pins import PinMap
from making.circuit import HARDWARE, Circuit, Item

ROOT = Path(__file__).parents[3]
BOOT = ROOT / "firmware/system/boot"
GROUND = "GND"
COMPUTER = "A1"

Pin = tuple[str, str]
"""A reference and the number of its pin."""


@dataclass(frozen=True, eq=False)
class Built:
    """Everything that a rule may ask; each is its own, so that what is worked out of it can be kept.

    Parameters
    ----------
    items : reference -> what stands there; its nets are not read, for `nets` says them
    nets : net -> the pins on it
    names : box of modules.toml -> pin -> its name
    pins : what the firmware believes
    config : the lines of config.txt
    overlay : the text of the codec's device-tree overlay
    bill : the text of the bill of materials; None when there is no file
    """

    items: Mapping[str, Item]
    nets: Mapping[str, frozenset[Pin]]
    names: Mapping[str, Mapping[str, str]]
    pins: PinMap
    config: tuple[str, ...]
    overlay: str
    bill: str | None

    def net(self, ref: str, pin: str) -> str:
        """The net on a pin; empty when it is open or not there."""
        return self.pins_of(ref).get(pin, "")

    def pins_of(self, ref: str) -> dict[str, str]:
        """Pin -> net, of all that are on a net."""
        return self._pins.get(ref, {})

    @cached_property
    def _pins(self) -> dict[str, dict[str, str]]:
        found: dict[str, dict[str, str]] = {}
        for net, pins in self.nets.items():
            for ref, pin in pins:
                found.setdefault(ref, {})[pin] = net
        return found

    def name(self, ref: str, pin: str) -> str:
        """What modules.toml calls the pin; empty for a part of KiCad's library."""
        return self.names.get(self.items[ref].part.symbol.removeprefix("box:"), {}).get(pin, "")

    def named(self, *names: str) -> set[Pin]:
        """The pins of modules that have one of the names; the computer's have names of their own."""
        return {
            (ref, pin)
            for ref, item in self.items.items()
            for pin, name in self.names.get(item.part.symbol.removeprefix("box:"), {}).items()
            if name in names and ref != COMPUTER
        }

    def with_symbol(self, start: str) -> Iterator[Item]:
        """The items whose symbol begins so."""
        return (item for item in self.items.values() if item.part.symbol.startswith(start))

    def with_part(self, key: str) -> Iterator[Item]:
        """The items of one entry of parts.toml."""
        return (item for item in self.items.values() if item.part.key == key)

    def keeping(self, wanted: Callable[[Item], bool]) -> Built:
        """The same with only some of the items, and no net that is left without a pin."""
        items = {ref: item for ref, item in self.items.items() if wanted(item)}
        left = {net: frozenset(pin for pin in pins if pin[0] in items) for net, pins in self.nets.items()}
        return replace(self, items=items, nets={net: pins for net, pins in left.items() if pins})


Rule = Callable[[Built], Iterator[str]]


@cache
def module_names(folder: Path = HARDWARE) -> Mapping[str, Mapping[str, str]]:
    """Box of modules.toml -> pin -> its name."""
    with (folder / "modules.toml").open("rb") as file:
        told = tomllib.load(file)
    return MappingProxyType({box: {str(pin[0]): str(pin[1]) for pin in table["pins"]} for box, table in told.items()})


def described(circuit: Circuit, pins: PinMap) -> Built:
    """The circuit as circuit.toml says it, with the boot files and the bill as they lie there."""
    return with_nets(circuit, circuit.nets(), pins)


def with_nets(circuit: Circuit, nets: Mapping[str, Iterable[Pin]], pins: PinMap) -> Built:
    """The parts of a circuit, on nets that came from elsewhere (KiCad's netlist)."""
    bill = HARDWARE / "made/bom.csv"
    return Built(
        items=circuit.items,
        nets={net: frozenset(on) for net, on in nets.items()},
        names=module_names(),
        pins=pins,
        config=tuple(
            line for line in (BOOT / "config.txt").read_text("utf-8").splitlines() if not line.startswith("#")
        ),
        overlay=(BOOT / "airladder-codec.dts").read_text("utf-8"),
        bill=bill.read_text("utf-8") if bill.exists() else None,
    )
