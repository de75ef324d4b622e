"""Usual fingerings beside and below an overtone; ratios of the just consonances: Helmholtz/Ellis (1885)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.music.fingerings import fingering_named, fingerings_of
from airladder.music.horns import HORNS, Horn
from airladder.music.pitch import raised
from airladder.music.series import Series
from airladder.music.usual import HIGHEST_USUAL, Interval, difference_cents, usual

ALTO = HORNS["alto"]
LOW = Series(ALTO, fingering_named(ALTO, "Bb3"))


@pytest.mark.parametrize(
    ("partial", "interval", "name"),
    [
        (3, Interval.UNISON, "F5"),
        (6, Interval.UNISON, "F6"),
        (6, Interval.OCTAVE, "F5"),
        (6, Interval.FIFTH, "Bb5"),
        (6, Interval.TWELFTH, "Bb4"),
        (12, Interval.OCTAVE, "F6"),
        (12, Interval.TWELFTH, "Bb5"),
        (5, Interval.FIFTH, "G5"),
    ],
)
def test_notes_below_are_named_as_players_read_them(partial: int, interval: Interval, name: str) -> None:
    """Common practice: a fifth below F6 is B flat 5."""
    found = usual(LOW, partial, interval)
    assert found is not None
    assert str(found.fingering) == name


@pytest.mark.parametrize(
    ("partial", "interval"), [(8, Interval.UNISON), (12, Interval.FIFTH), (1, Interval.OCTAVE), (2, Interval.TWELFTH)]
)
def test_beyond_the_usual_range_there_is_none(partial: int, interval: Interval) -> None:
    """From low B flat to F sharp 6 (common practice)."""
    assert usual(LOW, partial, interval) is None


@pytest.mark.parametrize(
    ("interval", "ratio", "semitones"),
    [
        (Interval.UNISON, 1.0, 0),
        (Interval.FIFTH, 3 / 2, 7),
        (Interval.OCTAVE, 2.0, 12),
        (Interval.TWELFTH, 3.0, 19),
    ],
)
def test_the_consonances_are_the_just_ones(interval: Interval, ratio: float, semitones: int) -> None:
    """Helmholtz/Ellis: 2:3, 1:2, 1:3; nearest tempered 7, 12 and 19 semitones."""
    assert (interval.ratio, interval.semitones) == (ratio, semitones)


@given(st.floats(50, 2000), st.floats(-100, 100), st.sampled_from(Interval))
def test_the_difference_is_how_far_the_overtone_lies_above_the_consonance(
    hz: float, off: float, interval: Interval
) -> None:
    assert difference_cents(raised(hz * interval.ratio, off), hz, interval) == pytest.approx(off, abs=1e-6)


@pytest.mark.parametrize("horn", HORNS.values(), ids=lambda horn: horn.name)
def test_every_partial_that_is_asked_for_has_something_to_be_set_against(horn: Horn) -> None:
    for fingering in fingerings_of(horn).values():
        series = Series(horn, fingering)
        for partial in range(2, series.top_partial + 1):
            found = [usual(series, partial, interval) for interval in Interval]
            assert any(found), (str(fingering), partial)
            assert all(low is None or low.fingering.written.number <= HIGHEST_USUAL.number for low in found)


@pytest.mark.parametrize(
    ("fingering", "top", "name"),
    [("Bb3", 12, "F7"), ("C4", 10, "E7"), ("D4", 9, "E7"), ("Eb4", 9, "F7"), ("A4", 6, "E7")],
)
def test_no_tube_is_asked_for_more_than_written_f7(fingering: str, top: int, name: str) -> None:
    series = Series(ALTO, fingering_named(ALTO, fingering))
    assert (series.top_partial, str(series.written_name(series.top_partial))) == (top, name)
