"""The form of the report's figures, as they are written into the page as JSON.

Conventions
-----------
Minutes, cents, ms, Hz, s, dB. `Middle` is (count, lower quartile, median, upper quartile) of all values of that very
cell, or None where there were none. Counts may be added up over periods, tubes and partials; middles may not be
merged, and none here is a mean of others. In a row, `period` counts the days, months or quarters of its `Part`, and
`tube` counts `Figures.tubes`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypedDict

Row = Sequence[Any]


class Tube(TypedDict):
    """A fingering of a horn: `notes` are the written notes of its partials from 1, none where it is unknown."""

    horn: str
    fingering: str
    pretty: str
    spoken: str
    notes: list[str]


class Totals(TypedDict):
    """All that was practised; `first` and `last` are dates, None of nothing."""

    sessions: int
    days: int
    minutes: float
    tries: int
    reached: int
    first: str | None
    last: str | None


class ByMonth(TypedDict):
    """Rows of the newest days, and rows of all months."""

    day: list[Row]
    month: list[Row]


class ByQuarter(TypedDict):
    """Rows of the newest days, and rows of all quarters."""

    day: list[Row]
    quarter: list[Row]


class Head(TypedDict):
    """What is true of a session; `known` is False where nobody who knew the date has told it."""

    id: int
    when: str
    known: bool
    source: str
    horn: str
    fingering: str
    pretty: str
    exercise: str
    a4_hz: float
    against: str
    version: str
    minutes: float
    tries: int
    reached: int
    outcomes: dict[str, int]


class Try(TypedDict):
    """A try of the newest session; what was not measured is None."""

    number: int
    exercise: str
    task: str | None
    fingering: str
    partials: list[int]
    wanted: int
    note: str
    start: str | None
    hold_s: float
    swell: bool
    cold: bool
    beside: tuple[str, int, str] | None
    outcome: str
    right: bool
    partial: int | None
    others: list[int]
    path: list[tuple[int | None, float]]
    cents: float | None
    spread_cents: float | None
    attack: str | None
    speak_ms: float | None
    push_db: float | None
    held_s: float
    level_dbfs: float | None
    difference_cents: float | None
    guess: str | None
    sung_cents: float | None
    swell_db: float | None


class Told(TypedDict):
    """A session tone by tone: `plan` is (exercise, why it was chosen)."""

    head: Head
    plan: list[tuple[str, str]]
    remarks: list[str]
    tries: list[Try]


class Part(TypedDict):
    """All that was practised, or all that the demo invented.

    ``calendar``: (date, horn, minutes, tries, reached), all days.
    ``practised``: (period, tube, minutes, tries, reached), tries of every kind.
    ``rungs``: (period, tube, partial, tries, reached, right, cold, cold right, cents, ms to speak); the last two are
    left out of days that are not among the newest 60.
    ``starts``: (period, tube, partial, kind, asked, asked reached, asked right, began, began reached, ms to speak).
    ``compared``: (period, tube, partial, usual fingering, interval, cents of difference).
    ``fundamentals``: (period, tube, Hz, cents).
    ``sessions``: the newest ones, the newest first.
    """

    totals: Totals
    days: list[str]
    months: list[str]
    quarters: list[str]
    calendar: list[Row]
    practised: ByMonth
    rungs: ByMonth
    starts: ByQuarter
    compared: ByQuarter
    fundamentals: ByMonth
    sessions: list[Head]
    newest: Told | None


class Rung(TypedDict):
    """How a rung stands, as the coach judges: its newest tries, and where their true share lies."""

    partial: int
    stage: str
    plateau: bool
    tries: int
    right: int
    days: int
    low: float
    high: float
    sentence: str


class Ladder(TypedDict):
    """The rungs of a tube that were tried; `reach` is the highest one that the coach would ask for."""

    tube: int
    reach: int | None
    rungs: list[Rung]


class Stuck(TypedDict):
    """A plateau, and the day on which it was seen."""

    day: str
    tube: int
    partial: int
    sentence: str


class Round(TypedDict):
    """A detour that is over, from its first day to its last, and whether it helped."""

    first: str
    last: str
    tube: int
    partial: int
    helped: bool | None
    sentence: str


class Remark(TypedDict):
    """What the coach said, and on which day first."""

    day: str
    session: int
    remark: str


class Way(TypedDict):
    """The way of one horn, told of so many of its newest `days`; the remarks are of all years."""

    horn: str
    leg: str
    days_left: int
    days: int
    plateaus: list[Stuck]
    detours: list[Round]
    remarks: list[Remark]


class Figures(TypedDict):
    """All figures of the report."""

    form: int
    tubes: list[Tube]
    practice: Part
    invented: Part
    ladder: list[Ladder]
    coach: list[Way]
