"""Putting a fault into a board's file on purpose."""

from __future__ import annotations

from collections.abc import Callable

from making.copper import CORNER
from making.sexpr import Node, Quoted, lists, numbers

Tree = list[Node]
Fault = Callable[[Tree], None]


def footprint(tree: Tree, ref: str) -> Tree:
    """A part's list."""
    return next(
        one
        for one in lists(tree, "footprint")
        if any(told[1:3] == ["Reference", ref] for told in lists(one, "property"))
    )


def put(ref: str, x: float, y: float) -> Fault:
    """Move a part to a place on the board, millimetres."""

    def fault(tree: Tree) -> None:
        place = next(lists(footprint(tree, ref), "at"))
        place[1:3] = [str(x + CORNER[0]), str(y + CORNER[1])]

    return fault


def turn(ref: str, degrees: float) -> Fault:
    """Turn a part on its spot."""

    def fault(tree: Tree) -> None:
        place = next(lists(footprint(tree, ref), "at"))
        angle = numbers(place)[2] if len(numbers(place)) > 2 else 0.0
        place[3:] = [str((angle + degrees) % 360)]

    return fault


def call(ref: str, name: str) -> Fault:
    """Give a part the name of another footprint."""

    def fault(tree: Tree) -> None:
        footprint(tree, ref)[1] = Quoted(name)

    return fault


def turn_over(ref: str) -> Fault:
    """Say that a part lies on the other side."""

    def fault(tree: Tree) -> None:
        layer = next(lists(footprint(tree, ref), "layer"))
        layer[1] = Quoted("B.Cu" if layer[1] == "F.Cu" else "F.Cu")

    return fault


def net_of(tree: Tree, name: str) -> str:
    """A net's number."""
    return next(str(one[1]) for one in lists(tree, "net") if one[2] == name)


def tracks(tree: Tree, net: str) -> list[Tree]:
    """A net's straight pieces, the longest first."""
    number = net_of(tree, net)
    found = [one for one in lists(tree, "segment") if next(lists(one, "net"))[1] == number]
    return sorted(found, key=_length, reverse=True)


def remove_track(net: str) -> Fault:
    """Take the longest piece of a net away."""

    def fault(tree: Tree) -> None:
        tree.remove(tracks(tree, net)[0])

    return fault


def shift_track(net: str, by: float) -> Fault:
    """Move the longest piece of a net down, millimetres."""

    def fault(tree: Tree) -> None:
        for name in ("start", "end"):
            end = next(lists(tracks(tree, net)[0], name))
            end[2] = f"{numbers(end)[1] + by:.4f}"

    return fault


def remove(ref: str) -> Fault:
    """Take a part away."""

    def fault(tree: Tree) -> None:
        tree.remove(footprint(tree, ref))

    return fault


def narrow_track(net: str, width: float) -> Fault:
    """Make a net's longest piece too narrow."""

    def fault(tree: Tree) -> None:
        next(lists(tracks(tree, net)[0], "width"))[1] = str(width)

    return fault


def add_track(net: str, a: tuple[float, float], b: tuple[float, float], layer: str) -> Fault:
    """Lay one more piece."""

    def fault(tree: Tree) -> None:
        ends: list[Node] = [["start", *map(_on_sheet, a, CORNER)], ["end", *map(_on_sheet, b, CORNER)]]
        told: list[Node] = [["width", "0.25"], ["layer", Quoted(layer)], ["net", net_of(tree, net)]]
        tree.append(["segment", *ends, *told])

    return fault


def add_via(net: str, at: tuple[float, float], hole: float = 0.3) -> Fault:
    """Drill one more via."""

    def fault(tree: Tree) -> None:
        where: list[Node] = [["at", *map(_on_sheet, at, CORNER)], ["size", "0.6"], ["drill", str(hole)]]
        tree.append(["via", *where, ["layers", Quoted("F.Cu"), Quoted("B.Cu")], ["net", net_of(tree, net)]])

    return fault


def print_over(ref: str) -> Fault:
    """Print a part's name on its own pad."""

    def fault(tree: Tree) -> None:
        part = footprint(tree, ref)
        pad = next(lists(part, "pad"))
        name = next(told for told in lists(part, "property") if told[1] == "Reference")
        next(lists(name, "at"))[1:3] = next(lists(pad, "at"))[1:3]

    return fault


def rewire(ref: str, pin: str, net: str) -> Fault:
    """Put a pad on another net than the schematic's."""

    def fault(tree: Tree) -> None:
        pad = next(one for one in lists(footprint(tree, ref), "pad") if one[1] == pin)
        next(lists(pad, "net"))[1:] = [net_of(tree, net), Quoted(net)]

    return fault


def _length(segment: Tree) -> float:
    (ax, ay), (bx, by) = (numbers(next(lists(segment, name))) for name in ("start", "end"))
    return float(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5)


def _on_sheet(on_board: float, corner: float) -> str:
    return f"{on_board + corner:.4f}"
