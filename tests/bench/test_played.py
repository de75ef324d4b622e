"""The clips of the physical player: their truth is measured, and the same each time."""

from __future__ import annotations

import numpy as np
import pytest

from airladder.hearing.block import HOP
from bench.clip import Clip
from bench.played import ROWS, played_clips

SHARE = 0.04


def some(row: str) -> list[Clip]:
    return list(played_clips(row, "tuning", SHARE))


@pytest.mark.parametrize("row", ROWS)
def test_each_row_has_clips_whose_truth_lies_within_them(row: str) -> None:
    clips = some(row)
    assert clips
    for clip in clips:
        times = [time for sounding in clip.soundings for time in (sounding.start, sounding.end)]
        assert times == sorted(times)
        assert times[-1] <= len(clip.samples) / 48_000
        assert len(clip.hz) == len(clip.samples) // HOP
        assert clip.row == row
        assert np.abs(clip.samples).max() < 1.0


def test_halves_share_no_clip() -> None:
    names = [{clip.name for clip in played_clips("physical short", half, 0.1)} for half in ("tuning", "checking")]
    assert not names[0] & names[1]


def test_a_drop_ends_on_the_fundamental_and_a_split_has_two_partials() -> None:
    assert all(clip.soundings[-1].partial == 1 for clip in some("physical drop"))
    assert all(len(sounding.split) == 2 for clip in some("physical split") for sounding in clip.soundings)


def test_the_pitch_of_a_clean_note_is_known_and_lies_near_its_place() -> None:
    for clip in some("physical clean"):
        known = clip.hz[np.isfinite(clip.hz)]
        partial = clip.soundings[-1].partial
        assert partial is not None
        assert np.median(known) == pytest.approx(clip.series.place_hz(partial), rel=0.05)
        assert np.ptp(1200.0 * np.log2(np.percentile(known, [10.0, 90.0]))) < 3.0
