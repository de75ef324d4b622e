"""The figures of a sound, on sounds of which they are known."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.hearing.block import Samples
from airladder.selftest.sound import hum_dbfs, loud, quiet, stuck_bits
from jig import noise, rounded, sine


@pytest.mark.parametrize("dbfs", [-80.0, -60.0, -40.0])
def test_the_noise_is_its_rms_without_the_offset(dbfs: float) -> None:
    found = quiet(noise(3.0, dbfs) + np.float32(0.1))
    assert found.noise_dbfs == pytest.approx(dbfs, abs=0.1)
    assert found.offset == pytest.approx(0.1, abs=1e-4)
    assert not found.dead


@pytest.mark.parametrize("mains", [50, 60])
def test_hum_is_told_with_its_frequency_and_the_sum_of_its_multiples(mains: int) -> None:
    hum = sine(5.0, mains, -45.0) + sine(5.0, 3 * mains, -45.0)
    found = quiet(hum + noise(5.0, -80.0))
    assert found.hum_hz == mains
    assert found.hum_dbfs == pytest.approx(-42.0, abs=0.2)


@pytest.mark.parametrize("hz", [50.2, 49.8, 301.2, 298.8])
def test_hum_of_a_grid_that_wanders_is_hum_all_the_same(hz: float) -> None:
    assert hum_dbfs(sine(5.0, hz, -45.0), 50) == pytest.approx(-45.0, abs=0.3)


def test_white_noise_is_no_hum() -> None:
    assert quiet(noise(5.0, -50.0)).hum_dbfs < -65.0


def test_a_note_beside_the_multiples_is_no_hum() -> None:
    assert max(hum_dbfs(sine(5.0, 440.0, -20.0), hz) for hz in (50, 60)) < -70.0


@pytest.mark.parametrize("value", [0.0, 0.25, -1.0])
def test_a_line_that_says_one_thing_for_ever_is_dead(value: float) -> None:
    assert quiet(np.full(48_000, value, np.float32)).dead


def spoilt(samples: Samples, bit: int, level: int) -> Samples:
    """As it arrives over a data line on which a bit never moves."""
    steps = (samples.astype(np.float64) * 32768.0).astype(np.int64)
    steps = steps & ~(1 << bit) if level == 0 else steps | 1 << bit
    return (steps / 32768.0).astype(np.float32)


@pytest.mark.parametrize("level", [0, 1])
@pytest.mark.parametrize("bit", range(14))
def test_a_bit_that_never_moves_is_told(bit: int, level: int) -> None:
    assert stuck_bits(spoilt(sine(1.0, 441.7, -6.0), bit, level)) == (bit,)


def test_bits_that_quiet_sound_does_not_reach_are_not_blamed() -> None:
    assert stuck_bits(noise(2.0, -85.0)) == ()
    assert stuck_bits(np.zeros(0, np.float32)) == ()


@given(st.floats(-70.0, -6.0), st.floats(60.0, 5000.0))
def test_no_honest_sine_has_a_stuck_bit(dbfs: float, hz: float) -> None:
    assert stuck_bits(sine(0.1, hz, dbfs)) == ()


def test_the_peak_and_what_is_clipped_are_counted() -> None:
    assert loud(sine(1.0, 440.0, -23.0)).peak_dbfs == pytest.approx(-20.0, abs=0.1)
    assert loud(sine(1.0, 440.0, -23.0)).clipped == 0
    over = rounded(2.0 * np.sin(2.0 * np.pi * 440.0 * np.arange(48_000) / 48_000))
    assert loud(over).peak_dbfs == pytest.approx(0.0, abs=0.01)
    assert loud(over).clipped == pytest.approx(48_000 * 2 / 3, rel=0.01)  # beyond half of its height
