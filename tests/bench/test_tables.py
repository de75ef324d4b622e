"""The sums and the form of the tables."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bench.judge import Mark
from bench.note_tables import note_tables
from bench.onsets import Found
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
    called_cracked=False,
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
    assert table.head[3:] == ("ours", "peer")
    assert row[:3] == ("clean, soft and loud, bent", "99.8 / 0.05", met)
    assert row[4] == "90.00 / 10.00"


def test_reach_puts_us_first_and_leaves_out_rows_that_we_did_not_hear() -> None:
    (table,) = reach_table(
        [replace(MARK, listener="peer"), replace(MARK, listener="peer", row="pink 0 dB"), MARK], "ours"
    )
    assert table.head[3:] == ("ours", "peer")
    assert [row[0] for row in table.rows] == ["clean, soft and loud, bent"]


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
    slow, quick = replace(MARK, listener="slow", delay_s=0.05), replace(MARK, listener="quick", delay_s=0.01)
    (table,) = target_table([MARK, replace(MARK, delay_s=math.nan), slow, quick], [], [], "ours")
    cells = {row[0]: row[1:] for row in table.rows}
    assert cells["delay, clean: median, ms"] == ("at most 15", "20", "no", "10 (quick)")
    assert cells["delay, clean: 90th percentile, ms"] == ("at most 35", "inf", "no", "10 (quick)")
    assert cells["single notes called split, %"] == ("at most 1", "0", "yes", ".")
    assert "splits found, %" not in cells


def test_the_best_detector_of_onsets_stands_beside_us() -> None:
    ours, one, other = (
        Found(name, "clean", "checking", 60.0, (1.0, 2.0), said)
        for name, said in (("ours", (1.0, 2.0)), ("one", (1.0,)), ("other", (1.02, 2.0, 3.0)))
    )
    (table,) = target_table([], [ours, one, other], [], "ours")
    cells = {row[0]: row[2:] for row in table.rows}
    assert cells["attacks, clean, within 50 ms: F"] == ("1", "yes", "0.8 (other)")
    assert cells["attacks, clean, within 10 ms: F"] == ("1", "yes", "0.667 (one)")


def test_to_name_a_loud_undertone_is_no_false_split() -> None:
    under = replace(MARK, row="undertone -8 dB", called_split=1.0, exactly=1.0)
    weak = replace(MARK, row="undertone -25 dB", called_split=1.0)
    tables = {table.title: table for table in note_tables([MARK, under, weak], "ours")}
    assert tables["False splits"].rows == (("clean", "0.00"), ("undertone -25 dB", "100.00"))
    assert tables["Undertones named"].rows == (("undertone -8 dB", "100.0 / 100.0"),)


def test_cracks_are_counted_beside_the_notes_that_were_wrongly_called_cracked() -> None:
    cracked = replace(MARK, cracks=2, cracks_found=1, called_cracked=None)
    tables = {
        table.title: table for table in note_tables([MARK, cracked, replace(MARK, called_cracked=True)], "ours")
    }
    assert tables["Cracks"].rows == (("clean", "50.0 of 2 / 50.00 of 2"),)
