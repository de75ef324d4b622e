"""The level that is shown: of a sine known by arithmetic (its rms lies 3.01 dB below its peak)."""

from __future__ import annotations

import numpy as np
import pytest

from airladder.app.metering import BLOCKS, Metering
from airladder.hearing.block import HOP, RATE, Block, Samples
from airladder.pages.meter import SILENT_DBFS, Level


def levels(samples: Samples) -> list[Level]:
    metering = Metering()
    blocks = samples[: len(samples) // HOP * HOP].reshape(-1, HOP)
    fed = (metering.fed(Block(hop, n, (n + 1) * HOP / RATE)) for n, hop in enumerate(blocks))
    return [level for level in fed if level is not None]


@pytest.mark.parametrize("dbfs", [0.0, -20.0, -60.0])
def test_a_sine_has_its_peak_and_three_decibels_less(dbfs: float) -> None:
    sine = (10 ** (dbfs / 20) * np.sin(2 * np.pi * 750.0 / RATE * np.arange(RATE // 2))).astype(np.float32)
    found = levels(sine)
    assert len(found) == RATE // 2 // HOP // BLOCKS
    for level in found:
        assert level.peak_dbfs == pytest.approx(dbfs, abs=0.05)
        assert level.dbfs == pytest.approx(dbfs - 3.01, abs=0.05)


def test_times_are_those_of_the_newest_sample() -> None:
    assert [level.t for level in levels(np.zeros(2 * BLOCKS * HOP, np.float32))] == [
        BLOCKS * HOP / RATE,
        2 * BLOCKS * HOP / RATE,
    ]


def test_silence_is_as_low_as_the_scale_goes() -> None:
    assert {level.dbfs for level in levels(np.zeros(RATE, np.float32))} == {SILENT_DBFS}


def test_a_block_of_no_numbers_is_passed_over() -> None:
    samples = np.zeros((BLOCKS + 1) * HOP, np.float32)
    samples[HOP : 2 * HOP] = np.nan
    assert [level.dbfs for level in levels(samples)] == [SILENT_DBFS]
