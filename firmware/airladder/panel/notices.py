"""Sentences on the screen: troubles beside the practice, failures at the start, and the farewell.

Conventions
-----------
A sentence is wrapped between words; a word longer than a line is broken. What does not fit ends in an ellipsis.
"""

from __future__ import annotations

import textwrap

from PIL import Image

from airladder.panel import fonts, words
from airladder.panel.canvas import HEIGHT, WIDTH, Canvas

LINE = 25
"""Small characters across the whole screen."""

FAULT_LINES = 7
"""Lines for the sentence of a failure, the heading's own among them."""

_STEP = 8


def wrapped(sentence: str, width: int, lines: int) -> list[str]:
    """The sentence in at most `lines` lines of `width` characters; the last one ends in … where words are missing."""
    return textwrap.wrap(
        sentence, width, max_lines=lines, placeholder="…", break_on_hyphens=False, replace_whitespace=True
    )


def paragraph(canvas: Canvas, place: tuple[int, int], sentence: str, width: int, lines: int) -> None:
    """Draw a wrapped sentence in small type, its top left at `place`."""
    x, y = place
    for i, line in enumerate(wrapped(sentence, width, lines)):
        canvas.text((x, y + i * _STEP), line, fonts.small())


def fault(sentence: str) -> Canvas:
    """A failure at the start: heading and sentence, or the sentence alone where it takes all seven lines."""
    canvas = Canvas()
    if len(wrapped(sentence, LINE, FAULT_LINES)) == FAULT_LINES:
        paragraph(canvas, (1, 3), sentence, LINE, FAULT_LINES)
        return canvas
    canvas.text((WIDTH // 2, 0), words.FAULT_HEADING, fonts.small(), align="centre")
    for x in (1, WIDTH - 11):
        canvas.bar((x, 3, x + 10, 5))
    paragraph(canvas, (1, _STEP + 4), sentence, LINE, FAULT_LINES)
    return canvas


def farewell() -> Canvas:
    """The last picture before the screen goes dark."""
    return two_lines(*words.FAREWELL)


def two_lines(first: str, second: str) -> Canvas:
    """A few words in the middle of the screen, and a few below."""
    canvas = Canvas()
    canvas.text((WIDTH // 2, HEIGHT // 2 - 17), first, fonts.middle(), align="centre")
    canvas.text((WIDTH // 2, HEIGHT // 2 + 6), second, fonts.small(), align="centre")
    return canvas


def draw_fault(sentence: str) -> Image.Image:
    """The picture of a failure at the start: 128 x 64, mode "1"."""
    return fault(sentence).image


def draw_farewell() -> Image.Image:
    """The picture of the farewell: 128 x 64, mode "1"."""
    return farewell().image
