"""The tables of notes: splits, undertones, what is no partial, cracks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

import numpy as np

from bench.judge import SPLIT_SHARE, UNDERTONES, Mark
from bench.tables import Table, by_listener, each_row, percent, right_and_wrong, single


def note_tables(marks: Sequence[Mark], ours: str) -> list[Table]:
    """All that can be made of these marks; false splits and cracks are asked of `ours` alone."""
    mine = [mark for mark in marks if mark.listener == ours]
    made = [_splits(marks), _false_splits(mine), _undertones(mine), _between(marks), _cracks(mine)]
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
    judged = [mark for mark in alone(marks) if mark.hops]

    def cell(some: list[Mark]) -> str:
        return percent(sum(mark.called_split >= SPLIT_SHARE for mark in some), len(some))

    head, rows = by_listener(judged, cell, each_row(judged))
    return Table(
        "False splits",
        "Per cent of the notes of one partial, with no loud undertone, that are called split.",
        head,
        rows,
    )


def _undertones(marks: Sequence[Mark]) -> Table:
    under = [mark for mark in single(marks) if mark.hops and re.fullmatch(UNDERTONES, mark.row)]

    def cell(some: list[Mark]) -> str:
        called = sum(mark.called_split >= SPLIT_SHARE for mark in some)
        exactly = sum(mark.exactly >= SPLIT_SHARE for mark in some)
        return f"{percent(called, len(some), 1)} / {percent(exactly, len(some), 1)}"

    head, rows = by_listener(under, cell, each_row(under))
    note = (
        "Per cent of the notes over an undertone that are called split / with just the fundamental and the partial."
    )
    return Table("Undertones named", note, head, rows)


def alone(marks: Iterable[Mark]) -> list[Mark]:
    """The marks of what sounds on one partial with nothing of the same horn under it."""
    return [mark for mark in single(marks) if not re.fullmatch(UNDERTONES, mark.row)]


def _between(marks: Sequence[Mark]) -> Table:
    none = [mark for mark in marks if mark.partial is None and not mark.split and mark.hops]
    head, rows = by_listener(none, right_and_wrong, each_row(none))
    note = "Between the partials, and where no note sounds: % of the hops that say null / that name a partial."
    return Table("No partial", note, head, rows)


def _cracks(marks: Sequence[Mark]) -> Table:
    asked = [mark for mark in marks if mark.cracks or mark.called_cracked is not None]

    def cell(some: list[Mark]) -> str:
        there, found = sum(mark.cracks for mark in some), sum(mark.cracks_found for mark in some)
        whole = [mark.called_cracked for mark in some if mark.called_cracked is not None]
        return f"{percent(found, there, 1)} of {there} / {percent(sum(whole), len(whole))} of {len(whole)}"

    head, rows = by_listener(asked, cell, each_row(asked))
    note = (
        "Per cent of the cracks of 40 ms and more that stand in the path of a tone / of the notes of one partial in "
        "whose path another one stands as long."
    )
    return Table("Cracks", note, head, rows)
