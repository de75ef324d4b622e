"""The sums and the form of the tables."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bench.judge import Mark
from bench.note_tables import note_tables
from bench.pitch_tables import pitch_tables
from bench.reach import reach_table
from bench.tables import Table, middle_and_tail, percent
from bench.targets import target_table

MARK = Mark(
    listener="ours",
    clip="one",
    row="clean",
    half="checking",
    horn="alto",
    hz=200.0,
    partial=2,
    split=(),
    vibrato=False,
    begins=True,
    right=999,
    wrong=1,
    null=0,
    cents=(0.1, 0.2, 0.3),
    delay_s=0.02,
    called_split=0.0,
    exactly=0.0,
    steady_pitch=1.0,
    cracks=0,
    cracks_found=0,
)


def test_a_note_that_is_never_right_counts_as_late_without_end() -> None:
    assert middle_and_tail([0.01, 0.02, math.nan], 0.9, 0, 1000.0) == "20 / never"
    assert middle_and_tail([], 0.9, 0) == "."


def test_a_share_of_nothing_is_a_dot() -> None:
    assert percent(0, 0) == "."
    assert percent(1, 8) == "12.50"


def test_a_table_is_markdown() -> None:
    text = Table("Title", "Note.", ("row", "ours"), (("clean", "1"),)).markdown()
    assert text == "## Title\n\nNote.\n\n| row | ours |\n| --- | --- |\n| clean | 1 |\n"


@pytest.mark.parametrize(("wrong", "met"), [(0, "yes"), (1, "no")])
def test_reach_is_met_when_right_and_wrong_are(wrong: int, met: str) -> None:
    """One hop in a thousand wrong is more than 0.05 per cent."""
    peer = replace(MARK, listener="peer", right=900, wrong=100)
    (table,) = reach_table([replace(MARK, wrong=wrong), peer], "ours")
    (row,) = table.rows
    assert row[0] == "clean, soft and loud, bent"
    assert row[5:] == (met, "10.00 (peer, right 90.0)")


def test_rows_and_listeners_stand_where_they_belong() -> None:
    marks = [MARK, replace(MARK, listener="peer", right=1, wrong=1), replace(MARK, row="pink 0 dB", wrong=999)]
    tables = {table.title: table for table in pitch_tables(marks, {}, {})}
    assert tables["Partials"].head == ("row", "ours", "peer")
    assert tables["Partials"].rows == (
        ("clean", "99.90 / 0.10", "50.00 / 50.00"),
        ("pink 0 dB", "50.00 / 50.00", "."),
    )
    assert tables["Cents"].rows[0] == ("clean, no vibrato", "0.20 / 0.30", "0.20 / 0.30")


def test_splits_are_counted_by_note() -> None:
    split = replace(MARK, row="split", partial=None, split=(2, 3), called_split=0.9, exactly=0.4, steady_pitch=0.1)
    tables = {table.title: table for table in note_tables([split, replace(split, called_split=0.4)], "ours")}
    assert tables["Splits"].rows == (("split", "50.0 / 0.0 / 10"),)


def test_a_target_without_clips_is_left_out_and_others_are_met_or_not() -> None:
    (table,) = target_table([MARK, replace(MARK, delay_s=math.nan)], [], [], "ours")
    cells = {row[0]: row[1:] for row in table.rows}
    assert cells["delay, clean: median, ms"] == ("at most 15", "20", "no")
    assert cells["delay, clean: 90th percentile, ms"] == ("at most 35", "inf", "no")
    assert cells["single notes called split, %"] == ("at most 1", "0", "yes")
    assert "splits found, %" not in cells
