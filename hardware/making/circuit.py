"""The circuit as it is described: circuit.toml and parts.toml, read and put together."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

HARDWARE = Path(__file__).parents[1]


class CircuitFault(Exception):
    """The description contradicts itself; the text is one sentence."""


@dataclass(frozen=True)
class Part:
    """What a part is and what to buy; the columns of the bill of materials.

    Parameters
    ----------
    key : its entry in parts.toml
    symbol : of KiCad's library, or `box:NAME` of modules.toml
    footprint : of KiCad's library, or `airladder:NAME`
    price : euro a piece, a guess
    supply : pin -> least and most volts
    pull_ups : pin -> ohms and the rail that it pulls to
    address : on the I2C bus
    decoupled : pins that want a capacitor beside them
    esd : pins that protect the net that they are on
    polarity : pin -> what must be printed beside it
    copper : it is part of the board, and nothing is bought
    instead_of : the reference of the part that it stands in for; never both
    """

    key: str
    symbol: str
    value: str
    footprint: str
    description: str
    maker: str
    mpn: str
    spec: str
    alternative: str
    datasheet: str
    price: float
    search: str
    supply: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    pull_ups: Mapping[str, tuple[float, str]] = field(default_factory=dict)
    address: int | None = None
    decoupled: tuple[str, ...] = ()
    esd: tuple[str, ...] = ()
    polarity: Mapping[str, str] = field(default_factory=dict)
    copper: bool = False
    instead_of: str = ""


@dataclass(frozen=True)
class Item:
    """One part as it stands in the circuit.

    Parameters
    ----------
    ref : its reference, like R1
    sheet : the sheet that it is drawn on
    pins : pin -> net
    open : pins that are left open on purpose
    near : the reference of the part that it must stand by; empty for none
    option : the option that it belongs to; empty when it is always fitted
    """

    ref: str
    sheet: str
    part: Part
    pins: Mapping[str, str]
    open: tuple[str, ...] = ()
    near: str = ""
    option: str = ""


@dataclass(frozen=True)
class Circuit:
    """All sheets.

    Parameters
    ----------
    titles : sheet -> its title, in the order of the drawing
    items : reference -> item, in the order of the file
    flags : nets that are supplied through passive parts
    revision, date : what stands in the title blocks
    """

    titles: Mapping[str, str]
    items: Mapping[str, Item]
    flags: tuple[str, ...]
    revision: str
    date: str

    def nets(self) -> dict[str, list[tuple[str, str]]]:
        """Net -> the (reference, pin) pairs on it, both in the order of the file."""
        found: dict[str, list[tuple[str, str]]] = {}
        for item in self.items.values():
            for pin, net in item.pins.items():
                found.setdefault(net, []).append((item.ref, pin))
        return found


def load(folder: Path = HARDWARE) -> Circuit:
    """Read both files of a folder.

    Raises
    ------
    CircuitFault
        A part is unknown, a reference is used twice, or a pin is both on a net and open.
    """
    with (folder / "circuit.toml").open("rb") as file:
        told = tomllib.load(file)
    parts = load_parts(folder)
    items: dict[str, Item] = {}
    for sheet, tables in told["sheet"].items():
        for ref, table in _tables(tables):
            if ref in items:
                raise CircuitFault(
                    f"circuit.toml has {ref} twice, in {items[ref].sheet} and {sheet}; give one another name"
                )
            items[ref] = _item(ref, sheet, table, parts)
    titles = {sheet: str(tables["title"]) for sheet, tables in told["sheet"].items()}
    return Circuit(titles, items, tuple(told["flags"]), told["revision"], told["date"])


def load_parts(folder: Path = HARDWARE) -> dict[str, Part]:
    """The entries of parts.toml, with what every capacitor and every resistor has."""
    with (folder / "parts.toml").open("rb") as file:
        told = tomllib.load(file)
    usual = told.pop("usual")
    return {key: _part(key, usual.get(table["symbol"], {}) | table) for key, table in told.items()}


def _tables(tables: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    for name, table in tables.items():
        if name == "small":
            yield from table.items()
        elif name != "title":
            yield name, table


def _part(key: str, table: Mapping[str, Any]) -> Part:
    told = dict(table)
    for name in ("supply", "pull_ups"):
        told[name] = {pin: tuple(value) for pin, value in told.get(name, {}).items()}
    for name in ("decoupled", "esd"):
        told[name] = tuple(str(pin) for pin in told.get(name, ()))
    try:
        return Part(key=key, **told)
    except TypeError as wrong:
        raise CircuitFault(
            f"parts.toml, [{key}]: {wrong}; see making/circuit.py for the words that it knows"
        ) from wrong


def _item(ref: str, sheet: str, table: Mapping[str, Any], parts: Mapping[str, Part]) -> Item:
    if table["part"] not in parts:
        raise CircuitFault(
            f"circuit.toml, {ref}: parts.toml has no part '{table['part']}'; add it there or mend the name"
        )
    opened = tuple(str(pin) for pin in table.get("open", ()))
    both = set(opened) & set(table["pins"])
    if both:
        raise CircuitFault(f"circuit.toml, {ref}: pin {min(both)} is on a net and open; it can only be one")
    part = parts[table["part"]]
    return Item(ref, sheet, part, dict(table["pins"]), opened, table.get("near", ""), table.get("option", ""))
