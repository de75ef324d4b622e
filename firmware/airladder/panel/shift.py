"""Against burn-in: the whole picture moves by a pixel now and then, round a little square.

Pixels of an OLED fade with use, and what always stands in the same place leaves its shadow. Every screen leaves the
last column and the last row dark (`canvas` sees to it), so the picture can stand in four places and lose nothing.

Conventions
-----------
Times in seconds on any one clock. Pure: nothing here asks for the time.
"""

from __future__ import annotations

from PIL import Image

PLACES = ((0, 0), (1, 0), (1, 1), (0, 1))
"""How far right and down the picture stands, in pixels, place after place: each step moves it by one pixel."""

SECONDS = 120.0
"""How long it stands in one place: too rare to be seen as a flicker, and equally long in each."""


def place_at(t: float) -> int:
    """Which of the places is due at `t`: its index."""
    return int(t // SECONDS) % len(PLACES)


def shifted(picture: Image.Image, place: int) -> Image.Image:
    """A copy of the picture, moved to the place of that index; the rows and columns it leaves are dark.

    Its last column and last row are taken to be dark: what is lit there may be moved off the glass.
    """
    moved = Image.new(picture.mode, picture.size)
    moved.paste(picture, PLACES[place])
    return moved
