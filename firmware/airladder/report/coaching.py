"""What the coach makes of the practice: how each rung stands, the way so far, and what it said of it.

All is judged by the coach's own code over the same days that it plans by, so report and plan say the same. What lies
before those days is told by the remarks, as they were made then.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from datetime import date
from functools import cache
from importlib.resources import files
from typing import TypedDict

from airladder.journal.log import Reader
from airladder.practice.coach.counts import counted
from airladder.practice.coach.course import Course
from airladder.practice.coach.following import course
from airladder.practice.coach.history import History, Rung
from airladder.practice.coach.reach import Ladders
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.standing import Standing
from airladder.practice.coach.wording import PRACTISED
from airladder.report import form
from airladder.report.listed import Listed

REMARKS = 400
"""So many of the newest remarks are told."""

_REMARKS = "SELECT session, remark FROM remark ORDER BY session, number"
_NUMBER = re.compile(r"\b(\d+|one) days?\b|\d+")


class _Followed(Ladders):
    """All rungs followed from day to day, once for how they stand and how far they reach."""

    def standings(self) -> dict[Rung, Standing]:
        """How every rung stands that was tried."""
        return {rung: track.standing(rung) for rung, track in self._tracks.items()}


class Judged(TypedDict):
    """What the coach makes of a horn, with the names of the fingerings in place of the numbers of the tubes.

    ``ladders``: (fingering, reach, rungs). ``plateaus``: (day, fingering, partial, sentence). ``detours``: (first
    day, last day, fingering, partial, helped, sentence).
    """

    ladders: list[tuple[str, int | None, list[form.Rung]]]
    leg: str
    days_left: int
    days: int
    plateaus: list[tuple[str, str, int, str]]
    detours: list[tuple[str, str, str, int, bool | None, str]]


def judged(history: History) -> Judged:
    """How the rungs of a horn stand, and its way so far.

    Parameters
    ----------
    history : the days that the coach looks at; of each its date and its tallies
    """
    rules = Rules()
    ladders = _Followed(rules)
    for day in history:
        ladders.add(counted(day))
    way = course(history, rules)
    return {
        "ladders": _ladders(ladders, way),
        "leg": way.leg.value,
        "days_left": way.days_left,
        "days": len(history),
        "plateaus": [(_day(history, one.day), *one.rung, one.sentence) for one in way.plateaus],
        "detours": [
            (_day(history, one.first), _day(history, one.last), *one.plateau.rung, one.helped, one.sentence)
            for one in way.detours
        ],
    }


@cache
def code() -> str:
    """A text that is another when the coach's code is, and with it, perhaps, what it makes of the same days."""
    folder = files("airladder.practice.coach")
    texts = sorted((item.name, item.read_bytes()) for item in folder.iterdir() if item.name.endswith(".py"))
    return hashlib.sha256(repr(texts).encode()).hexdigest()


def told(
    horn: str, found: Judged, said: list[form.Remark], numbers: Mapping[tuple[str, str], int]
) -> tuple[list[form.Ladder], form.Way]:
    """What was judged of a horn, in the form of the figures, with the remarks on it."""
    ladders: list[form.Ladder] = [
        {"tube": numbers[horn, fingering], "reach": reach, "rungs": rungs}
        for fingering, reach, rungs in found["ladders"]
    ]
    return ladders, {
        "horn": horn,
        "leg": found["leg"],
        "days_left": found["days_left"],
        "days": found["days"],
        "plateaus": [
            {"day": day, "tube": numbers[horn, fingering], "partial": partial, "sentence": sentence}
            for day, fingering, partial, sentence in found["plateaus"]
        ],
        "detours": [
            {
                "first": first,
                "last": last,
                "tube": numbers[horn, fingering],
                "partial": partial,
                "helped": helped,
                "sentence": sentence,
            }
            for first, last, fingering, partial, helped, sentence in found["detours"]
        ],
        "remarks": said,
    }


def remarks(log: Reader, sessions: Mapping[int, Listed]) -> dict[str, list[form.Remark]]:
    """What the coach said, by horn, the oldest first; what it repeated from session to session once, numbers aside.

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    by_session: dict[int, list[str]] = {}
    for row in log.rows(_REMARKS):
        by_session.setdefault(row["session"], []).append(row["remark"])
    said: dict[str, list[form.Remark]] = {}
    before: dict[str, set[str]] = {}
    for number, session in sessions.items():
        if session.invented:
            continue
        horn, new = session.whose.horn, by_session.get(number, [])
        first_said: list[form.Remark] = [
            {"day": session.day, "session": number, "remark": remark}
            for remark in new
            if _gist(remark) not in before.get(horn, ())
        ]
        said.setdefault(horn, []).extend(first_said)
        before[horn] = {_gist(remark) for remark in new}
    return {horn: everything[-REMARKS:] for horn, everything in said.items()}


def _gist(remark: str) -> str:
    """A remark but for its numbers."""
    return _NUMBER.sub("#", remark)


def _ladders(followed: _Followed, way: Course) -> list[tuple[str, int | None, list[form.Rung]]]:
    rungs: dict[str, list[form.Rung]] = {}
    for rung, standing in sorted(followed.standings().items()):
        stuck = way.plateau is not None and way.plateau.rung == rung
        rungs.setdefault(rung[0], []).append(_rung(rung[1], standing, stuck))
    return [
        (fingering, followed.reach(fingering) if fingering in PRACTISED else None, tried)
        for fingering, tried in rungs.items()
    ]


def _rung(partial: int, standing: Standing, stuck: bool) -> form.Rung:
    return {
        "partial": partial,
        "stage": standing.stage.value,
        "plateau": stuck,
        "tries": standing.tries,
        "right": standing.right,
        "days": standing.days,
        "low": round(standing.share.low, 4),
        "high": round(standing.share.high, 4),
        "sentence": standing.sentence,
    }


def _day(history: History, index: int) -> str:
    return date.fromordinal(history[index].date).isoformat()
