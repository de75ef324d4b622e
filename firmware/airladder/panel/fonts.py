"""The letters and numerals of the screen, read from BDF files beside this one.

The text sizes are subsets of a free font (see fonts/LICENSE-spleen.txt); what is to be read from the stand, note
names, cents and partials, is our own, with strokes of 2 pixels at least. Glyphs are fixed bitmaps, so a picture is
the same on every version of Pillow. How large they look from 1.5 m, and on which glass that is enough, is measured
in `tests/unit/panel/test_legible.py`.

Conventions
-----------
Format: Glyph Bitmap Distribution Format 2.1 (Adobe, 1993), of which only what these files use is read: every glyph
fills its whole cell. Sizes are in pixels.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files

from PIL import Image

UNKNOWN = "\ufffd"
"""The sign drawn for a character that a font lacks: an empty box, so that nothing vanishes unseen."""


_MOST_LINES = 500  # of a font, kept drawn: 100 kB or so


@dataclass(frozen=True)
class Glyph:
    """One drawn character: its bitmap (mode "1"), the box of its lit pixels (left, top, right, bottom), its step.

    `advance` is how far on the next character stands.
    """

    bitmap: Image.Image
    ink: tuple[int, int, int, int] | None
    advance: int


@dataclass(frozen=True)
class Font:
    """One size of type: cell `width` and `height`, and by character the bitmap's rows in hex and the advance."""

    width: int
    height: int
    rows: dict[str, tuple[str, int]]
    _drawn: dict[str, Glyph] = field(default_factory=dict)
    _lines: dict[str, Glyph] = field(default_factory=dict)

    def glyph(self, character: str) -> Glyph:
        """The glyph of a character, or that of `UNKNOWN`."""
        if character not in self._drawn:
            rows, advance = self.rows.get(character) or self.rows[UNKNOWN]
            bitmap = Image.frombytes("1", (self.width, self.height), bytes.fromhex(rows))
            self._drawn[character] = Glyph(bitmap, bitmap.getbbox(), advance)
        return self._drawn[character]

    def line(self, text: str) -> Glyph:
        """A whole line as one bitmap: most of what a screen says, it says again on the next picture."""
        if text not in self._lines:
            if len(self._lines) >= _MOST_LINES:
                self._lines.clear()
            self._lines[text] = self._set(text)
        return self._lines[text]

    def _set(self, text: str) -> Glyph:
        bitmap = Image.new("1", (max(1, self.measure(text)), self.height))
        x = 0
        for character in text:
            glyph = self.glyph(character)
            bitmap.paste(255, (x, 0), glyph.bitmap)
            x += glyph.advance
        return Glyph(bitmap, bitmap.getbbox(), x)

    def measure(self, text: str) -> int:
        """The width of a line of text, without the gap behind its last character."""
        advances = [self.glyph(character).advance for character in text]
        return sum(advances[:-1]) + min(self.width, advances[-1]) if text else 0


def parsed(bdf: str) -> Font:
    """The font that a BDF text holds."""
    head, *chunks = bdf.split("STARTCHAR ")
    width, height = _numbers(head, "FONTBOUNDINGBOX")[:2]
    rows = {}
    for chunk in chunks:
        bitmap = chunk.partition("BITMAP\n")[2].partition("ENDCHAR")[0]
        rows[chr(_numbers(chunk, "ENCODING")[0])] = bitmap.replace("\n", ""), _numbers(chunk, "DWIDTH")[0]
    return Font(width, height, rows)


def _numbers(text: str, key: str) -> list[int]:
    return [int(word) for word in text.partition(f"\n{key} ")[2].partition("\n")[0].split()]


@cache
def _font(name: str) -> Font:
    return parsed((files("airladder.panel") / "fonts" / f"{name}.bdf").read_text("utf-8"))


def small() -> Font:
    """Text, 5 x 8: 25 characters a line."""
    return _font("spleen-5x8")


def middle() -> Font:
    """Headlines and names, 8 x 16."""
    return _font("spleen-8x16")


def large() -> Font:
    """Note names and signed cents, 11 x 19, strokes of 3 pixels (a sharp's uprights 2)."""
    return _font("letters-19")


def great_numerals() -> Font:
    """The partial, 15 x 26, strokes of 4 pixels."""
    return _font("numerals-26")
