"""Which Ear is fed, and what outlives it."""

from __future__ import annotations

from dataclasses import replace

from airladder.app.ears import Ears
from airladder.hearing.events import Tone
from airladder.music.series import Against
from airladder.practice.ask import Task
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.judge import Outcome
from airladder.practice.state import Listening
from listening import series_of

LOW = Listening(series_of("alto", "Bb3"), Against.MEASURED)
OTHER = Listening(series_of("alto", "C4"), Against.MEASURED)
UNISON = Asked("compare", "F5", Task.USUAL, (1,), beside_fingering="Bb3", beside_partial=3, interval="unison")


def usual(asked: Asked, outcome: Outcome = Outcome.SPOKE) -> Attempt:
    tone = Tone(0.0, 2.0, 1, 417.0, 3.0, 1.0, None, 50.0, ((1, 2.0),), 0.0, -20.0)
    return Attempt(1, 2.0, 1, outcome, tone, asked)


def test_another_tube_has_an_ear_of_its_own_and_the_measured_fundamental_is_not_forgotten() -> None:
    ears = Ears(LOW)
    first = ears.ear
    first.measured_hz = 139.0
    ears.listen(OTHER)
    assert ears.ear is not first
    assert ears.ear.measured_hz is None
    ears.listen(LOW)
    assert ears.ear.measured_hz == 139.0


def test_singing_on_the_same_tube_keeps_the_ear() -> None:
    ears = Ears(LOW)
    first = ears.ear
    ears.listen(replace(LOW, sings=True))
    assert ears.ear is first
    ears.listen(replace(LOW, sings=True))
    assert ears.ear is first


def test_a_usual_fingering_is_what_its_overtone_is_measured_from() -> None:
    ears = Ears(LOW)
    ears.learn(usual(UNISON))
    assert ears.ear.usual_hz == {3: 417.0}
    ears.listen(OTHER)
    assert ears.ear.usual_hz == {}
    ears.listen(LOW)
    assert ears.ear.usual_hz == {3: 417.0}


def test_what_is_no_usual_fingering_of_the_same_pitch_teaches_nothing() -> None:
    ears = Ears(LOW)
    for attempt in (
        usual(UNISON, Outcome.OTHER),
        usual(replace(UNISON, interval="octave")),
        usual(replace(UNISON, task=Task.PLAY)),
        replace(usual(UNISON), asked=None),
    ):
        ears.learn(attempt)
    assert ears.ear.usual_hz == {}
