"""The recorded saxophones sound where and when they are said to: the ground under the tests of the Ear."""

from __future__ import annotations

import numpy as np
import pytest

import saxophones
from airladder.hearing.block import RATE
from airladder.music.horns import HORNS, Horn
from airladder.music.pitch import cents, note_hz
from saxophones import START_SECONDS, Played
from slowpitch import harmonic_pitch_hz, slow_pitch_hz


@pytest.mark.parametrize("horn", HORNS.values(), ids=str)
def test_a_note_begins_on_its_sample_and_ends_in_silence(horn: Horn) -> None:
    samples = saxophones.render(horn, horn.sounding(62))
    start = round(START_SECONDS * RATE)
    assert not samples[:start].any()
    assert samples[start : start + 100].any()
    assert np.abs(samples[-4800:]).max() < 1e-4
    assert 0.05 < np.abs(samples).max() < 0.9


@pytest.mark.parametrize("horn", HORNS.values(), ids=str)
def test_two_slow_methods_agree_on_the_pitch_of_what_was_recorded(horn: Horn) -> None:
    """Within 2 cents: half the spread that the players' own vibrato gives a median (common practice)."""
    for number in (horn.sounding(60), horn.sounding(72)):
        samples = saxophones.render(horn, number)
        praat = slow_pitch_hz(samples)
        assert cents(harmonic_pitch_hz(samples, praat), praat) == pytest.approx(0, abs=2.0)
        assert cents(praat, note_hz(number)) == pytest.approx(0, abs=25)


def test_a_bent_note_is_bent_by_what_was_asked() -> None:
    tenor = HORNS["tenor"]
    plain, bent = saxophones.render_many([Played(tenor, 56), Played(tenor, 56, bend_cents=-31.174)])
    assert cents(slow_pitch_hz(bent), slow_pitch_hz(plain)) == pytest.approx(-31.174, abs=0.5)


def test_notes_come_in_the_order_asked_for_whatever_was_kept_before() -> None:
    alto = HORNS["alto"]
    first, second, again = saxophones.render_many([Played(alto, 60), Played(alto, 67, 0.7), Played(alto, 60)])
    assert np.array_equal(first, again)
    assert len(second) < len(first)
    assert cents(slow_pitch_hz(second), note_hz(67)) == pytest.approx(0, abs=25)


def test_a_note_beyond_the_samples_is_refused() -> None:
    with pytest.raises(ValueError, match="The alto has no sample for 85"):
        saxophones.render(HORNS["alto"], 85)
