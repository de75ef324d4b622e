"""All figures of the report, from a log of any length.

The same log gives the same figures, whether they were kept from the last time or are made anew; no clock is read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from airladder.journal.log import Reader
from airladder.report.coaching import remarks, told
from airladder.report.digest import Digest, digested
from airladder.report.form import ByMonth, ByQuarter, Figures, Ladder, Part, Row, Totals, Way
from airladder.report.listed import Listed, listed
from airladder.report.summing import Sums
from airladder.report.told import newest
from airladder.report.tubes import Tubes

FORM = 1
"""The form of the figures; the page says which one it reads."""

Numbers = Mapping[tuple[str, str], int]


def figures(log: Reader, cache: Path | None = None) -> Figures:
    """What the report shows, ready for JSON.

    Parameters
    ----------
    log : the log
    cache : where what was summed up is kept for the next time, beside the log; None: nowhere

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    sessions = listed(log)
    practised, invented = digested(log, sessions, cache)
    tubes = Tubes()
    for sums in (*practised.months.values(), *invented.months.values()):
        for horn, fingering, *_ in sums["practised"]:  # every try is practice
            tubes.meet(horn, fingering)
    numbers = tubes.numbered()
    ladders, ways = _coached(log, sessions, practised, numbers)
    return {
        "form": FORM,
        "tubes": tubes.told(),
        "practice": _part(log, sessions, practised, numbers),
        "invented": _part(log, sessions, invented, numbers),
        "ladder": ladders,
        "coach": ways,
    }


def _coached(
    log: Reader, sessions: Mapping[int, Listed], practised: Digest, numbers: Numbers
) -> tuple[list[Ladder], list[Way]]:
    said, ladders, ways = remarks(log, sessions), [], []
    for horn, judged in practised.judged.items():
        tried, way = told(horn, judged, said.get(horn, []), numbers)
        ladders += tried
        ways.append(way)
    return sorted(ladders, key=lambda ladder: ladder["tube"]), ways


def _part(log: Reader, sessions: Mapping[int, Listed], digest: Digest, numbers: Numbers) -> Part:
    heads, in_full = newest(log, sessions, digest.sessions)
    calendar: list[Row] = [
        [day, horn, _minutes(s), *counts] for day, horn, s, *counts in _rows(digest.months, "calendar")
    ]
    return {
        "totals": _totals(digest),
        "days": list(digest.days),
        "months": list(digest.months),
        "quarters": list(digest.quarters),
        "calendar": calendar,
        "practised": {
            "day": _in_minutes(_numbered(digest.days, "practised", numbers)),
            "month": _in_minutes(_numbered(digest.months, "practised", numbers)),
        },
        "rungs": _by_month(digest, "rungs", numbers),
        "starts": _by_quarter(digest, "starts", numbers),
        "compared": _by_quarter(digest, "compared", numbers),
        "fundamentals": _by_month(digest, "fundamentals", numbers),
        "sessions": heads,
        "newest": in_full,
    }


def _totals(digest: Digest) -> Totals:
    calendar = list(_rows(digest.months, "calendar"))
    days = sorted({row[0] for row in calendar})
    return {
        "sessions": len(digest.sessions),
        "days": len(days),
        "minutes": _minutes(sum(row[2] for row in calendar)),
        "tries": sum(row[3] for row in calendar),
        "reached": sum(row[4] for row in calendar),
        "first": days[0] if days else None,
        "last": days[-1] if days else None,
    }


def _by_month(digest: Digest, family: str, numbers: Numbers) -> ByMonth:
    day, month = (list(_numbered(sums, family, numbers)) for sums in (digest.days, digest.months))
    return {"day": day, "month": month}


def _by_quarter(digest: Digest, family: str, numbers: Numbers) -> ByQuarter:
    day, quarter = (list(_numbered(sums, family, numbers)) for sums in (digest.days, digest.quarters))
    return {"day": day, "quarter": quarter}


def _numbered(periods: Mapping[str, Sums], family: str, numbers: Numbers) -> Iterator[Row]:
    """The rows of a family: in place of its label the period's number, in place of horn and fingering the tube's."""
    for period, sums in enumerate(periods.values()):
        for horn, fingering, *rest in sums.get(family, ()):
            yield [period, numbers[horn, fingering], *rest]


def _in_minutes(rows: Iterable[Row]) -> list[Row]:
    return [[period, tube, _minutes(seconds), *counts] for period, tube, seconds, *counts in rows]


def _rows(periods: Mapping[str, Sums], family: str) -> Iterator[Row]:
    for sums in periods.values():
        yield from sums[family]


def _minutes(seconds: float) -> float:
    return round(seconds / 60.0, 1)
