"""Sung pitches: folded into one octave, and given to the partials that they stand for."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS
from airladder.music.pitch import cents, octave_folded_cents, raised
from airladder.music.series import HIGHEST_PARTIAL, SEMITONES, Series
from airladder.music.sung import WITHIN_CENTS, stands_for

frequencies = st.floats(20.0, 20_000.0)
tubes = st.sampled_from(
    [Series(horn, fingering) for horn in HORNS.values() for fingering in fingerings_of(horn).values()]
)


@given(frequencies, frequencies)
def test_folded_cents_lie_within_half_an_octave(hz: float, target: float) -> None:
    assert -600.0 <= octave_folded_cents(hz, target) < 600.0


@given(frequencies, frequencies)
def test_folding_leaves_out_whole_octaves_only(hz: float, target: float) -> None:
    octaves = (cents(hz, target) - octave_folded_cents(hz, target)) / 1200.0
    assert octaves == pytest.approx(round(octaves), abs=1e-9)


@given(frequencies, st.integers(-4, 4), st.floats(-599.0, 599.0))
def test_the_octave_in_which_it_is_sung_does_not_matter(target: float, octaves: int, off: float) -> None:
    assert octave_folded_cents(raised(target, 1200.0 * octaves + off), target) == pytest.approx(off, abs=1e-6)


@pytest.mark.parametrize("octaves", [-3, -1, 0, 2])
def test_half_an_octave_away_is_never_600_cents_above(octaves: int) -> None:
    folded = octave_folded_cents(2.0 ** (octaves + 0.5), 1.0)
    assert folded == pytest.approx(-600.0, abs=1e-9) or 599.9999 < folded < 600.0  # as the last digit has it


@given(tubes, st.integers(1, HIGHEST_PARTIAL), st.integers(-4, 0), st.floats(-49.9, 49.9))
def test_a_partial_sung_in_any_octave_stands_for_itself_and_its_octaves(
    tube: Series, partial: int, octaves: int, off: float
) -> None:
    found = dict(stands_for(tube, raised(tube.tempered_hz(partial), 1200.0 * octaves + off)))
    assert found[partial] == pytest.approx(off, abs=1e-6)
    same = {n for n in range(1, HIGHEST_PARTIAL + 1) if (SEMITONES[n - 1] - SEMITONES[partial - 1]) % 12 == 0}
    assert same <= set(found)


@given(tubes, frequencies)
def test_it_stands_for_one_pitch_class_at_most_unless_between_two(tube: Series, hz: float) -> None:
    found = stands_for(tube, hz)
    assert all(abs(off) <= WITHIN_CENTS for _, off in found)
    classes = {SEMITONES[n - 1] % 12 for n, off in found if abs(off) < WITHIN_CENTS - 1e-6}
    assert len(classes) <= 1


def test_the_third_partial_of_low_b_flat_sung_two_octaves_down() -> None:
    """Written F, the twelfth of B flat (Helmholtz/Ellis 1885): partials 3, 6 and 12."""
    alto = Series(HORNS["alto"], fingerings_of(HORNS["alto"])["Bb3"])
    assert [n for n, _ in stands_for(alto, alto.tempered_hz(3) / 4.0)] == [3, 6, 12]
