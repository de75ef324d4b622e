"""The ladder of one session as a picture: an SVG that stands in the record's page.

Conventions
-----------
A rung a partial, as far apart as the partials are (log frequency), low notes below. A try is a mark on the rung of
the partial that sounded: on the middle line in tune, left of it flat, right of it sharp, the rails at 50 cents. Tries
with no cents stand beside the right rail, at the rung that was asked for. Slurs, and what was played on other
fingerings, belong on no rung here. The marks are defined in the page.
"""

from __future__ import annotations

from collections import Counter
from html import escape

from airladder.journal.records import Session
from airladder.music.names import pretty
from airladder.music.pitch import cents
from airladder.music.series import HIGHEST_PARTIAL
from airladder.practice.ask import Task
from airladder.practice.attempt import Attempt
from airladder.report.words import Notes

WIDTH = 348
RAIL_CENTS = 50.0

_MIDDLE, _PX_A_CENT = 172.0, 2.0
_BESIDE = _MIDDLE + _PX_A_CENT * RAIL_CENTS + 24
_TOP, _FOOT = 26.0, 40.0
_PX_UP_A_CENT = 0.12
_LEAST_RUNGS = 6
_STAGGER = (0.0, -6.0, 6.0, -3.0, 3.0)
"""Tries on one rung stand a little above and below each other, px."""


def ladder(session: Session, name: str) -> str:
    """The picture; `name` makes its ids unique in the page."""
    top = _top_rung(session)
    rungs = "".join(_rung(session, partial, top) for partial in range(1, top + 1))
    title = f"Ladder of session {session.id}: partials 1 to {top} on {escape(pretty(session.head.fingering))}"
    return (
        f'<svg class="ladder" viewBox="0 0 {WIDTH} {_height(top):.0f}" role="img" '
        f'aria-labelledby="{name}-title {name}-desc">'
        f'<title id="{name}-title">{title}</title>'
        f'<desc id="{name}-desc">Each try is a mark on the rung of the partial that sounded, left of the middle '
        f"when flat, right when sharp. The table of the session tells every try in words.</desc>"
        f"{_rails(top)}{rungs}{_marks(session, top)}</svg>"
    )


def _top_rung(session: Session) -> int:
    sounded = [attempt.tone.partial or 1 for attempt in _climbed(session) if attempt.tone]
    asked = [attempt.wanted for attempt in _climbed(session)]
    return min(max([_LEAST_RUNGS, *sounded, *asked]), HIGHEST_PARTIAL)


def _climbed(session: Session) -> list[Attempt]:
    """The tries at single partials of the session's own fingering: others belong on other ladders."""
    own = session.head.fingering
    return [
        attempt
        for attempt in session.attempts
        if (asked := attempt.asked) is None or (asked.task is Task.PLAY and asked.fingering == own)
    ]


def _y(partial: int, top: int) -> float:
    return _TOP + _PX_UP_A_CENT * cents(top, partial)


def _height(top: int) -> float:
    return _y(1, top) + _FOOT


def _rails(top: int) -> str:
    above, below = _TOP - 14, _y(1, top) + 12
    left, right = (_MIDDLE + side * _PX_A_CENT * RAIL_CENTS for side in (-1, 1))
    lines = "".join(
        f'<path class="{kind}" d="M{x:g} {above:g}V{below:g}"/>'
        for kind, x in (("rail", left), ("rail", right), ("middle", _MIDDLE))
    )
    words = ((left, "−50 flat"), (_MIDDLE, "in tune"), (right, "sharp +50"))
    return lines + "".join(
        f'<text class="quiet" x="{x:g}" y="{below + 20:g}" text-anchor="middle">{word}</text>' for x, word in words
    )


def _rung(session: Session, partial: int, top: int) -> str:
    kind = "rung" if any(attempt.wanted == partial for attempt in _climbed(session)) else "rung unasked"
    left, right = (_MIDDLE + side * _PX_A_CENT * RAIL_CENTS for side in (-1, 1))
    y = _y(partial, top)
    return (
        f'<path class="{kind}" d="M{left:g} {y:.1f}H{right:g}"/>'
        f'<text x="18" y="{y + 4:.1f}" text-anchor="end">{partial}</text>'
        f'<text x="30" y="{y + 4:.1f}">{Notes(session.head)[partial]}</text>'
    )


def _marks(session: Session, top: int) -> str:
    standing: Counter[tuple[int, bool]] = Counter()
    marks = []
    for attempt in _climbed(session):
        partial, off = _place(attempt, top)
        before = standing[partial, off is None]
        standing[partial, off is None] += 1
        marks.append(_mark(attempt, _y(partial, top), off, before))
    return "".join(marks)


def _place(attempt: Attempt, top: int) -> tuple[int, float | None]:
    """The rung and the cents at which a try is marked; no cents means beside the rail."""
    tone = attempt.tone
    if tone is None or tone.partial is None or tone.cents is None or tone.partial > top:
        return min(attempt.wanted, top), None
    return tone.partial, tone.cents


def _mark(attempt: Attempt, y: float, off: float | None, before: int) -> str:
    if off is None:
        x, up = _BESIDE + 13 * (before % 4), 0.0
    else:
        edge = RAIL_CENTS + 5  # what is farther off stands just outside the rail
        x, up = _MIDDLE + _PX_A_CENT * max(-edge, min(edge, off)), _STAGGER[before % len(_STAGGER)]
    return f'<use href="#mark-{attempt.outcome.value}" x="{x:.1f}" y="{y + up:.1f}"/>'
