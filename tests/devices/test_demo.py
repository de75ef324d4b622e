"""The invented player behind the face of a microphone."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from airladder.devices.demo import ROOM_DBFS, DemoMicrophone
from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE, Block, Samples
from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Series

ALTO = Series(HORNS["alto"], fingering_named(HORNS["alto"], "Bb3"))


def opened(**words: Any) -> DemoMicrophone:
    microphone = DemoMicrophone(ALTO, **words)
    microphone.open()
    return microphone


def listen(microphone: DemoMicrophone, seconds: float) -> list[Block]:
    blocks = (microphone.read() for _ in range(round(seconds * RATE / HOP)))
    return [block for block in blocks if block is not None]


def joined(blocks: list[Block]) -> Samples:
    return np.concatenate([block.samples for block in blocks])


def sounding(blocks: list[Block]) -> list[float]:
    """The times at which a hop is 20 dB or more above the room."""
    return [b.time for b in blocks if 10 * np.log10(np.mean(b.samples**2)) > ROOM_DBFS + 20]


def test_nothing_is_played_until_something_is_wanted_and_the_room_is_never_quite_silent() -> None:
    heard = joined(listen(opened(), 4.5))
    assert 20 * np.log10(heard.std()) == pytest.approx(ROOM_DBFS, abs=0.5)


def test_a_note_follows_the_pause_and_the_next_one_follows_another() -> None:
    microphone = opened(pause_seconds=1.0)
    microphone.want(1, 0)
    times = sounding(listen(microphone, 6.0))
    gaps = np.flatnonzero(np.diff(times) > 0.5)
    assert times[0] == pytest.approx(1.0, abs=0.05)
    assert len(gaps) == 1
    assert times[gaps[0] + 1] - times[gaps[0]] == pytest.approx(1.0, abs=0.1)


def test_the_sound_ends_some_time_after_nothing_is_wanted_any_more() -> None:
    microphone = opened(pause_seconds=1.0, farewell_seconds=2.0)
    microphone.want(1, 0)
    listen(microphone, 1.5)
    microphone.want(None, 0)
    rest = listen(microphone, 10.0)
    assert rest[-1].time - sounding(rest)[-1] == pytest.approx(2.0, abs=0.15)
    assert microphone.read() is None


def test_a_player_who_waits_long_is_still_given_the_whole_farewell() -> None:
    microphone = opened(pause_seconds=9.0, farewell_seconds=1.0)
    microphone.want(1, 0)
    listen(microphone, 4.0)
    microphone.want(None, 0)
    assert len(listen(microphone, 4.0)) == pytest.approx(RATE / HOP, abs=1)


def test_the_same_wishes_between_the_same_blocks_give_the_same_samples_after_opening_again_too() -> None:
    def take(microphone: DemoMicrophone) -> Samples:
        microphone.want(2, 0)
        first = listen(microphone, 5.0)
        microphone.want(3, 0)
        return joined(first + listen(microphone, 7.0))  # into the pause after the second note

    microphone = opened()
    first = take(microphone)
    microphone.close()
    microphone.open()
    assert np.array_equal(take(microphone), first)
    assert np.array_equal(take(opened()), first)
    assert not np.array_equal(take(opened(seed=2)), first)


def test_blocks_are_counted_and_timed_without_gaps() -> None:
    microphone = opened()
    microphone.want(4, 0)
    blocks = listen(microphone, 6.0)
    assert [block.sequence for block in blocks] == list(range(len(blocks)))
    assert all(block.time == (block.sequence + 1) * HOP / RATE and not block.lost for block in blocks)
    assert {block.samples.dtype for block in blocks} == {np.dtype(np.float32)}
    assert {block.samples.shape for block in blocks} == {(HOP,)}


def test_a_read_before_opening_is_a_plain_sentence() -> None:
    with pytest.raises(SoundFault, match="before it was opened; open it first"):
        DemoMicrophone(ALTO).read()
