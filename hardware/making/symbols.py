"""Symbols: where their pins are and how large they are; from KiCad's own library, with what they extend put in."""

from __future__ import annotations

import copy
import os
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from making.sexpr import Node, Quoted, lists, numbers, read

LIBRARY = Path(os.environ.get("KICAD9_SYMBOL_DIR", "/usr/share/kicad/symbols"))
Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""


class SymbolFault(Exception):
    """A symbol cannot be had; the text is one sentence."""


@dataclass(frozen=True)
class Pin:
    """A pin of a symbol.

    Parameters
    ----------
    at : its open end, millimetres, y up
    angle : the way from its open end to the body, degrees, against the clock
    """

    number: str
    at: tuple[float, float]
    angle: int


@dataclass(frozen=True)
class Symbol:
    """A symbol as it is drawn.

    Parameters
    ----------
    name : library and name, like Device:R
    tree : KiCad's own description, with nothing left to extend
    pins : number -> pin
    body : of its lines without the pins, millimetres, y up: left, top, right, bottom
    """

    name: str
    tree: list[Node]
    pins: dict[str, Pin]
    body: Box


@cache
def library_symbol(name: str) -> Symbol:
    """A symbol of KiCad's library, by library and name.

    Raises
    ------
    SymbolFault
        The library or the symbol is not there.
    """
    library, _, plain = name.partition(":")
    return built(name, _flat(_library(library), library, plain))


def built(name: str, tree: list[Node]) -> Symbol:
    """A symbol from its description; `name` becomes its name."""
    tree = copy.deepcopy(tree)
    tree[1] = Quoted(name)
    pins = {pin.number: pin for unit in lists(tree, "symbol") for pin in map(_pin, lists(unit, "pin"))}
    spots = [spot for unit in lists(tree, "symbol") for spot in _spots(unit)]
    across, along = [x for x, _ in spots] or [0.0], [y for _, y in spots] or [0.0]
    return Symbol(name, tree, pins, (min(across), max(along), max(across), min(along)))


@cache
def _library(name: str) -> dict[str, list[Node]]:
    path = LIBRARY / f"{name}.kicad_sym"
    try:
        tree = read(path.read_text(encoding="utf-8"))
    except OSError as wrong:
        raise SymbolFault(
            f"KiCad's symbol library {name} is not in {LIBRARY}; install kicad-symbols or set KICAD9_SYMBOL_DIR"
        ) from wrong
    return {str(one[1]): one for one in lists(tree, "symbol")}


def _flat(library: dict[str, list[Node]], of: str, name: str) -> list[Node]:
    if name not in library:
        raise SymbolFault(f"KiCad's symbol library {of} has no symbol {name}")
    own = library[name]
    parent = next(lists(own, "extends"), None)
    if parent is None:
        return own
    flat = copy.deepcopy(_flat(library, of, str(parent[1])))
    for unit in lists(flat, "symbol"):
        unit[1] = Quoted(str(unit[1]).replace(str(parent[1]), name, 1))
    fields = {one[1]: one for one in lists(own, "property")}
    where = next(at for at, one in enumerate(flat) if isinstance(one, list) and one[0] == "property")
    kept = [one for one in flat if not (isinstance(one, list) and one[0] == "property" and one[1] in fields)]
    return kept[:where] + list(fields.values()) + kept[where:]


def _pin(tree: list[Node]) -> Pin:
    x, y, angle = numbers(next(lists(tree, "at")))
    return Pin(str(next(lists(tree, "number"))[1]), (x, y), int(angle))


def _spots(unit: list[Node]) -> Iterator[tuple[float, float]]:
    for shape in unit:
        if not isinstance(shape, list) or shape[0] == "pin":
            continue
        for name in ("start", "mid", "end"):
            for one in lists(shape, name):
                yield _pair(one)
        for points in lists(shape, "pts"):
            yield from map(_pair, lists(points, "xy"))
        for centre in lists(shape, "center"):
            (x, y), radius = _pair(centre), numbers(next(lists(shape, "radius")))[0]
            yield from ((x - radius, y - radius), (x + radius, y + radius))


def _pair(tree: list[Node]) -> tuple[float, float]:
    x, y = numbers(tree)[:2]
    return x, y
