"""The tables of attacks: found, false, kind, confidence, rise, and when they were known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np

from bench.onsets import WINDOWS_S, Found, Start, f_measure, false_a_minute
from bench.tables import NONE, Table, middle_and_tail, names_of, percent

_DECILES = tuple((low / 10.0, (low + 1) / 10.0) for low in range(10))


def attack_tables(found: Sequence[Found], starts: Sequence[Start]) -> list[Table]:
    """All that can be made of these."""
    made = [_f_measures(found), _false_ones(found), _kinds(starts), _confidence(starts), _times(starts)]
    return [table for table in made if table.rows]


def _f_measures(found: Sequence[Found]) -> Table:
    def cell(some: list[Found]) -> str:
        return " / ".join(f"{f_measure(some, window):.3f}" for window in WINDOWS_S) if some else NONE

    head, rows = _by_detector([one for one in found if one.true], cell)
    note = "F-measure within 50 ms / within 10 ms (mir_eval's matching), the general detectors' own offset removed."
    return Table("Attacks found", note, head, rows)


def _false_ones(found: Sequence[Found]) -> Table:
    def cell(some: list[Found]) -> str:
        return f"{false_a_minute(some):.1f}" if some else NONE

    head, rows = _by_detector(found, cell)
    return Table("False attacks", "A minute of sound: those with no true one within 50 ms.", head, rows)


def _by_detector(
    found: Sequence[Found], cell: Callable[[list[Found]], str]
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    names = names_of(one.detector for one in found)
    groups: dict[tuple[str, str], list[Found]] = {}
    for one in found:
        groups.setdefault((one.row, one.detector), []).append(one)
    rows = names_of(one.row for one in found)
    return ("row", *names), tuple((row, *(cell(groups.get((row, name), [])) for name in names)) for row in rows)


def _kinds(starts: Sequence[Start]) -> Table:
    head = ("row", "attacks", "called tongued or air", "of these right", "unsure")
    note = "How we say that notes began, in per cent. Of the matched attacks only."
    return Table("Kind of attack", note, head, tuple(_kind_row(row, some) for row, some in _by_row(starts)))


def _kind_row(row: str, some: list[Start]) -> tuple[str, ...]:
    told = [start for start in some if start.said != "unsure"]
    right = sum(start.said == start.true for start in told)
    unsure = len(some) - len(told)
    named = percent(len(told), len(some), 1)
    return row, str(len(some)), named, percent(right, len(told), 1), percent(unsure, len(some), 1)


def _confidence(starts: Sequence[Start]) -> Table:
    told = [start for start in starts if start.said != "unsure"]
    rows = []
    for low, high in _DECILES:
        some = [start for start in told if low <= start.confidence < high or start.confidence == high == 1.0]
        if some:
            right = sum(start.said == start.true for start in some)
            mean = float(np.mean([start.confidence for start in some]))
            rows.append(
                (f"{low:.1f} to {high:.1f}", str(len(some)), f"{100 * mean:.0f}", percent(right, len(some), 0))
            )
    head = ("confidence", "attacks", "mean confidence, %", "right, %")
    note = "Of the attacks called tongued or air: is the confidence the frequency of being right?"
    return Table("Confidence", note, head, tuple(rows))


def _times(starts: Sequence[Start]) -> Table:
    head = ("row", "late, ms", "known after, ms", "rise said / true, times")
    note = (
        "Of our matched attacks: the time they bear less the true one, and when they were known, from the true one: "
        "median / 90th percentile. The rise: median / 90th percentile of the ratio, the larger over the smaller."
    )
    return Table("Times of attacks", note, head, tuple(_time_row(row, some) for row, some in _by_row(starts)))


def _time_row(row: str, some: list[Start]) -> tuple[str, ...]:
    ratios = [
        float(np.exp(abs(np.log(max(start.rise_ms, 0.1) / start.true_rise_ms))))
        for start in some
        if start.true_rise_ms
    ]
    late = middle_and_tail([start.late_s for start in some], 0.9, 1, 1000.0)
    known = middle_and_tail([start.known_after_s for start in some], 0.9, 0, 1000.0)
    return row, late, known, middle_and_tail(ratios, 0.9, 2)


def _by_row(starts: Iterable[Start]) -> list[tuple[str, list[Start]]]:
    groups: dict[str, list[Start]] = {}
    for start in starts:
        groups.setdefault(start.row, []).append(start)
    return list(groups.items())
