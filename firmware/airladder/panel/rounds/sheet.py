"""What the pages round the practice have in common: labels, a heading, a sentence that takes the whole width.

Conventions
-----------
Pixels as in `canvas`. A line across the screen holds 25 small or 15 middle characters.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from airladder.panel import fonts, page_words
from airladder.panel.canvas import SAFE_HEIGHT, SAFE_WIDTH, WIDTH, Canvas
from airladder.panel.notices import LINE
from airladder.panel.words import Row, fitting
from airladder.practice.presses import ROW, Button

MIDDLE_LINE = 15
LABELS_Y = SAFE_HEIGHT - 8
TURN_SECONDS = 6.0
"""How long each part of a long text stands."""

LINES = 5
"""Lines of a sentence below a heading."""

_SHARE = WIDTH // len(ROW)
_MIDDLE_WIDTH = 8
_TEXT_Y, _STEP = 14, 8


def labels(canvas: Canvas, row: Row, chosen: Button | None = None) -> None:
    """What each button does, above the button; over the one whose choice holds now lies a rung."""
    for i, label in enumerate(row):
        canvas.text((i * _SHARE + _SHARE // 2, LABELS_Y), label, fonts.small(), align="centre")
    if chosen is not None:
        left = ROW.index(chosen) * _SHARE
        canvas.bar((left + 2, LABELS_Y - 3, left + _SHARE - 2, LABELS_Y - 1))


def heading(canvas: Canvas, text: str, aside: str = "") -> None:
    """A headline, and a few small characters at its right; a headline with no room in large type stands in small."""
    room = MIDDLE_LINE if not aside else (SAFE_WIDTH - 6 - fonts.small().measure(aside)) // _MIDDLE_WIDTH
    if len(text) <= room:
        canvas.text((1, -1), text, fonts.middle())
    else:
        small = LINE if not aside else LINE - 1 - len(aside)
        canvas.text((1, 3), fitting(text, small), fonts.small())
    if aside:
        canvas.text((SAFE_WIDTH, 3), aside, fonts.small(), align="right")


def parts(text: str, lines: int = LINES) -> list[list[str]]:
    """A text in lines of the screen's width, in as many parts of so many lines as it takes."""
    all_lines = textwrap.wrap(text, LINE, break_on_hyphens=False)
    return [all_lines[i : i + lines] for i in range(0, len(all_lines), lines)]


def due(count: int, t: float) -> int:
    """Which of so many parts stands at `t` seconds."""
    return int(t // TURN_SECONDS) % count


def sentence(canvas: Canvas, head: str, text: str, t: float = 0.0) -> None:
    """A headline and a sentence over the whole width; a long one part after part, each with its number."""
    pieces = parts(text) or [[]]
    at = due(len(pieces), t)
    heading(canvas, head, page_words.of(at + 1, len(pieces)) if len(pieces) > 1 else "")
    rows(canvas, pieces[at])


def rows(canvas: Canvas, lines: Sequence[str], y: int = _TEXT_Y) -> None:
    """Small lines one below the other."""
    for i, line in enumerate(lines):
        canvas.text((1, y + i * _STEP), fitting(line, LINE), fonts.small())
