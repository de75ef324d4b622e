"""README.txt explains every column, and says what the files really are."""

from __future__ import annotations

from airladder.export import midi
from airladder.export.columns import COLUMNS
from airladder.export.readme import WIDTH, readme


def test_every_column_is_explained_with_its_unit_and_its_place_in_json() -> None:
    lines = readme().splitlines()
    for column in COLUMNS:
        (place,) = (
            n for n, line in enumerate(lines) if line.startswith(f"  {column.name} ") or line == f"  {column.name}"
        )
        assert lines[place].endswith(f"JSON: {column.place}") == (column.place != column.name)
        assert (f"({column.unit})" in lines[place]) == bool(column.unit)
        assert " ".join(line.strip() for line in lines[place + 1 :]).startswith(column.means)


def test_a_unit_in_the_name_is_the_unit_of_the_column() -> None:
    """Names as `start_s`, `hz`, `push_db` say it themselves; the table must not say something else."""
    ends = {"s": "s", "hz": "Hz", "ms": "ms", "cents": "cents", "db": "dB", "dbfs": "dB re full scale"}
    for column in COLUMNS:
        end = column.name.rpartition("_")[2]
        assert column.unit == ends.get(end, column.unit), column.name


def test_it_is_plain_text_that_fits_every_window() -> None:
    text = readme()
    assert text.endswith("\n")
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= WIDTH


def test_it_says_of_midi_what_the_files_have() -> None:
    text = " ".join(readme().split())
    assert f"{midi.TICKS_PER_SECOND} ticks a quarter note" in text
    assert f"channels {midi.MEMBERS[0] + 1} to {midi.MEMBERS[-1] + 1}" in text
    assert f"bend range of {midi.BEND_SEMITONES} semitones" in text
    assert f"velocity {midi.LOUDEST_VELOCITY}" in text
