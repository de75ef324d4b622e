"""The tables of notes: splits, what lies between the partials, cracks."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bench.judge import SPLIT_SHARE, Mark
from bench.tables import Table, by_listener, each_row, percent, right_and_wrong, single


def note_tables(marks: Sequence[Mark], ours: str) -> list[Table]:
    """All that can be made of these marks; false splits and cracks are asked of `ours` alone."""
    mine = [mark for mark in marks if mark.listener == ours]
    made = [_splits(marks), _false_splits(mine), _between(marks), _cracks(mine)]
    return [table for table in made if table.rows]


def _splits(marks: Sequence[Mark]) -> Table:
    split = [mark for mark in marks if mark.split and mark.hops]

    def cell(some: list[Mark]) -> str:
        found = sum(mark.called_split >= SPLIT_SHARE for mark in some)
        exactly = sum(mark.exactly >= SPLIT_SHARE for mark in some)
        steady = float(np.mean([mark.steady_pitch for mark in some])) if some else 0.0
        whole = len(some)
        return f"{percent(found, whole, 1)} / {percent(exactly, whole, 1)} / {percent(steady, min(1, whole), 0)}"

    head, rows = by_listener(split, cell, each_row(split))
    note = "Per cent of the splits: found / with just their partials / share of the hops called one steady pitch."
    return Table("Splits", note, head, rows)


def _false_splits(marks: Sequence[Mark]) -> Table:
    judged = [mark for mark in single(marks) if mark.hops]

    def cell(some: list[Mark]) -> str:
        return percent(sum(mark.called_split >= SPLIT_SHARE for mark in some), len(some))

    head, rows = by_listener(judged, cell, each_row(judged))
    return Table("False splits", "Per cent of the single notes that are called split.", head, rows)


def _between(marks: Sequence[Mark]) -> Table:
    none = [mark for mark in marks if mark.partial is None and not mark.split and mark.hops]
    head, rows = by_listener(none, right_and_wrong, each_row(none))
    note = "On no partial: per cent of the hops that say null / that name one nevertheless."
    return Table("Between the partials", note, head, rows)


def _cracks(marks: Sequence[Mark]) -> Table:
    cracked = [mark for mark in marks if mark.cracks]

    def cell(some: list[Mark]) -> str:
        there, found = sum(mark.cracks for mark in some), sum(mark.cracks_found for mark in some)
        return f"{percent(found, there, 1)} of {there}"

    head, rows = by_listener(cracked, cell, each_row(cracked))
    return Table("Cracks", "Per cent of the cracks of 40 ms and more that stand in the path of a tone.", head, rows)
