"""What partials were set out to be reached, row by row, whether they are, and what the peers reach there."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bench.judge import Mark
from bench.pitch_tables import HIGH_HZ, LOW_HZ
from bench.tables import Table, names_of, right_and_wrong, single

CLEAN = r"clean|steady|air start|pink 20 dB|exact (vibrato )?\d+ dB|notes .*"
UNDER, OVER = (0.0, LOW_HZ), (HIGH_HZ, np.inf)


@dataclass(frozen=True)
class Reach:
    """Rows whose names fit `rows`, sounding within `hz`; at least `right`, at most `wrong` per cent of the hops."""

    name: str
    rows: str
    right: float
    wrong: float
    hz: tuple[float, float] = (0.0, np.inf)


WANTED = (
    Reach("clean, soft and loud, bent", "clean|steady", 99.8, 0.05),
    Reach("pink noise 20 dB", "pink 20 dB", 99.8, 0.05),
    Reach("air starts", "air start", 99.8, 0.05),
    Reach("notes under 150 Hz", CLEAN, 99.5, 0.1, UNDER),
    Reach("notes over 1 kHz", CLEAN, 99.5, 0.1, OVER),
    Reach("pink noise 10 dB", "pink 10 dB", 99.5, 0.05),
    Reach("pink noise 0 dB", "pink 0 dB", 98.0, 0.5),
    Reach("bleed -20 dB", "bleed .* -20 dB", 99.5, 0.2),
    Reach("bleed -10 dB", "bleed .* -10 dB", 98.0, 1.5),
    Reach("undertone -15 dB", "undertone -15 dB", 99.5, 0.05),
    Reach("undertone -8 dB", "undertone -8 dB", 98.0, 1.0),
    Reach("physical player", "physical (clean|short|soft|drop|crack)", 98.0, 1.0),
)


def reach_table(marks: Sequence[Mark], ours: str) -> list[Table]:
    """The one table, or none where no row is in it."""
    judged = [mark for mark in single(marks) if mark.hops]
    names = [ours, *(name for name in names_of(mark.listener for mark in judged) if name != ours)]
    rows = tuple(row for reach in WANTED for row in _row(reach, judged, names))
    head = ("row", "wanted", "reached", *names)
    note = (
        "Per cent of the hops of the steady parts, right / wrong; wanted is at least / at most. What is missing to "
        "100 is null. Peers are not asked for notes above their range, and the slow one for its share alone."
    )
    return [Table("Reach", note, head, rows)] if rows else []


def _row(reach: Reach, marks: Sequence[Mark], names: Sequence[str]) -> list[tuple[str, ...]]:
    low, high = reach.hz
    some = [mark for mark in marks if re.fullmatch(reach.rows, mark.row) and low <= mark.hz < high]
    by_name = [[mark for mark in some if mark.listener == name] for name in names]
    if not by_name[0]:
        return []
    right, wrong = shares(by_name[0])
    met = "yes" if right >= reach.right and wrong <= reach.wrong else "no"
    return [(reach.name, f"{reach.right:g} / {reach.wrong:g}", met, *map(right_and_wrong, by_name))]


def shares(marks: Sequence[Mark]) -> tuple[float, float]:
    """Right and wrong, per cent of the hops."""
    hops = sum(mark.hops for mark in marks)
    return 100.0 * sum(mark.right for mark in marks) / hops, 100.0 * sum(mark.wrong for mark in marks) / hops
