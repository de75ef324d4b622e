"""The listeners themselves: what they say belongs to the hop for which they say it.

Those that only the extra `bench` brings are looked at by check_heavy_peers.py, before each run of the benchmark.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airladder.hearing.block import HOP
from bench.delays import own_delay
from bench.ladder import REST, stage_seconds
from bench.listeners import Listener, Ours, blocks_of
from bench.peers import LIGHT
from bench.swaying_note import ALTO_OCTAVE, hears_the_swaying_note

THERE: list[Listener] = [Ours(), *LIGHT]
LIVE = [listener for listener in THERE if listener.look_ahead_s == 0.0]


@pytest.mark.parametrize("listener", LIVE, ids=lambda listener: listener.name)
def test_who_runs_live_does_not_know_the_future(listener: Listener) -> None:
    shorter = replace(ALTO_OCTAVE, name="shorter", samples=ALTO_OCTAVE.samples[: 150 * HOP])
    whole, part = listener.listen(ALTO_OCTAVE), listener.listen(shorter)
    np.testing.assert_array_equal(whole.hz[:150], part.hz)
    np.testing.assert_array_equal(whole.partial[:150], part.partial)


@pytest.mark.parametrize("listener", THERE, ids=lambda listener: listener.name)
def test_everyone_hears_an_easy_note_that_sways(listener: Listener) -> None:
    assert hears_the_swaying_note(listener)


def test_whose_frames_are_centred_has_no_own_delay_and_whose_are_not_has() -> None:
    delays = {peer.name: float(np.median(own_delay(peer).seconds)) for peer in THERE}
    assert delays["praat ac"] == pytest.approx(0.0, abs=0.002)
    assert 0.010 < delays["aubio yin 2048"] < 2048 / 48_000
    assert 0.0 < delays[Ours().name] < 0.060


def test_the_ladder_shares_out_the_time_of_the_ear_to_its_stages() -> None:
    stages, hops = stage_seconds([(ALTO_OCTAVE.series, blocks_of(ALTO_OCTAVE.samples))])
    assert hops == len(ALTO_OCTAVE.samples) // HOP
    assert REST in stages
    assert len(stages) > 3
    assert all(seconds > 0.0 for seconds in stages.values())
