"""The tables of the report as they stand without a script: the newest figures of each fingering and partial.

Each function gives rows of cells as HTML; their columns are those of the script's tables (`page/*.js`), so that it
can put the rows of the reader's choice in their place.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from html import escape
from typing import Any

from airladder.report.form import Figures
from airladder.report.words import NONE, signed

Rows = list[Sequence[str]]


def months(made: Figures) -> Rows:
    """When, minutes, tries, reached: all months, the newest first."""
    part = made["practice"]
    sums: dict[int, list[float]] = {}
    for month, _, *counts in part["practised"]["month"]:
        before = sums.setdefault(month, [0.0, 0, 0])
        sums[month] = [old + new for old, new in zip(before, counts, strict=True)]
    return [
        (_when(part["months"][month]), *(f"{count:.0f}" for count in counts))
        for month, counts in sorted(sums.items(), reverse=True)
    ]


def ladders(made: Figures) -> Rows:
    """Fingering, partial, spoke, true share, whether few, the coach's words: as the coach judges now."""
    return [
        (
            *_on(made, ladder["tube"], rung["partial"]),
            f"{rung['right']} of {rung['tries']}",
            f"{100 * rung['low']:.0f} to {100 * rung['high']:.0f} %",
            "",
            escape(rung["sentence"]),
        )
        for ladder in made["ladder"]
        for rung in ladder["rungs"]
    ]


def growth(made: Figures) -> Rows:
    """Fingering, partial, when, spoke, cold."""
    rows = _newest(made["practice"]["rungs"]["month"], lambda row: (row[1], row[2]))
    return [
        (*_on(made, row[1], row[2]), _month(made, row), f"{row[4]} of {row[3]}", f"{row[7]} of {row[6]}")
        for row in rows
    ]


def cents(made: Figures) -> Rows:
    """Fingering, partial, when, median, middle half, of how many."""
    rows = _newest((row for row in made["practice"]["rungs"]["month"] if row[8]), lambda row: (row[1], row[2]))
    return [(*_on(made, row[1], row[2]), _month(made, row), *_middle(row[8], signed)) for row in rows]


def compared(made: Figures) -> Rows:
    """Fingering, pair, when, median, middle half, of how many."""
    rows = _newest(
        (row for row in made["practice"]["compared"]["quarter"] if row[5]),
        lambda row: (row[1], row[2], row[3], row[4]),
    )
    return [(_fingering(made, row[1]), _pair(row), _quarter(made, row), *_middle(row[5], signed)) for row in rows]


def starts(made: Figures) -> Rows:
    """Fingering, partial, start, spoke, true share, as asked: over the whole time."""
    sums: dict[tuple[int, int, str], list[int]] = {}
    for _, tube, partial, kind, *counts in made["practice"]["starts"]["quarter"]:
        before = sums.setdefault((tube, partial, kind), [0, 0, 0])
        sums[tube, partial, kind] = [old + new for old, new in zip(before, counts, strict=False)]
    return [
        (*_on(made, tube, partial), kind, f"{reached} of {asked}", NONE, f"{right} of {asked}")
        for (tube, partial, kind), (asked, reached, right) in sorted(sums.items())
        if asked
    ]


def speak(made: Figures) -> Rows:
    """Fingering, partial, when, start, median, middle half, of how many."""
    rows = _newest(
        (row for row in made["practice"]["starts"]["quarter"] if row[9]), lambda row: (row[1], row[2], row[3])
    )
    return [(*_on(made, row[1], row[2]), _quarter(made, row), row[3], *_middle(row[9], _whole)) for row in rows]


def fundamentals(made: Figures) -> Rows:
    """Fingering, when, median in Hz, median in cents, middle half, of how many."""
    rows = _newest((row for row in made["practice"]["fundamentals"]["month"] if row[3]), lambda row: (row[1],))
    return [
        (_fingering(made, row[1]), _month(made, row), f"{row[2][2]:.2f}", *_middle(row[3], signed)) for row in rows
    ]


def story(made: Figures) -> list[tuple[str, str]]:
    """What the coach saw and said, as (day, sentence), the newest first."""
    said = [(found["day"], found["sentence"]) for way in made["coach"] for found in way["plateaus"]]
    said += [(found["last"], found["sentence"]) for way in made["coach"] for found in way["detours"]]
    said += [(found["day"], found["remark"]) for way in made["coach"] for found in way["remarks"]]
    return sorted(said, key=lambda one: one[0], reverse=True)


def _newest(rows: Iterable[Any], key: Callable[[Any], tuple[Any, ...]]) -> list[Any]:
    """The last row of each key; rows come in the order of time."""
    return [row for _, row in sorted({key(row): row for row in rows}.items(), key=lambda item: item[0])]


def _on(made: Figures, tube: int, partial: int) -> Iterator[str]:
    notes = made["tubes"][tube]["notes"]
    yield _fingering(made, tube)
    yield f"{partial} {notes[partial - 1] if partial <= len(notes) else ''}".strip()


def _fingering(made: Figures, tube: int) -> str:
    spoken = made["tubes"][tube]["spoken"]
    horn = made["tubes"][tube]["horn"]
    return escape(f"{spoken[:1].upper()}{spoken[1:]}, {horn}")


def _pair(row: Any) -> str:
    _, _, partial, usual, interval, _ = row
    below = "" if interval == "unison" else f", {'an' if interval == 'octave' else 'a'} {interval} below"
    return escape(f"{partial} and {usual}{below}")


def _month(made: Figures, row: Any) -> str:
    return _when(made["practice"]["months"][row[0]])


def _quarter(made: Figures, row: Any) -> str:
    """Such as ``April to June 2026``."""
    year, quarter = made["practice"]["quarters"][row[0]].split("-Q")
    first, last = (date(int(year), 3 * int(quarter) - less, 1) for less in (2, 0))
    return f"{first:%B} to {last:%B %Y}"


def _when(month: str) -> str:
    """Such as ``May 2026``."""
    return f"{date.fromisoformat(f'{month}-01'):%B %Y}"


def _whole(value: float) -> str:
    return f"{value:.0f}"


def _middle(found: Sequence[float], said: Callable[[float], str]) -> Sequence[str]:
    count, low, mid, high = found
    return said(mid), NONE if count < 2 else f"{said(low)} to {said(high)}", f"{count:.0f}"
