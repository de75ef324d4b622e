"""The rungs day by day as a picture: an SVG that stands beside the ladder of a session.

Conventions
-----------
A column a day of practice, the newest on the right; a rung a partial of one fingering, as far apart as the partials
are (log frequency), low notes below. A block is a rung reached at least once that day, and a stroke one that was
tried and not reached; where nothing stands, nothing was tried.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from html import escape

from airladder.journal.records import Head
from airladder.music.names import pretty
from airladder.music.pitch import cents
from airladder.music.series import HIGHEST_PARTIAL
from airladder.practice.coach.history import History, Tally
from airladder.report.ladder import WIDTH
from airladder.report.words import Notes, day

Rungs = dict[int, bool]

DAYS = 30
"""So many columns at most."""

_LEFT, _RIGHT = 72.0, WIDTH - 8.0
_STEP = (_RIGHT - _LEFT) / DAYS
_TOP, _FOOT = 26.0, 40.0
_PX_UP_A_CENT = 0.12
_LEAST_RUNGS = 6
_MARK_WIDTH, _BLOCK, _STROKE = 6.0, 7.0, 2.0


def daily(history: History, head: Head, name: str) -> str:
    """The newest days of `history` on the horn and fingering of `head`; `name` makes its ids unique in the page.

    An empty text when nothing was tried on that fingering.
    """
    days = [(one.date, _rungs(one.tallies, head.fingering)) for one in history[-DAYS:]]
    days = [(label, rungs) for label, rungs in days if rungs]
    if not days:
        return ""
    top = min(max(_LEAST_RUNGS, *(max(rungs) for _, rungs in days)), HIGHEST_PARTIAL)
    title = f"The partials of {escape(pretty(head.fingering))} on {len(days)} days of practice"
    marks = "".join(_column(number, rungs, top) for number, (_, rungs) in enumerate(days, DAYS - len(days)))
    return (
        f'<svg class="days" viewBox="0 0 {WIDTH} {_y(1, top) + _FOOT:.0f}" role="img" '
        f'aria-labelledby="{name}-title {name}-desc"><title id="{name}-title">{title}</title>'
        f'<desc id="{name}-desc">{_in_words(days)}</desc>'
        f"{''.join(_lines(head, top))}{marks}{_dates([label for label, _ in days], top)}</svg>"
    )


def _rungs(tallies: Iterable[Tally], fingering: str) -> Rungs:
    """Of each partial that was tried on that fingering, whether it was reached."""
    return {tally.partial: tally.right > 0 for tally in tallies if tally.fingering == fingering}


def _y(partial: int, top: int) -> float:
    return _TOP + _PX_UP_A_CENT * cents(top, partial)


def _lines(head: Head, top: int) -> Iterator[str]:
    notes = Notes(head)
    for partial in range(1, top + 1):
        y = _y(partial, top)
        yield f'<path class="rung unasked" d="M{_LEFT:g} {y:.1f}H{_RIGHT:g}"/>'
        yield f'<text x="18" y="{y + 4:.1f}" text-anchor="end">{partial}</text>'
        yield f'<text x="30" y="{y + 4:.1f}">{notes[partial]}</text>'


def _column(number: int, rungs: Rungs, top: int) -> str:
    x = _LEFT + _STEP * (number + 0.5) - _MARK_WIDTH / 2
    shown = ((partial, reached) for partial, reached in sorted(rungs.items()) if partial <= top)
    return "".join(_mark(x, _y(partial, top), reached) for partial, reached in shown)


def _mark(x: float, y: float, reached: bool) -> str:
    kind, height = ("right", _BLOCK) if reached else ("tried", _STROKE)
    return f'<rect class="{kind}" x="{x:.1f}" y="{y - height / 2:.1f}" width="{_MARK_WIDTH:g}" height="{height:g}"/>'


def _dates(labels: Sequence[int], top: int) -> str:
    """The first day and the last, under their columns."""
    y = _y(1, top) + 32
    ends = [(_RIGHT, "end", labels[-1])]
    if len(labels) > 1:
        ends.insert(0, (_LEFT, "start", labels[0]))
    return "".join(
        f'<text class="quiet" x="{x:g}" y="{y:g}" text-anchor="{anchor}">{day(date.fromordinal(label))}</text>'
        for x, anchor, label in ends
    )


def _in_words(days: Sequence[tuple[int, Rungs]]) -> str:
    """Every day for those who do not see the picture, the newest first."""
    told = []
    for label, rungs in reversed(days):
        reached = [str(partial) for partial, right in sorted(rungs.items()) if right]
        told.append(f"{day(date.fromordinal(label))}: reached {', '.join(reached) or 'none'}")
    return "; ".join(told) + "."
