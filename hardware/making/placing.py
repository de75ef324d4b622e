"""A part on a sheet: where its pins come to lie, how large it is there, and where its name and value stand."""

from __future__ import annotations

from dataclasses import dataclass

from making.places import GRID, DrawingFault, Place, Spot
from making.symbols import Box, Symbol

Way = tuple[int, int]
_TURNS: dict[int, Way] = {0: (1, 0), 90: (0, -1), 180: (-1, 0), 270: (0, 1)}


@dataclass(frozen=True)
class Text:
    """A line of text as KiCad wants it in a file: turned and justified so that it comes out upright."""

    x: float
    y: float
    angle: int
    justify: str


@dataclass(frozen=True)
class Placed:
    """A symbol at its place; all lengths here are grid units, y down."""

    ref: str
    symbol: Symbol
    place: Place

    def spot(self, pin: str) -> Spot:
        """Where a pin's open end lies.

        Raises
        ------
        DrawingFault
            The symbol has no such pin, or it is not on the grid, so that no wire could reach it.
        """
        if pin not in self.symbol.pins:
            raise DrawingFault(f"{self.ref} has no pin {pin}: {self.symbol.name} has {', '.join(self.symbol.pins)}")
        x, y = self._seen(*self.symbol.pins[pin].at)
        spot = round(x), round(y)
        if abs(x - spot[0]) > 1e-6 or abs(y - spot[1]) > 1e-6:
            raise DrawingFault(f"{self.ref}, pin {pin}: {self.symbol.name} has it off the grid of {GRID} mm")
        return spot

    def outward(self, pin: str) -> Way:
        """The way from the body out through a pin."""
        x, y = _TURNS[self.symbol.pins[pin].angle]
        return self._turned(-x, -y)

    def body(self) -> Box:
        """Left, top, right, bottom of its lines, without pins and texts."""
        left, top, right, bottom = self.symbol.body
        (a, b), (c, d) = self._seen(left, top), self._seen(right, bottom)
        return min(a, c), min(b, d), max(a, c), max(b, d)

    def texts(self) -> tuple[Text, Text]:
        """Where the reference and the value stand."""
        left, top, right, bottom = self.body()
        ways = {self.outward(pin) for pin in self.symbol.pins}
        x, y = self.place.at
        if self.place.text is not None:
            dx, dy = self.place.text
            return self._text(x + dx, y + dy, self.place.justify), self._text(
                x + dx, y + dy + 1.6, self.place.justify
            )
        if len(self.symbol.pins) == 1 and ways == {(1, 0)}:
            beside = self._text(left - 0.5, (top + bottom) / 2, "right")
            return beside, beside
        if not ways & {(1, 0)} and len(self.symbol.pins) < 3:
            middle = (top + bottom) / 2
            return self._text(right + 0.6, middle - 0.8, "left"), self._text(right + 0.6, middle + 0.8, "left")
        if not ways & {(0, 1), (0, -1)} and len(self.symbol.pins) < 3:
            middle = (left + right) / 2
            return self._text(middle, top - 1.1, "centre"), self._text(middle, bottom + 1.1, "centre")
        return self._text(left, top - 2.6, "left"), self._text(left, top - 1.0, "left")

    def _text(self, x: float, y: float, justify: str) -> Text:
        """A text that comes out level: KiCad turns a field with its symbol, so it is turned back here."""
        for angle, (run_x, run_y) in ((0, (1, 0)), (90, (0, -1))):
            way = self._turned(run_x, run_y)
            if way[1] == 0:
                flipped = {"left": "right", "right": "left"}.get(justify, justify) if way[0] < 0 else justify
                return Text(x, y, angle, flipped)
        raise AssertionError("one of two ways at a right angle lies level")

    def _seen(self, x: float, y: float) -> tuple[float, float]:
        across, down = self._moved(x / GRID, -y / GRID)
        return self.place.at[0] + across, self.place.at[1] + down

    def _turned(self, x: int, y: int) -> Way:
        across, down = self._moved(x, y)
        return round(across), round(down)

    def _moved(self, x: float, y: float) -> tuple[float, float]:
        x, y = (-x if self.place.mirror == "y" else x), (-y if self.place.mirror == "x" else y)
        cos, minus_sin = _TURNS[self.place.angle]
        return x * cos - y * minus_sin, x * minus_sin + y * cos
