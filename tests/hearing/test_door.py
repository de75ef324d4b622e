"""What is no sound does not get in, and what was cut off is seen, whatever the samples are."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from airladder.hearing.block import HOP, RATE, Block, Samples
from airladder.hearing.door import LOUDEST, Door

any_samples = arrays.arrays(np.float32, HOP, elements=st.floats(width=32))
t = np.arange(4 * HOP) / RATE


def block(samples: Samples) -> Block:
    return Block(samples.astype(np.float32), 7, 1.5)


def clipped(samples: npt.NDArray[np.float64]) -> list[bool]:
    """What the door says of each hop."""
    door = Door()
    said = []
    for hop in samples.astype(np.float32).reshape(-1, HOP):
        door.feed(block(hop))
        said.append(door.clipped)
    return said


@given(any_samples)
def test_what_comes_through_is_finite_and_sane_and_the_rest_is_lost(samples: Samples) -> None:
    let_in = Door().feed(block(samples))
    assert np.abs(let_in.samples).max() <= LOUDEST
    sound = bool(np.isfinite(samples).all()) and bool(np.abs(samples).max() <= LOUDEST)
    assert let_in.lost is not sound
    if sound:
        np.testing.assert_array_equal(let_in.samples, samples)
    else:
        assert not let_in.samples.any()
    assert (let_in.sequence, let_in.time) == (7, 1.5)


@pytest.mark.parametrize("worst", [np.nan, np.inf, -np.inf, 1e30, -5.0])
@pytest.mark.parametrize("place", [0, 100, HOP - 1])
def test_one_bad_sample_loses_the_block(worst: float, place: int) -> None:
    samples = np.zeros(HOP, np.float32)
    samples[place] = worst
    assert Door().feed(block(samples)).lost


def test_a_block_that_was_lost_stays_lost() -> None:
    assert Door().feed(Block(np.zeros(HOP, np.float32), 0, 0.0, lost=True)).lost


@pytest.mark.parametrize("hz", [65.0, 138.6, 1000.0, 3000.0])
@pytest.mark.parametrize("bits", [16, 24])
def test_a_sine_that_is_driven_6_db_over_is_cut_off_and_one_within_is_not(hz: float, bits: int) -> None:
    full = 2.0 ** (bits - 1)
    within = np.round(0.97 * np.sin(2 * np.pi * hz * t) * full) / full
    over = np.clip(np.round(2.0 * np.sin(2 * np.pi * hz * t) * full), -full, full - 1) / full
    assert clipped(over)[1:] == [True] * 3
    assert clipped(within) == [False] * 4


def test_a_square_wave_below_full_scale_was_not_cut_off_here() -> None:
    assert clipped(0.9 * np.sign(np.sin(2 * np.pi * 440.0 * t))) == [False] * 4


def test_it_is_forgotten_after_21_ms() -> None:
    sounds = np.zeros(6 * HOP)
    sounds[:20] = 1.0
    assert clipped(sounds) == [True] * 4 + [False] * 2
