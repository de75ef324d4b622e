"""The tables of partials, cents and delays: one row of the benchmark a line, one listener a column."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from bench.bound import times_bound
from bench.delays import OwnDelay
from bench.judge import Mark
from bench.tables import (
    NONE,
    Condition,
    Table,
    by_listener,
    each_row,
    middle_and_tail,
    percent,
    right_and_wrong,
    single,
)

LOW_HZ, HIGH_HZ = 150.0, 1000.0


def pitch_tables(
    marks: Sequence[Mark], own: Mapping[str, OwnDelay], look_ahead_s: Mapping[str, float]
) -> list[Table]:
    """All that can be made of these marks."""
    made = [
        _partials(marks),
        _cents(marks),
        _bounds(marks, own, look_ahead_s),
        _delays(marks),
        _low_delays(marks),
        _turns(marks),
        _own_delays(own, look_ahead_s),
    ]
    return [table for table in made if table.rows]


def _partials(marks: Sequence[Mark]) -> Table:
    judged = [mark for mark in single(marks) if mark.hops]
    head, rows = by_listener(
        judged,
        right_and_wrong,
        [
            *each_row(judged),
            ("clean, under 150 Hz", lambda mark: mark.row == "clean" and mark.hz < LOW_HZ),
            ("clean, over 1 kHz", lambda mark: mark.row == "clean" and mark.hz > HIGH_HZ),
        ],
    )
    note = "Per cent of the hops of the steady parts: right / wrong. What is missing to 100 is null."
    return Table("Partials", note, head, rows)


def _cents(marks: Sequence[Mark]) -> Table:
    known = [mark for mark in marks if mark.cents]
    still, moving = ([mark for mark in known if mark.vibrato == sways] for sways in (False, True))
    rows = [(f"{row}, no vibrato", _both(wanted, False)) for row, wanted in each_row(still)]
    rows += [(f"{row}, vibrato", _both(wanted, True)) for row, wanted in each_row(moving)]
    head, made = by_listener(known, _cents_cell, rows)
    note = (
        "Cents from the truth where the partial was right, own delay removed: median / 95th percentile of the hops."
    )
    return Table("Cents", note, head, made)


def _both(wanted: Condition, vibrato: bool) -> Condition:
    return lambda mark: wanted(mark) and mark.vibrato == vibrato


def _cents_cell(marks: list[Mark]) -> str:
    return middle_and_tail([off for mark in marks for off in mark.cents], 0.95, 2)


def _bounds(marks: Sequence[Mark], own: Mapping[str, OwnDelay], look_ahead_s: Mapping[str, float]) -> Table:
    exact = [mark for mark in marks if mark.row.startswith("exact") and mark.cents and not mark.vibrato]

    def cell(some: list[Mark]) -> str:
        if not some:
            return NONE
        who = some[0].listener
        return middle_and_tail(times_bound(some, own[who], look_ahead_s[who]), 0.9, 1)

    head, rows = by_listener(exact, cell, each_row(exact))
    note = "Rms error of a tone in Cramer-Rao bounds of twice the listener's own delay: median / 90th percentile."
    return Table("Distance from the bound", note, head, rows)


def _delays(marks: Sequence[Mark]) -> Table:
    asked = [mark for mark in marks if mark.begins and mark.delay_s is not None]
    head, rows = by_listener(asked, _delay_cell, each_row(asked))
    note = "Ms from the start to a right partial that stays 100 ms, look-ahead counted: median / 90th; % never."
    return Table("Delay", note, head, rows)


def _delay_cell(marks: list[Mark]) -> str:
    if not marks:
        return NONE
    delays = [mark.delay_s for mark in marks if mark.delay_s is not None]
    never = percent(float(np.isnan(delays).sum()), len(delays), 1)
    return f"{middle_and_tail(delays, 0.9, 0, 1000.0)}; {never}"


def _low_delays(marks: Sequence[Mark]) -> Table:
    low = [mark for mark in marks if mark.begins and mark.delay_s is not None and mark.hz < LOW_HZ]

    def cell(some: list[Mark]) -> str:
        return middle_and_tail([(mark.delay_s or 0.0) * mark.hz for mark in some], 0.9, 1)

    head, rows = by_listener(low, cell, each_row(low))
    return Table("Delay under 150 Hz", "In periods of what sounds: median / 90th percentile.", head, rows)


def _turns(marks: Sequence[Mark]) -> Table:
    turned = [mark for mark in marks if not mark.begins and mark.delay_s is not None]
    head, rows = by_listener(turned, _delay_cell, each_row(turned))
    note = "The same delay where the partial changes without a new attack, from the change."
    return Table("Delay of a change of partial", note, head, rows)


def _own_delays(own: Mapping[str, OwnDelay], look_ahead_s: Mapping[str, float]) -> Table:
    rows = [
        (name, f"{ms.min():.1f}", f"{np.median(ms):.1f}", f"{ms.max():.1f}", f"{1000.0 * look_ahead_s[name]:.1f}")
        for name, ms in ((name, 1000.0 * delay.seconds) for name, delay in own.items())
        if len(ms)
    ]
    head = ("listener", "shortest", "median", "longest", "look-ahead")
    note = "Ms by which the frequency lags behind tones that sway, 69 to 1246 Hz; removed before cents are judged."
    return Table("Own delay", note, head, tuple(rows))
