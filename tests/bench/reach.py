"""What was set out to be reached, row by row, and whether it is: partials, cents and delay."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bench.judge import Mark
from bench.pitch_tables import HIGH_HZ, LOW_HZ
from bench.tables import NONE, Table, names_of, single

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
    Reach("physical player", "physical .*|player .*", 98.0, 1.0),
)


def reach_table(marks: Sequence[Mark], ours: str) -> list[Table]:
    """The one table, or none where no row is in it."""
    judged = [mark for mark in single(marks) if mark.hops]
    rows = [row for reach in WANTED for row in _row(reach, judged, ours)]
    head = ("row", "right, at least", "wrong, at most", "right", "wrong", "reached", "best peer's wrong")
    note = "Per cent of the hops of the steady parts. The best peer is the one with the fewest wrong."
    return [Table("Reach", note, head, tuple(rows))] if rows else []


def _row(reach: Reach, marks: Sequence[Mark], ours: str) -> list[tuple[str, ...]]:
    low, high = reach.hz
    some = [mark for mark in marks if re.fullmatch(reach.rows, mark.row) and low <= mark.hz < high]
    mine = [mark for mark in some if mark.listener == ours]
    if not mine:
        return []
    right, wrong = shares(mine)
    met = "yes" if right >= reach.right and wrong <= reach.wrong else "no"
    wanted = f"{reach.right:g}", f"{reach.wrong:g}"
    return [(reach.name, *wanted, f"{right:.2f}", f"{wrong:.2f}", met, _best_peer(some, ours))]


def shares(marks: Sequence[Mark]) -> tuple[float, float]:
    """Right and wrong, per cent of the hops."""
    hops = sum(mark.hops for mark in marks)
    return 100.0 * sum(mark.right for mark in marks) / hops, 100.0 * sum(mark.wrong for mark in marks) / hops


def _best_peer(marks: Sequence[Mark], ours: str) -> str:
    """The peer with the fewest wrong hops, of several the one with the most right."""
    peers = [name for name in names_of(mark.listener for mark in marks) if name != ours]
    if not peers:
        return NONE
    said = {name: shares([mark for mark in marks if mark.listener == name]) for name in peers}
    best = min(peers, key=lambda name: (said[name][1], -said[name][0]))
    return f"{said[best][1]:.2f} ({best}, right {said[best][0]:.1f})"
