"""The modules' footprints, from modules.toml: `python -m making.footprints` writes made/airladder.pretty.

The holes, what each of them is called, the outline of the module, and its body in three dimensions.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from making.circuit import HARDWARE
from making.sexpr import Node, Quoted, write
from making.sheets import identity

# A pin strip of 0.64 mm square pins in 1.0 mm holes: common practice, as KiCad's own PinSocket footprints have it.
_PAD, _DRILL = 1.7, 1.0
# For a screw M2.5 with room (ISO 273, medium: 2.9; fine: 2.7), millimetres.
_HOLE = 2.7
_LETTER = 0.8
_MARK = 2.0
# Names of so many letters go along a row side by side.
_FLAT = 3
_NARROW = 0.62
# From the middle of a hole to the first letter of its name.
_AWAY = 1.25


def names_of_pins(pins: list[list[Any]]) -> dict[str, str]:
    """Pin -> what is printed beside it."""
    return {str(pin[0]): str(pin[1]) for pin in pins}


def footprint(name: str, told: Mapping[str, Any]) -> list[Node]:
    """A module as a footprint: its middle is the middle of its body, and it is seen from above.

    A module with `instead_of` in modules.toml has no outline of its own: it lies where that one would.
    """
    width, height = told["body"]
    tree: list[Node] = [
        "footprint",
        Quoted(name),
        ["version", "20241229"],
        ["generator", Quoted("making.footprints")],
    ]
    tree += [["generator_version", Quoted("9.0")], ["layer", Quoted("F.Cu")]]
    tree.append(["descr", Quoted(f"Module {name} on socket strips, body {width:g} x {height:g} mm")])
    tree += _fields(name, told)
    tree.append(["attr", "through_hole"])
    rows = [list(_holes(row, width, height)) for row in told["rows"]]
    other = name.endswith("_other")
    outline = _round(rows[0]) if other else (-width / 2, -height / 2, width / 2, height / 2)
    for layer, line in (("F.Fab", 0.1), ("F.CrtYd", 0.05)):
        tree.append(_rectangle(name, outline, layer, line))
    if not other:
        tree += _marks(name, outline)
    called = names_of_pins(told["pins"])
    for row in rows:
        if not other:
            tree.append(_first(name, row[0]))
        for pin, x, y in row:
            shape = "rect" if pin == str(told["rows"][0]["pins"][0]) else "circle"
            tree.append(_pad(name, pin, x, y, shape))
            tree.append(_name(name, called, pin, (x, y), row, outline, other))
    if not other:
        tree.append(_model(name))
    return [*tree, ["embedded_fonts", "no"]]


def hole(keepout: float) -> list[Node]:
    """A hole for a screw M2.5; nothing may stand within the keep-out round its middle, millimetres."""
    name = "hole"
    tree: list[Node] = [
        "footprint",
        Quoted(name),
        ["version", "20241229"],
        ["generator", Quoted("making.footprints")],
    ]
    tree += [
        ["generator_version", Quoted("9.0")],
        ["layer", Quoted("F.Cu")],
        ["descr", Quoted("Hole for a screw M2.5")],
    ]
    tree += _fields(name, {"body": [2 * keepout, 2 * keepout]})
    tree.append(["attr", "board_only", "exclude_from_pos_files", "exclude_from_bom"])
    size: list[Node] = [["size", _HOLE, _HOLE], ["drill", _HOLE], ["layers", Quoted("*.Cu"), Quoted("*.Mask")]]
    tree.append(["pad", Quoted(""), "np_thru_hole", "circle", ["at", 0.0, 0.0], *size, _uuid(name, "pad")])
    for layer in ("F.CrtYd", "B.CrtYd"):
        stroke: list[Node] = ["stroke", ["width", 0.05], ["type", "solid"]]
        ends: list[Node] = [["center", 0.0, 0.0], ["end", keepout, 0.0]]
        tree.append(["fp_circle", *ends, stroke, ["fill", "no"], ["layer", Quoted(layer)], _uuid(name, layer)])
    return [*tree, ["embedded_fonts", "no"]]


def modules(folder: Path = HARDWARE) -> dict[str, Mapping[str, Any]]:
    """The modules that have rows of holes of their own, by the name of their footprint."""
    with (folder / "modules.toml").open("rb") as file:
        told = tomllib.load(file)
    return {name.replace("-", "_"): one for name, one in told.items() if "rows" in one}


def write_all(folder: Path, keepout: float) -> None:
    """Write all of them, and the hole for a screw, into a library's folder."""
    folder.mkdir(parents=True, exist_ok=True)
    trees = {name: footprint(name, told) for name, told in modules().items()} | {"hole": hole(keepout)}
    for name, tree in trees.items():
        (folder / f"{name}.kicad_mod").write_text(write(tree) + "\n", encoding="utf-8")


def _holes(row: Mapping[str, Any], width: float, height: float) -> list[tuple[str, float, float]]:
    (x, y), (dx, dy) = row["at"], row["step"]
    return [(str(pin), x - width / 2 + dx * at, y - height / 2 + dy * at) for at, pin in enumerate(row["pins"])]


