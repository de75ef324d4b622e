"""The right part of the screen, beside the ladder: what all its pictures have in common.

Conventions
-----------
Pixels as in `canvas`. A line holds 17 small or 11 middle characters, the last of these no T, whose cell is lit to its
edge.
"""

from __future__ import annotations

from airladder.music.names import pretty
from airladder.panel import fonts, words
from airladder.panel.canvas import SAFE_WIDTH, Canvas
from airladder.practice.state import State

LEFT, RIGHT = 40, SAFE_WIDTH
LINE = 17
"""Small characters in a line."""

MIDDLE_LINE = 11
"""Middle ones."""

CAPTION_Y, FOOT_Y = 28, 38
_LINES_Y = (CAPTION_Y, 38, 46)


def great(canvas: Canvas, text: str) -> None:
    """The largest thing on the screen, such as the number of a partial."""
    canvas.text((LEFT, 0), text, fonts.great_numerals())


def note(canvas: Canvas, name: str) -> None:
    """A written note name, large, at the right."""
    canvas.text((RIGHT, 4), name, fonts.large(), align="right")


def lines(canvas: Canvas, texts: list[str]) -> None:
    """The fingering, and a little lower what to do."""
    for text, y in zip(texts, _LINES_Y, strict=False):
        canvas.text((LEFT, y), text, fonts.small())


def name_of(state: State, partial: int) -> str:
    """The written name of a rung."""
    return pretty(state.exercise.series.written_name(partial))


def fingering(state: State) -> str:
    """Which keys are to be held down."""
    return f"{words.FINGERING} {pretty(state.ask.series.fingering.written)}"
