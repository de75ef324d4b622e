"""What the screen of the box shows meanwhile: what to do, what was found, and the patterns.

Conventions
-----------
Pixels as in `panel.canvas`. The patterns alone light the last row and column too: whether these are there is what
they ask.
"""

from __future__ import annotations

from collections.abc import Mapping

from airladder.panel import fonts
from airladder.panel.canvas import HEIGHT, WIDTH, Canvas
from airladder.panel.rounds.sheet import sentence
from airladder.selftest.result import Result, Verdict
from airladder.selftest.telling import names_by_verdict

_SQUARE = 8


def asking(head: str, text: str) -> Canvas:
    """Two words, and a sentence; a sentence that is too long for the screen stands whole in the terminal."""
    canvas = Canvas()
    sentence(canvas, head, text)
    return canvas


def found(name: str, result: Result) -> Canvas:
    """How a check ended."""
    canvas = Canvas()
    sentence(canvas, f"{name}: {result.verdict.value}", result.says)
    return canvas


def summary(results: Mapping[str, Result]) -> Canvas:
    """How many ended how, and the names of those that failed."""
    names = names_by_verdict(results)
    canvas = Canvas()
    counted = ", ".join(f"{len(some)} {verdict.value}" for verdict, some in names.items() if some)
    bad = names[Verdict.FAILED]
    sentence(canvas, "Failed" if bad else "All well", f"{counted}. {', '.join(bad)}".strip())
    return canvas


def frame() -> Canvas:
    """The outermost pixels on all four sides, and a word inside."""
    canvas = Canvas()
    for box in (
        (0, 0, WIDTH, 1),
        (0, HEIGHT - 1, WIDTH, HEIGHT),
        (0, 0, 1, HEIGHT),
        (WIDTH - 1, 0, WIDTH, HEIGHT),
    ):
        canvas.bar(box)
    canvas.text((WIDTH // 2, 12), "Four sides?", fonts.middle(), align="centre")
    canvas.text((WIDTH // 2, 40), "OK whole, BACK cut", fonts.small(), align="centre")
    return canvas


def checker() -> Canvas:
    """Squares of 8 pixels, the first one lit."""
    canvas = Canvas()
    for y in range(0, HEIGHT, _SQUARE):
        for x in range(y % (2 * _SQUARE), WIDTH, 2 * _SQUARE):
            canvas.bar((x, y, x + _SQUARE, y + _SQUARE))
    return canvas


def all_on() -> Canvas:
    """Every pixel."""
    canvas = Canvas()
    canvas.bar((0, 0, WIDTH, HEIGHT))
    return canvas


def all_off() -> Canvas:
    """None."""
    return Canvas()
