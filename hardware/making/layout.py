"""Where the parts stand on the board: layout.toml, read."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from making.circuit import HARDWARE

Point = tuple[float, float]


@dataclass(frozen=True)
class Place:
    """Where a part stands.

    Parameters
    ----------
    at : millimetres from the left upper corner of the board, seen from the front
    angle : degrees anticlockwise, seen from the side that it lies on
    front : on the player's side
    """

    at: Point
    angle: float
    front: bool


@dataclass(frozen=True)
class Words:
    """A line of print.

    Parameters
    ----------
    text : what it says
    at : its middle
    height : of a letter, millimetres
    angle : degrees anticlockwise, seen from its side
    front : on the player's side
    """

    text: str
    at: Point
    height: float
    angle: float
    front: bool


@dataclass(frozen=True)
class Quiet:
    """A region, and patterns of the nets that may run in it.

    Parameters
    ----------
    box : left, top, right, bottom, millimetres
    nets : patterns as of a shell
    """

    box: tuple[float, float, float, float]
    nets: tuple[str, ...]


@dataclass(frozen=True)
class Layout:
    """The board as it is described; lengths in millimetres.

    Parameters
    ----------
    size : width and height
    corner : radius of its corners
    thickness : of the board
    holes : middles of the screws' holes
    hole_keepout : radius round a hole's middle that stays free
    lip : what stays free at the bottom edge
    quiet : where digital tracks may not run
    places : reference -> place
    words : what is printed beside the parts' own names
    """

    size: Point
    corner: float
    thickness: float
    holes: tuple[Point, ...]
    hole_keepout: float
    lip: float
    quiet: Quiet
    places: Mapping[str, Place]
    words: tuple[Words, ...]


def load_layout(folder: Path = HARDWARE) -> Layout:
    """Read layout.toml of a folder."""
    with (folder / "layout.toml").open("rb") as file:
        told = tomllib.load(file)
    board = told["board"]
    left, top, right, bottom = board["quiet"]["box"]
    places = {
        ref: Place((x, y), angle, side == "front")
        for side in ("front", "back")
        for ref, (x, y, angle) in told[side].items()
    }
    words = tuple(
        Words(one["text"], tuple(one["at"]), one["height"], one.get("angle", 0.0), side == "front")
        for side in ("front", "back")
        for one in told["words"].get(side, ())
    )
    return Layout(
        size=tuple(board["size"]),
        corner=board["corner"],
        thickness=board["thickness"],
        holes=tuple((x, y) for x, y in board["holes"]),
        hole_keepout=board["hole_keepout"],
        lip=board["lip"],
        quiet=Quiet((left, top, right, bottom), tuple(board["quiet"]["nets"])),
        places=places,
        words=words,
    )
