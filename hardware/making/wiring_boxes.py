"""The boxes of the wiring picture: modules with their pins in place, pieces of perfboard with their parts and ends.

Conventions
-----------
Grid points are 10 pixels apart, and two of them are one pitch of 2.54 mm. Texts are set in a type whose letters are
all equally wide, so that what room a text takes is known without a font.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from making.circuit import HARDWARE, Circuit
from making.harness import End, Harness, Place
from making.routing import Point
from making.wires import Names, numbered

SQUARE = 10
WIDE = 0.602
"""The width of a letter of DejaVu Sans Mono, as a share of its size."""
SMALL, TITLE = 11, 14
_POINTS_A_MM = 2 / 2.54
_WIDTH = 30


@dataclass(frozen=True)
class Text:
    """A text that begins at x, y (pixels, middle of the line); turn: 0 rightwards, 90 downwards, -90 upwards."""

    x: float
    y: float
    words: str
    size: int = SMALL
    turn: int = 0

    @property
    def room(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom, pixels."""
        long, half = len(self.words) * self.size * WIDE, self.size * 0.65
        if self.turn == 0:
            return self.x, self.y - half, self.x + long, self.y + half
        low, high = sorted((self.y, self.y + (long if self.turn > 0 else -long)))
        return self.x - half, low, self.x + half, high


@dataclass(frozen=True)
class Box:
    """What is drawn of a place.

    Parameters
    ----------
    at, size : grid points
    pins : end -> where it stands, on the edge
    outward : end -> the direction in which its wire leaves
    board : whether it is a piece of perfboard
    """

    at: Point
    size: Point
    pins: Mapping[End, Point]
    outward: Mapping[End, Point]
    texts: tuple[Text, ...]
    board: bool
    option: str


def boxes(some: Harness, circuit: Circuit, folder: Path = HARDWARE) -> dict[str, Box]:
    """A box for each place, in the order of the places."""
    with (folder / "wires.toml").open("rb") as file:
        told = tomllib.load(file)["picture"]["places"]
    with (folder / "modules.toml").open("rb") as file:
        modules = tomllib.load(file)
    made = _Maker(some, circuit)
    found = {}
    for name, place in some.places.items():
        x, y = told[name]["at"]
        if name not in circuit.items:
            found[name] = made.piece(place, (x, y), left=told[name]["side"] == "left")
            continue
        module = modules[circuit.items[name].part.symbol.removeprefix("box:")]
        found[name] = made.module(place, (x, y), module) if "rows" in module else made.header(place, (x, y), module)
    return found


