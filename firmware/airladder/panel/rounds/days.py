"""The days of practice at a glance: the ladder goes on to the right through time.

A column is a day, a row a partial. A block: it was right that day; a thin line: it was only tried. Below, a point
for each day with practice, and a tick where a week begins. Rows are equally far apart, unlike the rungs: here one
asks which partial it was, not how far it is from the next.

Conventions
-----------
Dates are labels, as numbers of days. A box whose clock lags behind its log shows the log's last days.
"""

from __future__ import annotations

from collections.abc import Sequence

from airladder.pages.box import Box
from airladder.pages.glance import Glance
from airladder.panel import bars, fonts, page_words, words
from airladder.panel.canvas import SAFE_WIDTH, Canvas
from airladder.panel.pane import LEFT, lines
from airladder.practice.coach.history import Day

DAYS = 28
_WEEK = 7
_LEFT, _COLUMN = 15, 4
_TOP, _LOWEST, _POINTS_Y, _SUM_Y = 4, 31, 35, 37
_FEWEST_ROWS = 6
_UP_TO_X = SAFE_WIDTH - 18


def draw(canvas: Canvas, box: Box) -> None:
    """Four weeks, which end so many weeks before today."""
    glance = box.glance
    if glance is None or not glance.days:
        bars.rails(canvas)
        canvas.text((LEFT, 8), page_words.DAYS, fonts.middle())
        lines(canvas, [*(page_words.LOOKING if glance is None else page_words.NO_DAYS)])
        return
    last = max(glance.today, glance.days[-1].date) - _WEEK * box.back
    days = [day for day in glance.days if last - DAYS < day.date <= last]
    _chart(canvas, days, last, _rows(glance))
    _summed(canvas, days, page_words.until(box.back))


def _rows(glance: Glance) -> int:
    """The same rows on every page, so that turning back moves nothing."""
    return max([_FEWEST_ROWS, *(tally.partial for day in glance.days for tally in day.tallies)])


def _chart(canvas: Canvas, days: Sequence[Day], last: int, rows: int) -> None:
    canvas.claim("the days", (_LEFT - 3, 0, SAFE_WIDTH, _POINTS_Y + 2))
    canvas.bar((_LEFT - 3, 0, _LEFT - 2, _POINTS_Y + 2))
    for week in range(DAYS // _WEEK):
        x = _LEFT + week * _WEEK * _COLUMN
        canvas.bar((x - 1, _POINTS_Y, x, _POINTS_Y + 2))
    for partial in (1, rows):
        canvas.text((_LEFT - 4, _y(partial, rows) - 4), str(min(99, partial)), fonts.small(), align="right")
    for day in days:
        x = _LEFT + (DAYS - 1 - (last - day.date)) * _COLUMN
        canvas.bar((x + 1, _POINTS_Y, x + 2, _POINTS_Y + 1))
        for tally in day.tallies:
            _mark(canvas, x, _y(tally.partial, rows), right=tally.right > 0)


def _mark(canvas: Canvas, x: int, y: int, *, right: bool) -> None:
    canvas.bar((x, y - 1, x + 3, y + 2) if right else (x, y, x + 3, y + 1))


def _y(partial: int, rows: int) -> int:
    return round(_LOWEST - (partial - 1) * (_LOWEST - _TOP) / (rows - 1))


def _summed(canvas: Canvas, days: Sequence[Day], until: str) -> None:
    """On how many days somebody practised, and the highest partial that was right."""
    count = str(len({day.date for day in days}))
    canvas.text((1, _SUM_Y), count, fonts.middle())
    x = 4 + fonts.middle().measure(count)
    canvas.text((x, _SUM_Y), page_words.OF_DAYS, fonts.small())
    canvas.text((x, _SUM_Y + 8), until, fonts.small())
    right = [tally.partial for day in days for tally in day.tallies if tally.right]
    canvas.text((_UP_TO_X, _SUM_Y), page_words.UP_TO, fonts.small(), align="right")
    canvas.text(
        (SAFE_WIDTH, _SUM_Y), str(min(99, max(right))) if right else words.UNKNOWN, fonts.middle(), align="right"
    )
