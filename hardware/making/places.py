"""drawing.toml, read: where each part stands on its sheet, which wires are drawn, what is written beside them."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from making.circuit import HARDWARE

Spot = tuple[int, int]
"""Across and down from the sheet's left upper corner, in grid units."""

GRID = 1.27
"""Millimetres a unit: the grid on which all pins of KiCad's library stand."""

PAPERS = {"A4": (297.0, 210.0), "A3": (420.0, 297.0)}


class DrawingFault(Exception):
    """drawing.toml contradicts itself or the circuit; the text is one sentence."""


@dataclass(frozen=True)
class Place:
    """Where one part stands.

    Parameters
    ----------
    angle : degrees against the clock
    mirror : "x", "y" or ""
    text : where its reference stands, seen from the part; None for the usual place
    justify : "left", "right" or "centre"
    """

    at: Spot
    angle: int = 0
    mirror: str = ""
    text: tuple[float, float] | None = None
    justify: str = "left"


@dataclass(frozen=True)
class Note:
    """Words on a sheet, or a frame with its title when it has a far corner."""

    at: Spot
    words: str
    to: Spot | None = None
    size: float = 1.27


@dataclass(frozen=True)
class Plan:
    """One sheet.

    Parameters
    ----------
    wires : net -> its lines, each a row of pins, points and at the end perhaps the side on which the net is named
    flags : net -> where it is marked as supplied
    """

    paper: str
    places: Mapping[str, Place]
    wires: Mapping[str, tuple[str, ...]]
    flags: Mapping[str, Spot]
    notes: tuple[Note, ...]


@dataclass(frozen=True)
class Plans:
    """All sheets, and what stands in each title block beside revision and date.

    Parameters
    ----------
    up, down : nets that have a mark of their own instead of a label, and the side that it points to
    boxes : sheet -> left upper and right lower corner of its box on the first sheet
    """

    title: str
    licence: str
    up: tuple[str, ...]
    down: tuple[str, ...]
    boxes: Mapping[str, tuple[Spot, Spot]]
    first: Plan
    sheets: Mapping[str, Plan]


def load_plans(folder: Path = HARDWARE) -> Plans:
    """Read drawing.toml.

    Raises
    ------
    DrawingFault
        A paper or a mirror is unknown.
    """
    with (folder / "drawing.toml").open("rb") as file:
        told = tomllib.load(file)
    sheets = {name: _plan(name, table) for name, table in told["sheet"].items()}
    boxes = {name: ((x, y), (to_x, to_y)) for name, (x, y, to_x, to_y) in told["first"].pop("boxes").items()}
    return Plans(
        told["title"],
        told["licence"],
        tuple(told["up"]),
        tuple(told["down"]),
        boxes,
        _plan("first", told["first"]),
        sheets,
    )


def _plan(name: str, table: Mapping[str, Any]) -> Plan:
    if table["paper"] not in PAPERS:
        raise DrawingFault(
            f"drawing.toml, {name}: paper {table['paper']} is unknown; take one of {', '.join(PAPERS)}"
        )
    texts = table.get("text", {})
    return Plan(
        table["paper"],
        {ref: _place(f"{name}, {ref}", at, texts.get(ref, ())) for ref, at in table.get("at", {}).items()},
        {net: tuple(lines) for net, lines in table.get("wire", {}).items()},
        {net: (x, y) for net, (x, y) in table.get("flag", {}).items()},
        tuple(_note(note) for note in table.get("note", ())),
    )


def _place(of: str, at: list[Any], text: list[Any]) -> Place:
    x, y, angle, mirror = [*at, 0, ""][:4] if len(at) != 3 else [*at, ""]
    if angle % 90 or mirror not in ("", "x", "y") or (mirror and angle):
        raise DrawingFault(f"drawing.toml, {of}: turn by 0, 90, 180 or 270, or mirror with x or y; not both")
    if not text:
        return Place((x, y), angle, mirror)
    return Place((x, y), angle, mirror, (text[0], text[1]), text[2] if len(text) > 2 else "left")


def _note(table: Mapping[str, Any]) -> Note:
    x, y = table["at"]
    to_x, to_y = table.get("to", (0, 0))
    return Note((x, y), table["words"], (to_x, to_y) if "to" in table else None, table.get("size", 1.27))
