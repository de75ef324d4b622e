"""The sheet on which a screen is drawn: a 1-bit picture that remembers what stands where.

Conventions
-----------
Pixels, origin at the top left, x to the right, y down. A box is (left, top, right, bottom), right and bottom
exclusive. Drawing never raises, since a practice must not end for a crowded screen; `flaws` tells what a test
wants to know. A picture leaves its last column and last row dark, so that it can be moved by a pixel (`shift`).
"""

from __future__ import annotations

from typing import Literal

from PIL import Image

from airladder.panel.fonts import Font

WIDTH, HEIGHT = 128, 64
SAFE_WIDTH, SAFE_HEIGHT = WIDTH - 1, HEIGHT - 1
"""The part that may be lit."""

Box = tuple[int, int, int, int]
Align = Literal["left", "centre", "right"]
_LIT = 255


class Canvas:
    """A dark picture of 128 x 64 pixels, mode "1", in `image`."""

    def __init__(self) -> None:
        self.image = Image.new("1", (WIDTH, HEIGHT))
        self._things: list[tuple[str, Box]] = []

    def bar(self, box: Box, *, lit: bool = True) -> None:
        """Fill a box."""
        self.image.paste(_LIT if lit else 0, box)

    def claim(self, name: str, box: Box) -> None:
        """Say that a box is taken, by a drawing that is not text."""
        self._things.append((name, box))

    def text(self, place: tuple[int, int], text: str, font: Font, *, align: Align = "left") -> None:
        """Draw one line.

        Parameters
        ----------
        place : x of the left edge, of the centre or of the (exclusive) right edge; y of the cell's top
        text : the line; a character that the font lacks is drawn as an empty box
        font : its type
        align : which x is meant
        """
        x, y = place
        x -= {"left": 0, "centre": font.measure(text) // 2, "right": font.measure(text)}[align]
        line = font.line(text)
        self.image.paste(_LIT, (x, y), line.bitmap)
        if line.ink is not None:
            left, top, right, bottom = line.ink
            self.claim(text, (x + left, y + top, x + right, y + bottom))

    def things(self) -> list[str]:
        """What stands on the picture, each line of text and each drawing that was claimed, in the order drawn."""
        return [name for name, _ in self._things]

    def flaws(self) -> list[str]:
        """What leaves the part that may be lit, and what lies on top of another; empty on a good screen."""
        outside = [f"'{name}' leaves the screen" for name, box in self._things if not _inside(box)]
        over = [
            f"'{name}' lies on '{other}'"
            for i, (name, box) in enumerate(self._things)
            for other, under in self._things[:i]
            if _meet(box, under)
        ]
        return outside + over


def _inside(box: Box) -> bool:
    return box[0] >= 0 and box[1] >= 0 and box[2] <= SAFE_WIDTH and box[3] <= SAFE_HEIGHT


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
