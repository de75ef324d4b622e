"""The project's own symbols: a box for each module of modules.toml, and a mark for each supply."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from functools import cache
from pathlib import Path

from making.circuit import HARDWARE
from making.sexpr import Node, Quoted
from making.symbols import Symbol, SymbolFault, built

NICKNAME = "airladder"
_STEP = 2.54
_PIN = 3.81
# A letter of KiCad's own font is about this wide at the usual height, millimetres; seen on its drawings.
_LETTER = 1.2


def box(name: str) -> Symbol:
    """The symbol of a module: its pins by number and kind, on the sides that modules.toml says.

    Raises
    ------
    SymbolFault
        modules.toml has no such module.
    """
    modules = _modules(HARDWARE)
    if name not in modules:
        raise SymbolFault(f"modules.toml has no module {name}; add it there or mend the name in parts.toml")
    pins = modules[name]
    sides = {side: [pin for pin in pins if pin[3] == side] for side in ("left", "right")}
    longest = {side: max((len(pin[1]) for pin in of), default=0) for side, of in sides.items()}
    across = _even(max(sum(longest.values()) * _LETTER + 7.62, 15.24)) / 2
    half = _even(max(map(len, sides.values())) * _STEP) / 2
    drawn: list[Node] = [_rectangle(-across, half, across, -half)]
    for side, of in sides.items():
        x, angle = (-across - _PIN, 0.0) if side == "left" else (across + _PIN, 180.0)
        drawn += [_pin(pin, x, half - _STEP / 2 - _STEP * row, angle) for row, pin in enumerate(of)]
    return built(f"{NICKNAME}:{name}", _symbol(name, "A", "Module of this project", drawn, text=half))


@cache
def supply(net: str, down: bool) -> Symbol:
    """The mark of a supply: its value is the net's own name; a bar above, or the three lines of ground below."""
    if down:
        lines = [_line((-1.27, -1.27), (1.27, -1.27)), _line((-0.762, -1.905), (0.762, -1.905))]
        lines += [_line((-0.254, -2.54), (0.254, -2.54)), _line((0.0, 0.0), (0.0, -1.27))]
    else:
        lines = [_line((0.0, 0.0), (0.0, 1.778)), _line((-1.016, 1.778), (1.016, 1.778))]
    pin = _pin((1, net, "power_in", ""), 0.0, 0.0, 270.0 if down else 90.0, 0.0)
    tree = _symbol(net, "#PWR", f"Supply {net}", [*lines, pin], text=3.81)
    tree[2:2] = [["power"], ["pin_numbers", ["hide", "yes"]]]
    tree[4:5] = [["pin_names", ["offset", "0"], ["hide", "yes"]]]
    return built(f"{NICKNAME}:{net}", tree)


def library(symbols: Iterable[Symbol]) -> list[Node]:
    """The project's library as a file."""
    tree: list[Node] = ["kicad_symbol_lib", ["version", "20241209"], ["generator", Quoted("making.schematic")]]
    tree.append(["generator_version", Quoted("9.0")])
    for symbol in sorted(symbols, key=lambda one: one.name):
        tree.append([*symbol.tree[:1], Quoted(symbol.name.partition(":")[2]), *symbol.tree[2:]])
    return tree


@cache
def _modules(folder: Path) -> dict[str, list[tuple[int, str, str, str]]]:
    with (folder / "modules.toml").open("rb") as file:
        return {name: [tuple(pin) for pin in told["pins"]] for name, told in tomllib.load(file).items()}


def _symbol(name: str, prefix: str, description: str, drawn: list[Node], text: float) -> list[Node]:
    fields = (("Reference", prefix, text + 3.81), ("Value", name, text + 1.27), ("Footprint", "", 0.0))
    tree: list[Node] = ["symbol", Quoted(name), ["pin_names", ["offset", 1.016]], ["exclude_from_sim", "no"]]
    tree += [["in_bom", "yes"], ["on_board", "yes"]]
    for key, value, y in (*fields, ("Datasheet", "", 0.0), ("Description", description, 0.0)):
        shown = key == "Value" or (key == "Reference" and not value.startswith("#"))
        effects: list[Node] = ["effects", ["font", ["size", 1.27, 1.27]]]
        effects += [] if shown else [["hide", "yes"]]
        tree.append(["property", Quoted(key), Quoted(value), ["at", 0.0, y, 0.0], effects])
    tree += [["symbol", Quoted(f"{name}_1_1"), *drawn], ["embedded_fonts", "no"]]
    return tree


def _rectangle(left: float, top: float, right: float, bottom: float) -> list[Node]:
    stroke: list[Node] = ["stroke", ["width", 0.254], ["type", "default"]]
    return ["rectangle", ["start", left, top], ["end", right, bottom], stroke, ["fill", ["type", "background"]]]


def _line(a: tuple[float, float], b: tuple[float, float]) -> list[Node]:
    stroke: list[Node] = ["stroke", ["width", 0.0], ["type", "default"]]
    return ["polyline", ["pts", ["xy", *a], ["xy", *b]], stroke, ["fill", ["type", "none"]]]


def _pin(pin: tuple[int, str, str, str], x: float, y: float, angle: float, length: float = _PIN) -> list[Node]:
    number, name, kind, _ = pin
    font: list[Node] = ["effects", ["font", ["size", 1.27, 1.27]]]
    ends: list[Node] = [["name", Quoted(name), font], ["number", Quoted(str(number)), font]]
    return ["pin", kind, "line", ["at", x, y, angle], ["length", length], *ends]


def _even(length: float) -> float:
    """The next multiple of two steps of the pins, so that half of it keeps pins on the grid."""
    return -(-length // (2 * _STEP)) * 2 * _STEP
