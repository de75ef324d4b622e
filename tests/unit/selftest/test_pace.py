"""The sample rate, from crystals and computers that are known to be wrong."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE
from airladder.selftest import rate
from airladder.selftest.pace import LIMIT_PPM, Pace, pace
from airladder.selftest.result import STOP_THE_SERVICE, Result, Verdict
from jig import Diary, JigMicrophone, noise

SOUND = noise(1.0, -60.0)
BUSY = (0.0, 0.0003, 0.0012, 0.0001, 0.004, 0.0002, 0.0)
"""How late an ordinary computer takes its blocks, s."""


def measured(*, quick: bool = True, on_board: bool = True, **microphone: object) -> Result:
    clock = Diary()
    return rate.check(
        JigMicrophone(SOUND, clock, **microphone),  # type: ignore[arg-type]
        clock,
        quick=quick,
        on_board=on_board,
    )


def test_half_a_cent_is_what_the_limit_says() -> None:
    assert pytest.approx((2.0 ** (1.0 / 2400.0) - 1.0) * 1e6, abs=0.5) == LIMIT_PPM
    assert Pace(577.8, 1.0, 60.0).cents == pytest.approx(1.0, abs=0.001)


@pytest.mark.parametrize("ppm", [-250.0, -40.0, 0.0, 25.0, 250.0])
def test_the_error_of_a_crystal_is_measured_through_the_lateness_of_a_computer(ppm: float) -> None:
    found = measured(fast_ppm=ppm, late_s=BUSY)
    assert found.verdict is Verdict.OK
    assert found.figures["off_ppm"] == pytest.approx(ppm, abs=10.0)
    assert found.figures["unsure_ppm"] < 30.0


@pytest.mark.parametrize(("quick", "seconds"), [(True, 10.0), (False, 60.0)])
def test_it_is_measured_for_as_long_as_is_said(quick: bool, seconds: float) -> None:
    assert measured(quick=quick).figures["measured_s"] == pytest.approx(seconds, abs=0.1)


@pytest.mark.parametrize("ppm", [-400.0, 400.0])
def test_more_than_half_a_cent_fails_and_says_how_much(ppm: float) -> None:
    found = measured(fast_ppm=ppm, late_s=BUSY)
    assert found.verdict is Verdict.FAILED
    assert f"{ppm:+.0f} ppm off, {1200 * np.log2(1 + ppm / 1e6):+.2f} cents" in found.says


@pytest.mark.parametrize(
    ("ratio", "named"),
    [
        (44_100 / 48_000, "44100 samples a second come, 48000 are wanted: those of 44.1 kHz"),
        (2.0, "96000 samples a second come, 48000 are wanted: twice as fast"),
        (0.5, "24000 samples a second come, 48000 are wanted: half as fast"),
        (24.0 / 24.576, "those of a crystal of 12 or 24 MHz where the overlay says 12.288"),
        (24.0 / 12.288, "those of a crystal of 24 MHz where the overlay says 12.288 MHz"),
        (12.288 / 24.0, "those of a crystal of 12.288 MHz where the overlay says 24 MHz"),
        (1.3, "1.300 times as fast as wanted, which no clock of ours explains"),
    ],
)
def test_a_wrong_crystal_is_named(ratio: float, named: str) -> None:
    found = measured(fast_ppm=(ratio - 1.0) * 1e6, late_s=BUSY)
    assert found.verdict is Verdict.FAILED
    assert named in found.says


def test_a_file_that_comes_as_fast_as_it_can_is_no_clock() -> None:
    assert "no clock of ours explains" in measured(fast_ppm=999e6).says


def test_a_computer_that_is_late_throughout_is_told_as_that() -> None:
    lots = np.random.default_rng(3).uniform(0.0, 0.03, 60)
    found = measured(late_s=[float(late) for late in np.repeat(lots, 160)])
    assert found.verdict is Verdict.FAILED
    assert found.says.startswith("The rate could not be measured closely")
    assert found.figures["unsure_ppm"] > LIMIT_PPM


def test_lost_sound_fails() -> None:
    found = measured(gaps={500, 700})
    assert (found.verdict, found.figures) == (Verdict.FAILED, {"lost": 2})


def test_a_microphone_that_ends_fails() -> None:
    assert "ended in the middle of the check" in measured(ends_at=1000).says


def test_a_microphone_that_the_service_has_is_told_with_what_to_do() -> None:
    found = measured(refuses="alsa:default is in use by another program: close that program.")
    assert found.verdict is Verdict.FAILED
    assert found.says.endswith(STOP_THE_SERVICE)


def test_an_ordinary_computer_may_be_without() -> None:
    found = measured(refuses="there is no microphone alsa:default: plug it in.", on_board=False)
    assert found.verdict is Verdict.NOT_THERE
    assert STOP_THE_SERVICE not in found.says


def test_the_microphone_is_closed_whatever_happens() -> None:
    clock = Diary()
    for trouble in ({"ends_at": 3}, {}):
        microphone = JigMicrophone(SOUND, clock, **trouble)  # type: ignore[arg-type]
        rate.check(microphone, clock, quick=True, on_board=True)
        assert not microphone.is_open
    with pytest.raises(SoundFault):
        JigMicrophone(SOUND, clock, refuses="there is none.").open()


def test_too_few_blocks_tell_nothing() -> None:
    assert pace([HOP * n for n in range(1, 20)], [0.01 * n for n in range(19)]) is None
    assert pace([HOP * n for n in range(1, 100)], [0.0] * 99) is None


@settings(max_examples=30)
@given(st.floats(-2000.0, 2000.0), st.integers(0, 10_000))
def test_whatever_the_lateness_the_pace_is_found_within_what_it_says(ppm: float, seed: int) -> None:
    frames = HOP * np.arange(1, 5626)
    true = frames / RATE / (1.0 + ppm / 1e6)
    times = true + np.random.default_rng(seed).exponential(0.001, len(true))
    found = pace([int(n) for n in frames], [float(t) for t in times])
    assert found is not None
    assert abs(found.ppm - ppm) < max(5.0, 6.0 * found.unsure_ppm)
