"""The level at the microphone: rises at once, falls slowly, remembers the peak, knows the room."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.pages.meter import HIGHEST_SECONDS, SILENT_DBFS, WAKES_DB, WAKES_DBFS, Level, Meter

levels = st.lists(
    st.tuples(st.floats(0.0, 2.0), st.floats(-120.0, 0.0), st.floats(0.0, 12.0)), min_size=1, max_size=60
)


def fed(*levels: tuple[float, float], peak: float = 6.0) -> Meter:
    """After levels as (t, dbfs), each with a peak so far above."""
    meter = Meter()
    for t, dbfs in levels:
        meter = meter.fed(Level(t, dbfs, dbfs + peak))
    return meter


def steady(dbfs: float, seconds: float, start: float = 0.0) -> list[tuple[float, float]]:
    return [(start + 0.05 * n, dbfs) for n in range(round(seconds / 0.05))]


def test_it_rises_at_once_and_falls_by_40_db_a_second() -> None:
    assert fed((0.0, -60.0), (0.05, -20.0)).dbfs == -20.0
    assert fed((0.0, -20.0), (0.25, -60.0)).dbfs == pytest.approx(-30.0)
    assert fed((0.0, -20.0), (0.25, -60.0), (2.0, -60.0)).dbfs == -60.0


def test_the_highest_peak_stays_two_seconds() -> None:
    loud = fed((0.0, -20.0), *steady(-60.0, HIGHEST_SECONDS, 0.05))
    assert (loud.peak_dbfs, loud.peak_at) == (-14.0, 0.0)
    later = fed((0.0, -20.0), *steady(-60.0, HIGHEST_SECONDS + 0.2, 0.05))
    assert later.peak_dbfs == -54.0
    assert fed((0.0, -20.0), (0.5, -10.0)).peak_dbfs == -4.0


def test_the_room_is_the_softest_that_was_and_a_louder_one_is_believed_after_a_while() -> None:
    assert fed((0.0, -70.0), (1.0, -20.0)).room_dbfs == -68.0
    assert fed(*steady(-70.0, 1.0), *steady(-40.0, 30.0, 1.0)).room_dbfs == pytest.approx(-40.0)
    assert fed((0.0, -40.0), (0.05, -75.0)).room_dbfs == -75.0


@pytest.mark.parametrize(
    ("room", "sound", "wakes"),
    [
        (-70.0, WAKES_DBFS, True),  # 20 dB above the room, and loud enough
        (-70.0, WAKES_DBFS - 0.1, False),
        (-85.0, WAKES_DBFS - 0.1, False),  # a whisper in a still room
        (-85.0, WAKES_DBFS, True),
        (-45.0, -45.0 + WAKES_DB, True),
        (-45.0, -45.0 + WAKES_DB - 0.1, False),  # the room itself is loud
    ],
)
def test_a_sound_wakes_when_it_stands_out(room: float, sound: float, wakes: bool) -> None:
    assert fed(*steady(room, 2.0)).wakes(Level(2.0, sound, sound)) is wakes


def test_the_first_level_of_all_wakes_nobody() -> None:
    """Nothing is known of the room yet."""
    assert not Meter().wakes(Level(0.0, -10.0, -4.0))


def test_a_steady_noise_stops_waking_once_it_is_the_room() -> None:
    meter = fed(*steady(-70.0, 1.0), *steady(-40.0, 30.0, 1.0))
    assert not meter.wakes(Level(31.0, -40.0, -34.0))
    assert meter.wakes(Level(31.0, -20.0, -14.0))


@given(levels)
def test_whatever_comes_it_stays_in_bounds(heard: list[tuple[float, float, float]]) -> None:
    meter, t = Meter(), 0.0
    for passed, dbfs, above in heard:
        t += passed
        level = Level(t, dbfs, min(0.0, dbfs + above))
        meter = meter.fed(level)
        assert SILENT_DBFS <= meter.room_dbfs <= meter.dbfs <= 0.0
        assert meter.dbfs >= level.dbfs
        assert meter.peak_dbfs >= min(0.0, max(SILENT_DBFS, level.peak_dbfs))
        assert meter.t == t
        assert t - meter.peak_at <= HIGHEST_SECONDS


def test_a_clock_that_begins_anew_does_no_harm() -> None:
    meter = fed((50.0, -20.0), (0.0, -60.0))
    assert (meter.t, meter.dbfs) == (0.0, -20.0)
    assert math.isfinite(meter.fed(Level(0.1, -60.0, -54.0)).dbfs)
