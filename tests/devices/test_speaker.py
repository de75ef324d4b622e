"""The stand-ins for a speaker do what they say, and where nothing sounds nothing fails."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from airladder.devices.clock import StillClock
from airladder.devices.speaker import Asked, RecordedSpeaker, SilentSpeaker, Speaker
from airladder.faults import SoundFault


@pytest.fixture
def clock() -> StillClock:
    return StillClock(datetime(2026, 1, 1, tzinfo=UTC))


def test_what_was_asked_is_kept_with_its_time(clock: StillClock) -> None:
    speaker = RecordedSpeaker(clock)
    speaker.open()
    speaker.sound(440.0, 2.0)
    clock.sleep(0.5)
    speaker.hush()
    clock.sleep(1.0)
    speaker.sound(660.0, 60.0)
    assert speaker.asked == [Asked(0.0, 440.0, 2.0), Asked(0.5), Asked(1.5, 660.0, 60.0)]


def test_closed_it_keeps_nothing(clock: StillClock) -> None:
    speaker = RecordedSpeaker(clock)
    speaker.sound(440.0, 2.0)
    speaker.open()
    speaker.close()
    speaker.hush()
    speaker.close()
    assert (speaker.asked, speaker.is_open) == ([], False)


def test_it_fails_to_open_as_often_as_it_is_told(clock: StillClock) -> None:
    speaker = RecordedSpeaker(clock, fails_to_open=2)
    for _ in range(2):
        with pytest.raises(SoundFault, match=r"^there is no sound output the recorded speaker: plug it in\.$"):
            speaker.open()
    speaker.open()
    assert speaker.is_open


def test_a_sound_that_fails_is_told_and_not_kept(clock: StillClock) -> None:
    told: list[str] = []
    speaker = RecordedSpeaker(clock, told.append, fails_to_sound=1)
    speaker.open()
    speaker.sound(440.0, 2.0)
    speaker.sound(550.0, 2.0)
    assert told == ["the recorded speaker has been unplugged: plug it in again."]
    assert speaker.asked == [Asked(0.0, 550.0, 2.0)]


def test_without_an_output_nothing_sounds_and_nothing_fails(capfd: pytest.CaptureFixture[str]) -> None:
    speaker: Speaker = SilentSpeaker()
    speaker.open()
    speaker.sound(440.0, 2.0)
    speaker.sound(float("nan"), -1.0)
    speaker.hush()
    speaker.close()
    assert capfd.readouterr() == ("", "")
