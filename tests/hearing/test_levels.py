"""Levels and the fine envelope, on sounds made by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.hearing.block import HOP, RATE, Samples
from airladder.hearing.gate import rings_out
from airladder.hearing.levels import SILENCE_DBFS, STRETCH, STRETCH_SECONDS, Levels, smoothed, steps_of


def fed(samples: Samples) -> Levels:
    """Levels that took the whole hops of `samples`."""
    levels = Levels()
    for hop in samples[: len(samples) // HOP * HOP].reshape(-1, HOP):
        levels.feed(hop)
    return levels


def sine(hz: float, seconds: float = 1.0, peak: float = 1.0) -> Samples:
    """A sine."""
    return (peak * np.sin(2 * np.pi * hz * np.arange(round(seconds * RATE)) / RATE)).astype(np.float32)


def test_levels_are_rms_re_full_scale() -> None:
    assert fed(sine(1000.0)).level_dbfs == pytest.approx(20 * math.log10(1 / math.sqrt(2)), abs=0.05)


def test_breath_is_what_lies_above_4_khz() -> None:
    low, high = fed(sine(500.0)), fed(sine(12_000.0))
    assert low.hop_breath < 1e-3 * low.hop_power
    assert high.hop_breath == pytest.approx(high.hop_power, rel=0.02)


def test_the_envelope_is_kept_in_order_for_a_second_and_a_half() -> None:
    swell = np.linspace(0.0, 1.0, 3 * RATE, dtype=np.float32) * sine(3000.0, 3.0)
    envelope = np.sqrt(2.0 * fed(swell).power)
    assert len(envelope) * STRETCH_SECONDS == pytest.approx(1.5, abs=0.01)
    assert envelope[0] == pytest.approx(0.5, abs=0.02)
    assert envelope[-1] == pytest.approx(1.0, abs=0.02)
    assert np.all(np.diff(smoothed(envelope, 12)) > 0.0)


def test_the_room_is_learnt_while_nothing_sounds() -> None:
    levels = Levels()
    for hop in sine(300.0, 0.96, 0.01).reshape(-1, HOP):
        levels.feed(hop)
        levels.rest()
    assert levels.floor_dbfs == pytest.approx(-43.0, abs=0.5)


def test_a_room_that_was_too_loud_to_be_one_is_forgotten_in_a_tenth_of_a_second() -> None:
    levels = Levels()
    for hop in sine(300.0, 0.96, 0.5).reshape(-1, HOP):
        levels.feed(hop)
        levels.rest()
    assert levels.floor_dbfs > -10.0
    for hop in sine(300.0, 0.096, 0.05).reshape(-1, HOP):
        levels.feed(hop)
    assert levels.floor_dbfs == SILENCE_DBFS


@given(st.lists(st.floats(0, 1, width=32), min_size=12, max_size=40), st.integers(1, 12))
def test_smoothing_is_the_mean_of_neighbours(values: list[float], steps: int) -> None:
    power = np.array(values, np.float32)
    expected = [np.mean(power[i : i + steps], dtype=np.float64) for i in range(len(power) - steps + 1)]
    assert smoothed(power, steps).tolist() == pytest.approx(expected, abs=1e-6)


@given(st.floats(1 / 4000, 1 / 60))
def test_the_steps_of_a_period_hold_it_wholly(period: float) -> None:
    assert steps_of(period) * STRETCH_SECONDS >= period - 1e-12
    assert steps_of(period) * STRETCH / RATE < period + 0.004


@pytest.mark.parametrize(("db_a_second", "rings"), [(-600.0, True), (-150.0, True), (0.0, False), (600.0, False)])
def test_what_rings_out_is_told_from_what_stands_or_grows(db_a_second: float, rings: bool) -> None:
    """A tone of 300 Hz that falls or rises evenly, in dB a second: 1.5 dB in 16 ms are 94."""
    t = np.arange(20 * HOP) / RATE
    sound = (0.1 * 10 ** (db_a_second * (t - t[-1]) / 20) * np.sin(2 * np.pi * 300.0 * t)).astype(np.float32)
    assert rings_out(fed(sound)) == rings
