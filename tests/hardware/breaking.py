"""Putting a fault in on purpose: small changes of the description, of the firmware's files and of the bill."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, make_dataclass, replace
from functools import reduce
from typing import Any

from airladder.devices.pins import PinMap, pin_map
from airladder.practice.presses import Button
from hardware.rules.built import Built, described
from making.circuit import Circuit, Item, load, load_parts

PARTS = load_parts()


@dataclass(frozen=True)
class Case:
    """All that a fault can be in.

    Parameters
    ----------
    circuit : circuit.toml and parts.toml
    pins : pins.toml
    config : config.txt
    overlay : the codec's overlay
    bill : made/bom.csv; None when there is no such file
    """

    circuit: Circuit
    pins: PinMap
    config: str
    overlay: str
    bill: str | None

    def built(self) -> Built:
        """As the rules see it."""
        config = tuple(self.config.splitlines())
        return replace(described(self.circuit, self.pins), config=config, overlay=self.overlay, bill=self.bill)


Change = Callable[[Case], Case]


def unchanged() -> Case:
    """What lies in the repository."""
    circuit, pins = load(), pin_map()
    built = described(circuit, pins)
    return Case(circuit, pins, "\n".join(built.config), built.overlay, built.bill)


def move(ref: str, **pins: str | None) -> Change:
    """Put pins of a part on other nets; None leaves them open. A pin's number has a p before it: p3."""
    nets = {pin.removeprefix("p"): net for pin, net in pins.items()}

    def change(item: Item) -> Item:
        merged = dict(item.pins) | nets
        kept = {pin: net for pin, net in merged.items() if net is not None}
        opened = (*(pin for pin in item.open if pin not in kept), *(pin for pin, net in nets.items() if net is None))
        return replace(item, pins=kept, open=opened)

    return _item(ref, change)


def swap(ref: str, one: str, other: str) -> Change:
    """Change the nets of two pins of a part."""
    return _item(ref, lambda item: replace(item, pins={**item.pins, one: item.pins[other], other: item.pins[one]}))


def take(ref: str, key: str) -> Change:
    """Solder another part of parts.toml in."""
    return _item(ref, lambda item: replace(item, part=PARTS[key]))


def exchange(one: str, other: str) -> Change:
    """Solder each of two parts in the other's place."""

    def change(case: Case) -> Case:
        first, second = (case.circuit.items[ref].part.key for ref in (one, other))
        return together(take(one, second), take(other, first))(case)

    return change


def place(ref: str, **told: Any) -> Change:
    """Change what circuit.toml says of a part besides its pins: near, option."""
    return _item(ref, lambda item: replace(item, **told))


def fact(ref: str, **told: Any) -> Change:
    """Change what parts.toml says of the part of one reference."""
    return _item(ref, lambda item: replace(item, part=replace(item.part, **told)))


def without(ref: str) -> Change:
    """Forget a part."""

    def change(case: Case) -> Case:
        items = {at: item for at, item in case.circuit.items.items() if at != ref}
        assert len(items) < len(case.circuit.items), f"there is no {ref}"
        return replace(case, circuit=replace(case.circuit, items=items))

    return change


def add(ref: str, key: str, **pins: str) -> Change:
    """Solder one more part in, on the sheet of the computer."""

    def change(case: Case) -> Case:
        assert ref not in case.circuit.items, f"{ref} is there already"
        item = Item(ref, "computer", PARTS[key], {pin.removeprefix("p"): net for pin, net in pins.items()})
        return replace(case, circuit=replace(case.circuit, items={**case.circuit.items, ref: item}))

    return change


def button(name: str, pin: int) -> Change:
    """The firmware takes a button from another pin."""

    def change(case: Case) -> Case:
        return replace(case, pins=replace(case.pins, buttons={**case.pins.buttons, Button(name): pin}))

    return change


def firmware(table: str, **told: int) -> Change:
    """The firmware believes something else of a table of pins.toml."""

    def change(case: Case) -> Case:
        return replace(case, pins=replace(case.pins, **{table: replace(getattr(case.pins, table), **told)}))

    return change


def new_signal(table: str, **pins: int) -> Change:
    """The firmware learns of a signal that it had not before, in a table of its own."""

    def change(case: Case) -> Case:
        told = make_dataclass(table.title(), [(name, int) for name in pins], frozen=True)(**pins)
        wider = make_dataclass("WiderMap", [(table, object)], bases=(PinMap,), frozen=True)
        return replace(
            case, pins=wider(**{f.name: getattr(case.pins, f.name) for f in fields(case.pins)}, **{table: told})
        )

    return change


def no_bill(case: Case) -> Case:
    """Nobody has made the bill."""
    return replace(case, bill=None)


def text(name: str, old: str, new: str) -> Change:
    """Other words in config, overlay or bill."""

    def change(case: Case) -> Case:
        assert old in (getattr(case, name) or ""), f"'{old}' is not in the {name}"
        return replace(case, **{name: getattr(case, name).replace(old, new, 1)})

    return change


def together(*changes: Change) -> Change:
    """One after the other."""
    return lambda case: reduce(lambda so_far, change: change(so_far), changes, case)


def _item(ref: str, change: Callable[[Item], Item]) -> Change:
    def changed(case: Case) -> Case:
        items = {**case.circuit.items, ref: change(case.circuit.items[ref])}
        return replace(case, circuit=replace(case.circuit, items=items))

    return changed
