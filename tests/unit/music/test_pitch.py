"""Pitch against the published definitions."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.faults import BadInput
from airladder.music.pitch import A4_HZ, cents, checked_a4, note_hz, note_number, raised

frequencies = st.floats(20.0, 20_000.0)


def test_a4_is_440_hz() -> None:
    """ISO 16:1975."""
    assert A4_HZ == 440.0
    assert note_hz(69) == 440.0


@pytest.mark.parametrize(
    ("number", "hz"),
    # The frequency table of the MIDI Tuning Standard (MIDI Manufacturers Association, 1996), A4 = 440.
    [(60, 261.625565), (0, 8.175799), (69, 440.0), (127, 12543.853951), (36, 65.406391), (56, 207.652349)],
)
def test_notes_sound_as_in_the_midi_tuning_standard(number: int, hz: float) -> None:
    assert note_hz(number) == pytest.approx(hz, abs=1e-6)


@pytest.mark.parametrize(
    ("ratio", "interval"),
    # Ellis's table of intervals in cents, appendix to Helmholtz, On the Sensations of Tone (1885).
    [
        (2, 1200),
        (3 / 2, 701.955),
        (4 / 3, 498.045),
        (5 / 4, 386.314),
        (6 / 5, 315.641),
        (7 / 4, 968.826),
        (81 / 80, 21.506),
    ],
)
def test_intervals_have_the_cents_that_ellis_printed(ratio: float, interval: float) -> None:
    assert cents(440 * ratio, 440) == pytest.approx(interval, abs=5e-4)


@given(frequencies, st.floats(-2400, 2400))
def test_raising_and_measuring_are_inverse(hz: float, by: float) -> None:
    assert cents(raised(hz, by), hz) == pytest.approx(by, abs=1e-6)


@given(frequencies, st.floats(430, 450))
def test_note_numbers_and_frequencies_are_inverse(hz: float, a4: float) -> None:
    assert note_hz(note_number(hz, a4), a4) == pytest.approx(hz, rel=1e-12)


@pytest.mark.parametrize("hz", [430.0, 440.0, 450.0])
def test_bands_may_tune_between_430_and_450(hz: float) -> None:
    assert checked_a4(hz) == hz


@pytest.mark.parametrize("hz", [429.9, 450.1, 0.0, -440.0, float("nan"), float("inf")])
def test_other_tunings_are_refused_in_one_sentence(hz: float) -> None:
    with pytest.raises(BadInput, match=r"^A4 of \S+ Hz was asked for; wanted 430 to 450; the standard is 440\.$"):
        checked_a4(hz)