class _Maker:
    """Knows the names that stand beside the pins.

    Parameters
    ----------
    some : the wires
    circuit : the parts
    """

    def __init__(self, some: Harness, circuit: Circuit) -> None:
        self._circuit, self._names = circuit, Names(circuit)
        self._modules = some.places.keys() & circuit.items.keys()
        self._wires: dict[End, list[str]] = {}
        self._nets: dict[End, str] = {}
        for number, wire in numbered(some).items():
            for end in wire.ends:
                self._wires.setdefault(end, []).append(number)
                self._nets[end] = wire.net
        self._joined = {end: joint.net for joint in some.joints if not joint.inside for end in joint.ends}

    def module(self, place: Place, at: Point, module: Mapping[str, Any]) -> Box:
        """A module as it lies, its rows moved to the nearest edge."""
        body: Sequence[float] = module["body"]
        size = (round(body[0] * _POINTS_A_MM), round(body[1] * _POINTS_A_MM))
        pins: dict[End, Point] = {}
        outward: dict[End, Point] = {}
        texts = []
        for row in module["rows"]:
            out = _outward(row["at"], row["step"], body)
            for number, pin in enumerate(row["pins"]):
                end = (place.name, str(pin))
                pins[end] = _on_edge(at, size, out, row["at"], number)
                outward[end] = out
                texts.append(_inside(pins[end], out, self._label(end)))
        top, bottom = at[1] * SQUARE, (at[1] + size[1]) * SQUARE
        under = max((text.room[3] for text in texts if text.turn == 90), default=top)
        above = min((text.room[1] for text in texts if text.turn == -90), default=bottom)
        middle = (under + above) / 2
        side = 110 if any(out == (-1, 0) for out in outward.values()) else 0
        texts += self._heads(place, at[0] * SQUARE + side + 12, middle, size[0] * SQUARE - side - 16)
        return Box(at, size, pins, outward, tuple(texts), board=False, option=place.option)

    def header(self, place: Place, at: Point, module: Mapping[str, Any]) -> Box:
        """The computer: odd pins down the left edge, even ones down the right."""
        count = len(module["pins"])
        size = (30, count + 8)
        pins: dict[End, Point] = {}
        outward: dict[End, Point] = {}
        texts = [Text(at[0] * SQUARE + 12, (at[1] + 2) * SQUARE, f"{place.name} {place.title}", TITLE)]
        texts.append(Text(at[0] * SQUARE + 12, (at[1] + 4) * SQUARE, "header from above, pin 1 top left"))
        for pin in range(1, count + 1):
            end, out = (place.name, str(pin)), (-1, 0) if pin % 2 else (1, 0)
            pins[end] = (at[0] + (0 if pin % 2 else size[0]), at[1] + 6 + 2 * ((pin - 1) // 2))
            outward[end] = out
            texts.append(_inside(pins[end], out, f"{pin} {self._label(end)}"))
        return Box(at, size, pins, outward, tuple(texts), board=False, option="")

    def piece(self, place: Place, at: Point, *, left: bool) -> Box:
        """A piece of perfboard: its ends down one side, its parts beside them."""
        ends = [end for end in self._wires if end[0] in place.parts]
        size = (_WIDTH, 5 + max(2 * len(ends), round(1.6 * len(place.parts))))
        out = (-1, 0) if left else (1, 0)
        x = at[0] + (0 if left else size[0])
        pins = {end: (x, at[1] + 4 + 2 * number) for number, end in enumerate(ends)}
        texts = [_inside(point, out, f"{end[0]}.{self._label(end)}") for end, point in pins.items()]
        titled = f"{place.title} (option)" if place.option else place.title
        texts.append(Text(at[0] * SQUARE + 10, (at[1] + 1.5) * SQUARE, titled, TITLE))
        start = at[0] * SQUARE + (_WIDTH * SQUARE - 145 if left else 10)
        for number, ref in enumerate(place.parts):
            item = self._circuit.items[ref]
            option = f" ({item.option})" if item.option not in ("", place.option) else ""
            texts.append(Text(start, (at[1] + 4 + 1.6 * number) * SQUARE, f"{ref} {item.part.value}{option}"))
        return Box(at, size, pins, dict.fromkeys(ends, out), tuple(texts), board=True, option=place.option)

    def _label(self, end: End) -> str:
        """Its name, and the wires that go to it."""
        name = self._names.pin(end) if end[0] in self._modules else f"{end[1]} {self._nets[end]}"
        if end in self._wires:
            return f"{name} {','.join(self._wires[end])}"
        return f"{name} to {self._joined[end]}" if end in self._joined else name

    def _heads(self, place: Place, x: float, middle: float, width: float) -> list[Text]:
        """Name and value of a module, and what stands at its pins."""
        part = self._circuit.items[place.name].part
        lines = [part.value]
        for ref in place.parts[1:]:
            lines.append(f"{ref} {self._circuit.items[ref].part.value}")
        letters = int(width / (SMALL * WIDE))
        packed = [lines[0], *_packed([f"at pins: {lines[1]}", *lines[2:]], letters)] if lines[1:] else lines
        top = middle - 8 * len(packed)
        head = [Text(x, top, f"{place.name} {place.title}", TITLE)]
        return head + [Text(x, top + 18 + 16 * number, line) for number, line in enumerate(packed)]


def _packed(words: Sequence[str], letters: int) -> list[str]:
    lines = [words[0]]
    for word in words[1:]:
        if len(lines[-1]) + 2 + len(word) <= letters:
            lines[-1] += f", {word}"
        else:
            lines.append(word)
    return lines


def _outward(at: Sequence[float], step: Sequence[float], body: Sequence[float]) -> Point:
    """A row along x leaves up or down, one along y to the left or the right, by the nearer edge."""
    if step[0]:
        return (0, -1) if at[1] < body[1] / 2 else (0, 1)
    return (-1, 0) if at[0] < body[0] / 2 else (1, 0)


def _on_edge(at: Point, size: Point, out: Point, row: Sequence[float], number: int) -> Point:
    if out[0]:
        return at[0] + (0 if out[0] < 0 else size[0]), at[1] + round(row[1] * _POINTS_A_MM) + 2 * number
    return at[0] + round(row[0] * _POINTS_A_MM) + 2 * number, at[1] + (0 if out[1] < 0 else size[1])


def _inside(point: Point, out: Point, words: str) -> Text:
    """A pin's name, from the pin inwards."""
    x, y = point[0] * SQUARE - 9 * out[0], point[1] * SQUARE - 9 * out[1]
    if out[0] > 0:
        return Text(x - len(words) * SMALL * WIDE, y, words)
    return Text(x, y, words, turn=-90 * out[1] if out[1] else 0)


def picture_size(folder: Path = HARDWARE) -> Point:
    """Grid points of the whole picture."""
    with (folder / "wires.toml").open("rb") as file:
        wide, high = tomllib.load(file)["picture"]["size"]
    return int(wide), int(high)
