"""What the pages round the practice have in common: labels, a heading, a sentence that takes the whole width.

Conventions
-----------
Pixels as in `canvas`. A line across the screen holds 25 small or 15 middle characters.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from airladder.panel import fonts
from airladder.panel.canvas import SAFE_HEIGHT, SAFE_WIDTH, WIDTH, Canvas
from airladder.panel.notices import LINE
from airladder.panel.words import Row, fitting

MIDDLE_LINE = 15
LABELS_Y = SAFE_HEIGHT - 8
_MIDDLE_WIDTH = 8
_TEXT_Y, _STEP, _LINES = 14, 8, 5
_TURN_SECONDS = 6.0


def labels(canvas: Canvas, row: Row) -> None:
    """What each button does, above the button."""
    share = WIDTH // len(row)
    for i, label in enumerate(row):
        canvas.text((i * share + share // 2, LABELS_Y), label, fonts.small(), align="centre")


def heading(canvas: Canvas, text: str, aside: str = "") -> None:
    """A headline, and a few small characters at its right where there is room for them."""
    room = MIDDLE_LINE if not aside else (SAFE_WIDTH - 6 - fonts.small().measure(aside)) // _MIDDLE_WIDTH
    canvas.text((1, -1), fitting(text, room), fonts.middle())
    if aside:
        canvas.text((SAFE_WIDTH, 3), aside, fonts.small(), align="right")


def sentence(canvas: Canvas, text: str, t: float = 0.0) -> None:
    """A sentence over the whole width; a long one by turns, so many seconds each part."""
    lines = wrapped(text)
    parts = [lines[i : i + _LINES] for i in range(0, len(lines), _LINES)] or [[]]
    rows(canvas, parts[int(t / _TURN_SECONDS) % len(parts)])


def wrapped(text: str) -> list[str]:
    """A text in lines of the screen's width."""
    return textwrap.wrap(text, LINE, break_on_hyphens=False)


def rows(canvas: Canvas, lines: Sequence[str], y: int = _TEXT_Y) -> None:
    """Small lines one below the other."""
    for i, line in enumerate(lines):
        canvas.text((1, y + i * _STEP), fitting(line, LINE), fonts.small())
