"""The wires of one sheet: the lines that are drawn, the dots on them, and where each net is named."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from making.places import DrawingFault, Plan, Spot
from making.placing import Placed, Way

_PIN = re.compile(r"[A-Z]+\d+\.\w+")
_POINT = re.compile(r"(\d+),(\d+)")
_STEP = re.compile(r"([+-]\d+),([+-]?\d+)")
WAYS: Mapping[str, Way] = {"right": (1, 0), "up": (0, -1), "left": (-1, 0), "down": (0, 1)}


@dataclass(frozen=True)
class Wire:
    """A straight piece of one net."""

    net: str
    a: Spot
    b: Spot

    def holds(self, spot: Spot) -> bool:
        """Whether a spot is on it, ends included."""
        (ax, ay), (bx, by), (x, y) = self.a, self.b, spot
        level = (bx - ax) * (y - ay) == (by - ay) * (x - ax)
        return level and min(ax, bx) <= x <= max(ax, bx) and min(ay, by) <= y <= max(ay, by)


@dataclass(frozen=True)
class Name:
    """A net's name at a spot, pointing away from the part."""

    net: str
    at: Spot
    way: Way


@dataclass
class Wiring:
    """All of one sheet."""

    wires: list[Wire] = field(default_factory=list)
    names: list[Name] = field(default_factory=list)
    dots: list[Spot] = field(default_factory=list)


def wired(plan: Plan, placed: Mapping[str, Placed], pins: Mapping[str, list[tuple[str, str]]]) -> Wiring:
    """Draw the nets of one sheet.

    Parameters
    ----------
    placed : reference -> part on this sheet
    pins : net -> the (reference, pin) pairs on it, of this sheet

    Raises
    ------
    DrawingFault
        A line says what cannot be drawn, or a net is drawn without its name.
    """
    wiring = Wiring()
    for net, on in pins.items():
        spots = {placed[ref].spot(pin): placed[ref].outward(pin) for ref, pin in on}
        known = {f"{ref}.{pin}" for ref, pin in on}
        lines = [line.split() for line in plan.wires.get(net, ())]
        # A circuit that was changed for a test may have moved a pin elsewhere. Then none of the net's lines is
        # drawn and each of its pins is named, for a line without its pin would end in nothing.
        if all(word in known for line in lines for word in line if _PIN.fullmatch(word)):
            wires, names = _drawn(net, lines, placed)
        else:
            wires, names = [], []
        wires = list(_split(wires, {*spots, *(one.at for one in names)}))
        for island in _islands(wires, spots):
            if any(name.at in island for name in names):
                continue
            if len(island) > 1:
                raise DrawingFault(
                    f"drawing.toml: {net} is drawn from {min(island)} without a name; end a line with one"
                )
            spot = next(iter(island))
            names.append(Name(net, spot, spots[spot]))
        wiring.wires += wires
        wiring.names += names
        wiring.dots += _dots(wires, [*spots, *(name.at for name in names)])
    return wiring


def _drawn(net: str, lines: list[list[str]], placed: Mapping[str, Placed]) -> tuple[list[Wire], list[Name]]:
    wires: list[Wire] = []
    names: list[Name] = []
    for line in lines:
        at: Spot | None = None
        leave: Way | None = None
        for word in line:
            if word in WAYS and at is not None:
                names.append(Name(net, at, WAYS[word]))
                continue
            spot, way = _spot(word, at, placed)
            if at is not None:
                wires += _legs(net, at, spot, leave, way)
            at, leave = spot, way
    return wires, names


def _spot(word: str, at: Spot | None, placed: Mapping[str, Placed]) -> tuple[Spot, Way | None]:
    if _PIN.fullmatch(word):
        ref, _, pin = word.partition(".")
        return placed[ref].spot(pin), placed[ref].outward(pin)
    if found := _POINT.fullmatch(word):
        return (int(found[1]), int(found[2])), None
    if (found := _STEP.fullmatch(word)) and at is not None:
        return (at[0] + int(found[1]), at[1] + int(found[2])), None
    raise DrawingFault(f"drawing.toml: '{word}' is no pin (R1.2), point (40,20), step (+4,0) or side (up)")


def _legs(net: str, a: Spot, b: Spot, leave: Way | None, arrive: Way | None) -> Iterator[Wire]:
    """Straight if it can be, else with one corner: out along the first pin, or in along the last."""
    if a[0] == b[0] or a[1] == b[1]:
        corner = b
    else:
        level = leave[1] == 0 if leave else arrive is None or arrive[0] == 0
        corner = (b[0], a[1]) if level else (a[0], b[1])
    for one, other in ((a, corner), (corner, b)):
        if one != other:
            yield Wire(net, one, other)


def _split(wires: Iterable[Wire], spots: set[Spot]) -> Iterator[Wire]:
    """The same lines, cut wherever something else of the net meets them."""
    wires = list(wires)
    ends = spots | {end for wire in wires for end in (wire.a, wire.b)}
    seen: set[tuple[Spot, Spot]] = set()
    for wire in wires:
        along = sorted(spot for spot in ends if wire.holds(spot))
        for one, other in pairwise(along):
            if (one, other) not in seen:
                seen.add((one, other))
                yield Wire(wire.net, one, other)


def _islands(wires: list[Wire], spots: Iterable[Spot]) -> list[set[Spot]]:
    islands: list[set[Spot]] = [{spot} for spot in spots]
    for wire in wires:
        met = [island for island in islands if island & {wire.a, wire.b}]
        islands = [island for island in islands if not island & {wire.a, wire.b}]
        islands.append({wire.a, wire.b}.union(*met))
    return islands


def _dots(wires: list[Wire], spots: Iterable[Spot]) -> list[Spot]:
    ends = [end for wire in wires for end in (wire.a, wire.b)]
    met = [*ends, *spots]
    return sorted({end for end in ends if met.count(end) > 2})
