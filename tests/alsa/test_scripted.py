"""The microphone for tests does what its script says."""

from __future__ import annotations

import numpy as np
import pytest

from airladder.devices.microphone import Microphone
from airladder.devices.scripted import ScriptedMicrophone
from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE, Block

RAMP = (np.arange(8 * HOP) / RATE).astype(np.float32)


def all_of(microphone: Microphone) -> list[Block]:
    return list(iter(microphone.read, None))


def test_it_plays_its_samples_and_fills_the_last_block_with_silence() -> None:
    microphone = ScriptedMicrophone(RAMP[: 2 * HOP + 10])
    microphone.open()
    blocks = all_of(microphone)
    played = np.concatenate([block.samples for block in blocks])
    assert np.array_equal(played[: 2 * HOP + 10], RAMP[: 2 * HOP + 10])
    assert not played[2 * HOP + 10 :].any()
    assert [(block.sequence, block.time, block.lost) for block in blocks] == [
        (0, HOP / RATE, False),
        (1, 2 * HOP / RATE, False),
        (2, 3 * HOP / RATE, False),
    ]


def test_a_gap_loses_its_frames_and_marks_the_block_after_it() -> None:
    microphone = ScriptedMicrophone(RAMP, gaps={2 * HOP + 6: HOP})
    microphone.open()
    blocks = all_of(microphone)
    assert [block.lost for block in blocks] == [False, False, True, *[False] * (len(blocks) - 3)]
    assert blocks[2].samples[0] * RATE == pytest.approx(3 * HOP + 6)
    assert blocks[2].time == pytest.approx((4 * HOP + 6) / RATE)


def test_it_goes_away_once_and_plays_on_when_opened_again() -> None:
    microphone = ScriptedMicrophone(RAMP, goes_away_at=3 * HOP / RATE)
    microphone.open()
    assert [microphone.read() is not None for _ in range(3)] == [True] * 3
    with pytest.raises(SoundFault, match=r"^the scripted microphone has been unplugged: plug it in again\.$"):
        microphone.read()
    microphone.close()
    assert microphone.read() is None
    microphone.open()
    blocks = all_of(microphone)
    assert (blocks[0].sequence, len(blocks)) == (0, 5)
    assert blocks[0].samples[0] * RATE == pytest.approx(3 * HOP)


def test_it_goes_away_even_in_the_middle_of_a_gap() -> None:
    microphone = ScriptedMicrophone(RAMP, gaps={HOP: 3 * HOP}, goes_away_at=2 * HOP / RATE)
    microphone.open()
    microphone.read()
    with pytest.raises(SoundFault, match="unplugged"):
        microphone.read()


def test_it_fails_to_open_as_often_as_it_is_told() -> None:
    microphone = ScriptedMicrophone(RAMP, name="alsa:desk", fails_to_open=2)
    for _ in range(2):
        with pytest.raises(SoundFault, match=r"^there is no microphone alsa:desk: plug it in\.$"):
            microphone.open()
    microphone.open()
    assert (microphone.opened, microphone.is_open, microphone.live) == (3, True, True)
