"""The invented player behind the face of a microphone."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from airladder.devices.demo import ROOM_DBFS, DemoMicrophone
from airladder.faults import BadInput, SoundFault
from airladder.hearing.block import HOP, RATE, Block, Samples
from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Series
from airladder.virtualhorn.player import Wanted
from airladder.virtualhorn.playing import TAIL_SECONDS

ALTO = Series(HORNS["alto"], fingering_named(HORNS["alto"], "Bb3"))


def wish(partial: int, tries: int = 0) -> Wanted:
    return Wanted(ALTO, (partial,), tries=tries)


def opened(**words: Any) -> DemoMicrophone:
    microphone = DemoMicrophone(**words)
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
    microphone.want(wish(1, 0))
    times = sounding(listen(microphone, 6.0))
    gaps = np.flatnonzero(np.diff(times) > 0.5)
    assert times[0] == pytest.approx(1.0, abs=0.1)
    assert len(gaps) == 1
    assert times[gaps[0] + 1] - times[gaps[0]] == pytest.approx(1.0 + TAIL_SECONDS, abs=0.15)


def test_the_sound_ends_some_time_after_all_is_over() -> None:
    microphone = opened(pause_seconds=1.0, farewell_seconds=2.0)
    microphone.want(wish(1, 0))
    listen(microphone, 1.5)
    microphone.want(None, over=True)
    rest = listen(microphone, 10.0)
    assert rest[-1].time - sounding(rest)[-1] == pytest.approx(2.0 + TAIL_SECONDS, abs=0.15)
    assert microphone.read() is None


def test_a_player_who_waits_long_is_still_given_the_whole_farewell() -> None:
    microphone = opened(pause_seconds=9.0, farewell_seconds=1.0)
    microphone.want(wish(1, 0))
    listen(microphone, 4.0)
    microphone.want(None, over=True)
    assert len(listen(microphone, 4.0)) == pytest.approx(RATE / HOP, abs=1)


def test_the_same_wishes_between_the_same_blocks_give_the_same_samples_after_opening_again_too() -> None:
    def take(microphone: DemoMicrophone) -> Samples:
        microphone.want(wish(2, 0))
        first = listen(microphone, 5.0)
        microphone.want(wish(3, 0))
        return joined(first + listen(microphone, 7.0))  # into the pause after the second note

    microphone = opened()
    first = take(microphone)
    microphone.close()
    microphone.open()
    assert np.array_equal(take(microphone), first)
    assert np.array_equal(take(opened()), first)
    assert not np.array_equal(take(opened(seed=2)), first)


def test_who_changes_the_wish_in_the_pause_gets_what_is_wanted_then_and_only_that() -> None:
    """Partial 3 at the second try, which is no slip, after 1 was half made: as if 3 had been wanted all the time."""
    changed, steady = opened(pause_seconds=1.0), opened(pause_seconds=1.0)
    changed.want(wish(1, 0))
    steady.want(wish(3, 1))
    before = sounding(listen(changed, 0.9))
    changed.want(wish(3, 1))
    late, early = sounding(listen(changed, 3.5)), sounding(listen(steady, 3.5))
    assert before == []
    assert early[0] == pytest.approx(1.0, abs=0.1)
    assert early[0] + 0.5 < late[0] < early[0] + 0.8  # it was begun anew, and takes its time
    assert late[-1] - late[0] == pytest.approx(early[-1] - early[0], abs=0.02)


def test_a_wish_that_changes_to_and_fro_while_a_note_is_made_gives_the_same_samples_again() -> None:
    def take(microphone: DemoMicrophone) -> Samples:
        blocks = []
        for wanted, seconds in ((1, 0.5), (4, 0.3), (1, 0.1), (4, 3.0)):
            microphone.want(wish(wanted, 0))
            blocks += listen(microphone, seconds)
        return joined(blocks)

    assert np.array_equal(take(opened(pause_seconds=1.0)), take(opened(pause_seconds=1.0)))


def test_a_player_to_whom_nobody_listens_gives_up_after_three_notes() -> None:
    microphone = opened(pause_seconds=0.9, farewell_seconds=1.0)
    microphone.want(wish(2, 1))
    heard = listen(microphone, 20.0)
    assert len(np.flatnonzero(np.diff(sounding(heard)) > 0.5)) == 2
    assert microphone.read() is None


def test_no_block_takes_long_for_the_note_is_made_a_little_with_each() -> None:
    """Not by the clock, which says little on a busy computer: no read makes more than 16 ms of sound."""
    microphone = opened(pause_seconds=1.0)
    microphone.want(wish(1, 0))
    blocks = listen(microphone, 0.95)
    microphone.want(wish(2, 1))
    first = sounding(blocks + listen(microphone, 2.0))[0]
    assert first > 0.95 + 1.8 / 0.016 * HOP / RATE  # 1.5 s at least, and what is before and after


def test_a_partial_that_nobody_can_play_is_refused() -> None:
    microphone = opened(pause_seconds=0.0)
    microphone.want(wish(9, 0))
    with pytest.raises(BadInput, match="asked for partial 9; ask for 1 to 8"):
        microphone.read()


def test_blocks_are_counted_and_timed_without_gaps() -> None:
    microphone = opened()
    microphone.want(wish(4, 0))
    blocks = listen(microphone, 6.0)
    assert [block.sequence for block in blocks] == list(range(len(blocks)))
    assert all(block.time == (block.sequence + 1) * HOP / RATE and not block.lost for block in blocks)
    assert {block.samples.dtype for block in blocks} == {np.dtype(np.float32)}
    assert {block.samples.shape for block in blocks} == {(HOP,)}


def test_a_read_before_opening_is_a_plain_sentence() -> None:
    with pytest.raises(SoundFault, match="before it was opened; open it first"):
        DemoMicrophone().read()


def test_while_nothing_is_wanted_but_all_is_not_over_the_room_goes_on() -> None:
    """A rest or a song may be longer than any farewell."""
    microphone = opened(pause_seconds=0.9, farewell_seconds=1.0)
    microphone.want(None)
    assert sounding(listen(microphone, 10.0)) == []
    assert microphone.read() is not None
