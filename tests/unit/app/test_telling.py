"""Lines of text about tones."""

from __future__ import annotations

from dataclasses import replace

from airladder.app.telling import heard, told
from airladder.hearing.events import Attack, Tone
from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Series
from airladder.music.usual import Interval, usual
from airladder.practice.ask import Ask, Beside, Task
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.judge import Outcome

ALTO = HORNS["alto"]
SERIES = Series(ALTO, fingering_named(ALTO, "Bb3"))
ATTACK = Attack(1.0, 1.05, "tongued", 20.0, 0.9)
TONE = Tone(1.0, 3.0, 3, 415.1, 2.2, 1.0, ATTACK, 50.0, ((3, 2.0),), 0.0, -3.0)


def test_a_tone_that_was_cut_off_is_said_to_be_too_loud() -> None:
    assert heard(SERIES, TONE) == "partial 3, F5: +2 cents, tongued, 0.05 s"
    assert heard(SERIES, replace(TONE, clipped=0.5)) == "partial 3, F5: +2 cents, tongued, 0.05 s, too loud"


def other(ask: Ask, tone: Tone) -> str:
    exercise = Exercise(Kind.SLURS, SERIES, (ask,))
    return told(exercise, Attempt(1, 3.0, ask.partials[-1], Outcome.OTHER, tone, Asked.of(exercise, ask)))


def test_a_slur_that_went_another_way_is_told_by_its_way() -> None:
    slur = Ask(Task.SLUR, SERIES, (2, 3))
    assert other(slur, replace(TONE, path=((3, 2.0),))).startswith("slur 2-3: only 3 stood")
    went = replace(TONE, partial=4, path=((2, 0.8), (4, 1.1)))
    assert other(slur, went).startswith("slur 2-3: it went 2-4")


def test_a_usual_fingering_that_sounded_its_octave_is_told_so() -> None:
    low = usual(SERIES, 3)
    assert low is not None
    ask = Ask(Task.USUAL, low, (1,), beside=Beside(SERIES, 3, Interval.UNISON))
    assert other(ask, replace(TONE, partial=2)).startswith("usual fingering F5: partial 2 of F5")
