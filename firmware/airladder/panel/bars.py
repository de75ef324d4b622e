"""The ladder's parts as pixels: rails, rungs, the thick bar, and the marks of a sound.

Conventions
-----------
Pixels as in `canvas`; a mark's `y` is the middle row of its bar.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from PIL import Image

from airladder.panel.canvas import Canvas

LEFT, RIGHT = 1, 36
"""The rails' outer edges, x in pixels (right one exclusive)."""

TOP, BOTTOM = 0, 54
"""The ladder's height, y in pixels (bottom exclusive)."""

STANDING, RIDING, JOINED = (LEFT + 2, 18), (20, RIGHT - 2), (LEFT + 2, RIGHT - 2)
"""Where the halves of the wanted rung stand, and both joined: x from, to."""

Form = Literal["joined", "bar", "hollow", "dots", "up", "down"]


@dataclass(frozen=True)
class Mark:
    """The sound in the right half: where, and drawn how."""

    y: int
    form: Form


def list_of(canvas: Canvas, count: int, here: int | None) -> None:
    """Draw `count` things to choose from as rungs evenly spaced, the first one highest, `here` thick."""
    rails(canvas)
    for number in range(count):
        y = round(TOP + (number + 0.5) * (BOTTOM - TOP) / count)
        if number == here:
            thick(canvas, JOINED, y)
        else:
            rung(canvas, y, solid=False)


def rails(canvas: Canvas) -> None:
    """Draw the two rails, between which the rungs stand."""
    canvas.claim("the ladder", (LEFT, TOP, RIGHT, BOTTOM))
    canvas.bar((LEFT, TOP, LEFT + 1, BOTTOM))
    canvas.bar((RIGHT - 1, TOP, RIGHT, BOTTOM))


def rung(canvas: Canvas, y: int, *, solid: bool) -> None:
    """Draw one rung: a solid line where it was reached, else a dotted one."""
    if solid:
        canvas.bar((LEFT + 1, y, RIGHT - 1, y + 1))
        return
    canvas.image.paste(_dots(), (LEFT + 1, y))


@cache
def _dots() -> Image.Image:
    """A dotted rung: a dot in three pixels, drawn once."""
    line = Image.new("1", (RIGHT - 1 - (LEFT + 1), 1))
    for x in range(0, line.width, 3):
        line.putpixel((x, 0), 255)
    return line


def thick(canvas: Canvas, span: tuple[int, int], y: int) -> None:
    """A bar of three pixels with a dark edge, so that rungs under it end before it."""
    canvas.bar((span[0] - 1, y - 2, span[1] + 1, y + 3), lit=False)
    canvas.bar((span[0], y - 1, span[1], y + 2))


def draw_mark(canvas: Canvas, mark: Mark) -> None:
    """Draw the sound in the right half."""
    y, (left, right) = mark.y, RIDING
    thick(canvas, JOINED if mark.form == "joined" else RIDING, y)
    match mark.form:
        case "hollow":
            canvas.bar((left + 1, y, right - 1, y + 1), lit=False)
        case "dots":
            for x in range(left + 2, right, 4):
                canvas.bar((x, y - 1, x + 2, y + 2), lit=False)
        case "up" | "down":
            _arrows(canvas, y, up=mark.form == "up")


def _arrows(canvas: Canvas, y: int, *, up: bool) -> None:
    """Two arrowheads of four rows whose tips lie on the outer edge of the bar that they stand for."""
    left, right = RIDING
    top = y - 1 if up else y - 2
    canvas.bar((left, top - 1, right, top + 5), lit=False)
    for tip in (left + 3, right - 4):
        for step in range(4):
            row = top + step if up else top + 3 - step
            canvas.bar((tip - step, row, tip + step + 1, row + 1))
