"""On which date a session was, as far as that can be told now.

Conventions
-----------
The order of the sessions is sure, their labels are not. A date is known where a clock kept it or somebody told it,
for the whole switch-on. Known dates that contradict the order are not believed: those that somebody told come before
those of a clock, and otherwise as many as possible stay (a longest non-decreasing subsequence). Where no date is
known, a switch-on counts as the day after the last one, as far as the next known date leaves room; within one
switch-on the time since it tells exactly. So dates never go back, and nothing that was kept is rewritten: a word that
comes later corrects what is told here, and that only.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import pairwise

from airladder.journal.log import Reader
from airladder.journal.order import IN_ORDER
from airladder.journal.records import KNOWN, Moment

_DAY_S = 86400.0
_TOLD, _CLOCK = 2, 1

_Words = dict[int | None, tuple[datetime, float]]


@dataclass(frozen=True)
class Dated:
    """The date of a session; `known` is False where it is only what the order leaves room for."""

    when: datetime
    known: bool


@dataclass(frozen=True)
class _Label:
    """A session's number, what the clock said, and when it was by the switch-on; `sure` says by whom it is known."""

    id: int
    when: datetime
    boot: int | None
    boottime_s: float
    sure: int


def dates(log: Reader) -> dict[int, Dated]:
    """The dates of all sessions by their numbers, in their order.

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    return {label.id: dated for label, dated in _dated(_labels(log, _told(log)))}


def now(log: Reader, moment: Moment, wall: datetime) -> Dated:
    """The date at this moment, at which the clock says `wall`: that of a session which would begin now."""
    words = _told(log)
    labels = _labels(log, words)
    numbers = {row["key"]: row["number"] for row in log.rows("SELECT key, number FROM boot")}
    boot = numbers.get(moment.boot_key, max(numbers.values(), default=0) + 1)
    told = words.get(boot)
    label = _Label(-1, wall, boot, moment.boottime_s, _CLOCK if moment.trust == KNOWN else 0)
    return list(_dated([*labels, label if told is None else _corrected(label, *told)]))[-1][1]


def _labels(log: Reader, told: _Words) -> list[_Label]:
    labels = []
    for row in log.rows(f"SELECT id, started, boot, boottime_s, trust FROM session ORDER BY {IN_ORDER}"):
        sure = _CLOCK if row["trust"] == KNOWN or row["boot"] is None else 0
        label = _Label(row["id"], _read(row["started"]), row["boot"], row["boottime_s"] or 0.0, sure)
        labels.append(_corrected(label, *told[label.boot]) if label.boot in told else label)
    return labels


def _told(log: Reader) -> _Words:
    """The newest word on each switch-on: the date, and the time since the switch-on that it was said for."""
    rows = log.rows("SELECT boot, wall, boottime_s FROM date_told ORDER BY number")
    return {row["boot"]: (_read(row["wall"]), row["boottime_s"]) for row in rows}


def _corrected(label: _Label, wall: datetime, boottime_s: float) -> _Label:
    return replace(label, when=_shifted(wall, label.boottime_s - boottime_s), sure=_TOLD)


def _read(text: str) -> datetime:
    """A date with its offset; one without is taken for the computer's own."""
    when = datetime.fromisoformat(text)
    return when if when.tzinfo else when.astimezone()


def _dated(labels: Sequence[_Label]) -> Iterator[tuple[_Label, Dated]]:
    believed = _believed(labels)
    ahead = _next_known(labels, believed)
    before: tuple[_Label, datetime] | None = None
    for number, label in enumerate(labels):
        when = label.when if number in believed else _guessed(label, before, ahead[number])
        before = label, when
        yield label, Dated(when, number in believed)


def _guessed(label: _Label, before: tuple[_Label, datetime] | None, ahead: datetime | None) -> datetime:
    """A date between that of the session before and the next known one."""
    if before is None:
        return label.when if ahead is None or label.when <= ahead else _shifted(ahead, -_DAY_S)
    last, when = before
    if label.boot is not None and last.boot == label.boot:
        when = max(when, _shifted(when, label.boottime_s - last.boottime_s))
    else:
        carried = label.when if not label.sure else when  # what a clock said that is not believed says nothing
        when = max(_shifted(when, _DAY_S), carried)
    return when if ahead is None else min(when, ahead)


def _shifted(when: datetime, seconds: float) -> datetime:
    try:
        return when + timedelta(seconds=seconds)
    except OverflowError:  # a clock at the end of the calendar
        return when


def _next_known(labels: Sequence[_Label], believed: set[int]) -> list[datetime | None]:
    ahead: list[datetime | None] = [None] * len(labels)
    known = None
    for number in reversed(range(len(labels))):
        ahead[number] = known
        if number in believed:
            known = labels[number].when
    return ahead


def _believed(labels: Sequence[_Label]) -> set[int]:
    """The places of the labels whose dates are taken as they are."""
    told = _rising(labels, [n for n, label in enumerate(labels) if label.sure == _TOLD])
    believed = set(told)
    edges = [-1, *told, len(labels)]
    for first, last in pairwise(edges):
        low = labels[first].when if first >= 0 else None
        high = labels[last].when if last < len(labels) else None
        between = (n for n in range(first + 1, last) if labels[n].sure == _CLOCK)
        believed.update(_rising(labels, [n for n in between if _fits(labels[n].when, low, high)]))
    return believed


def _fits(when: datetime, low: datetime | None, high: datetime | None) -> bool:
    return (low is None or when >= low) and (high is None or when <= high)


def _rising(labels: Sequence[_Label], places: Iterable[int]) -> list[int]:
    """As many of `places` as can be whose dates do not go back (patience sorting); of equal ones the later."""
    tails: list[datetime] = []
    ends: list[int] = []
    before: dict[int, int | None] = {}
    for place in places:
        when = labels[place].when
        length = bisect_right(tails, when)
        before[place] = ends[length - 1] if length else None
        tails[length : length + 1] = [when]
        ends[length : length + 1] = [place]
    found: list[int] = []
    place_or_none = ends[-1] if ends else None
    while place_or_none is not None:
        found.append(place_or_none)
        place_or_none = before[place_or_none]
    return found[::-1]