def _round(row: list[tuple[str, float, float]]) -> tuple[float, float, float, float]:
    xs, ys = [x for _, x, _ in row], [y for _, _, y in row]
    half = _PAD / 2 + 0.05
    return min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half


def _name(
    name: str,
    called: Mapping[str, str],
    pin: str,
    at: tuple[float, float],
    row: list[tuple[str, float, float]],
    outline: tuple[float, float, float, float],
    other: bool,
) -> list[Node]:
    """A pin's name, across its row and towards the middle of the module; the other display's away from it."""
    x, y = at
    along = abs(row[-1][1] - row[0][1]) > abs(row[-1][2] - row[0][2])
    middle = (outline[0] + outline[2]) / 2, (outline[1] + outline[3]) / 2
    if along and all(len(called[each]) <= _FLAT for each, _, _ in row):
        down = not other and y < middle[1]
        spot, angle, side = (x, y + (_AWAY if down else -_AWAY)), 0.0, "top" if down else "bottom"
    elif along:
        down = not other and y < middle[1]
        spot, angle, side = (x, y + (_AWAY if down else -_AWAY)), 90.0, "right" if down else "left"
    else:
        right = x < middle[0]
        spot, angle, side = (x + (_AWAY if right else -_AWAY), y), 0.0, "left" if right else "right"
    across = _LETTER if angle or not along else _NARROW
    effects: list[Node] = ["effects", ["font", ["size", _LETTER, across], ["thickness", 0.12]], ["justify", side]]
    place: list[Node] = ["at", *spot, angle]
    return [
        "fp_text",
        "user",
        Quoted(called[pin]),
        place,
        ["layer", Quoted("F.SilkS")],
        _uuid(name, "name", pin),
        effects,
    ]


def _first(name: str, hole: tuple[str, float, float]) -> list[Node]:
    """A dot on the fabrication layer beside the first hole of a row."""
    _, x, y = hole
    stroke: list[Node] = ["stroke", ["width", 0.1], ["type", "solid"]]
    ends: list[Node] = [["center", x, y], ["end", x + 0.5, y]]
    return ["fp_circle", *ends, stroke, ["fill", "no"], ["layer", Quoted("F.Fab")], _uuid(name, "first", x, y)]


def _pad(name: str, pin: str, x: float, y: float, shape: str) -> list[Node]:
    size: list[Node] = [["size", _PAD, _PAD], ["drill", _DRILL]]
    layers: list[Node] = ["layers", Quoted("*.Cu"), Quoted("*.Mask")]
    return ["pad", Quoted(pin), "thru_hole", shape, ["at", x, y], *size, layers, _uuid(name, "pad", pin)]


def _rectangle(name: str, box: tuple[float, float, float, float], layer: str, width: float) -> list[Node]:
    stroke: list[Node] = ["stroke", ["width", width], ["type", "solid"]]
    ends: list[Node] = [["start", box[0], box[1]], ["end", box[2], box[3]]]
    return ["fp_rect", *ends, stroke, ["fill", "no"], ["layer", Quoted(layer)], _uuid(name, layer)]


def _marks(name: str, box: tuple[float, float, float, float]) -> list[Node]:
    """The corners of the outline in print; parts below the module may cross the rest of it."""
    found: list[Node] = []
    for x, dx in ((box[0], _MARK), (box[2], -_MARK)):
        for y, dy in ((box[1], _MARK), (box[3], -_MARK)):
            for end in ((x + dx, y), (x, y + dy)):
                stroke: list[Node] = ["stroke", ["width", 0.12], ["type", "solid"]]
                ends: list[Node] = [["start", x, y], ["end", *end]]
                found.append(
                    ["fp_line", *ends, stroke, ["layer", Quoted("F.SilkS")], _uuid(name, "mark", x, y, *end)]
                )
    return found


def _fields(name: str, told: Mapping[str, Any]) -> list[Node]:
    down = told["body"][1] / 2
    found: list[Node] = []
    for key, value, y, layer in (("Reference", "REF**", 0.0, "F.SilkS"), ("Value", name, down - 2.0, "F.Fab")):
        effects: list[Node] = ["effects", ["font", ["size", 1.0, 1.0], ["thickness", 0.15]]]
        place: list[Node] = ["at", 0.0, y, 0.0]
        found.append(
            ["property", Quoted(key), Quoted(value), place, ["layer", Quoted(layer)], _uuid(name, key), effects]
        )
    return found


def _model(name: str) -> list[Node]:
    zero: list[Node] = ["xyz", "0", "0", "0"]
    place: list[Node] = [["offset", zero], ["scale", ["xyz", "1", "1", "1"]], ["rotate", zero]]
    return ["model", Quoted(f"${{KIPRJMOD}}/bodies/{name}.step"), *place]


def _uuid(*names: object) -> list[Node]:
    return ["uuid", identity("footprint", *names)]
