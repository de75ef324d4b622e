"""The days of practice at a glance: the ladder goes on to the right through time.

A column is a day, a row a partial. A block: it was right that day; a dot: it was tried. Four weeks are shown.

Conventions
-----------
Dates are labels, as numbers of days; a box without a clock counts its days of practice all the same.
"""

from __future__ import annotations

from airladder.pages.box import Box
from airladder.pages.glance import Glance
from airladder.panel import fonts, ladder, page_words
from airladder.panel.canvas import SAFE_WIDTH, Canvas
from airladder.panel.pane import lines
from airladder.practice.coach.history import Day

DAYS = 28
_WEEK = 7
_LEFT, _COLUMN = 13, 4
_TOP, _BOTTOM = 10, 52
_FEWEST_ROWS = 6


def draw(canvas: Canvas, box: Box) -> None:
    """Four weeks, which end so many weeks before today."""
    if box.glance is None or not box.glance.days:
        ladder.rails(canvas)
        lines(canvas, [*(page_words.LOOKING if box.glance is None else page_words.NO_DAYS)])
        return
    last = box.glance.today - _WEEK * box.back
    days = [day for day in box.glance.days if last - DAYS < day.date <= last]
    canvas.text((1, 0), page_words.days_of(len({day.date for day in days}), DAYS), fonts.small())
    canvas.text((SAFE_WIDTH, 0), page_words.weeks_ago(box.back), fonts.small(), align="right")
    _chart(canvas, days, last, _rows(box.glance))


def _rows(glance: Glance) -> int:
    """The same rows on every page, so that turning back moves nothing."""
    return max([_FEWEST_ROWS, *(tally.partial for day in glance.days for tally in day.tallies)])


def _chart(canvas: Canvas, days: list[Day], last: int, rows: int) -> None:
    canvas.claim("the days", (_LEFT - 2, _TOP, SAFE_WIDTH, _BOTTOM + 2))
    canvas.bar((_LEFT - 2, _TOP, _LEFT - 1, _BOTTOM + 1))
    for week in range(DAYS // _WEEK + 1):
        x = _LEFT + week * _WEEK * _COLUMN - 1
        canvas.bar((x, _BOTTOM, x + 1, _BOTTOM + 2))
    for partial in (1, rows):
        canvas.text((_LEFT - 3, _y(partial, rows) - 3), str(partial), fonts.small(), align="right")
    for day in days:
        x = _LEFT + (DAYS - 1 - (last - day.date)) * _COLUMN
        for tally in day.tallies:
            _mark(canvas, x, _y(tally.partial, rows), right=tally.right > 0)


def _mark(canvas: Canvas, x: int, y: int, *, right: bool) -> None:
    canvas.bar((x, y - 1, x + 3, y + 1) if right else (x + 1, y, x + 2, y + 1))


def _y(partial: int, rows: int) -> int:
    return _BOTTOM - 2 - round((partial - 1) * (_BOTTOM - 4 - _TOP) / (rows - 1))
