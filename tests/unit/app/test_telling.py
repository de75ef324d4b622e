"""Lines of text about tones."""

from __future__ import annotations

from dataclasses import replace

from airladder.app.telling import heard
from airladder.hearing.events import Attack, Tone
from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Series

ALTO = HORNS["alto"]
SERIES = Series(ALTO, fingering_named(ALTO, "Bb3"))
ATTACK = Attack(1.0, 1.05, "tongued", 20.0, 0.9)
TONE = Tone(1.0, 3.0, 3, 415.1, 2.2, 1.0, ATTACK, 50.0, ((3, 2.0),), 0.0, -3.0)


def test_a_tone_that_was_cut_off_is_said_to_be_too_loud() -> None:
    assert heard(SERIES, TONE) == "partial 3, F5: +2 cents, tongued, 0.05 s"
    assert heard(SERIES, replace(TONE, clipped=0.5)) == "partial 3, F5: +2 cents, tongued, 0.05 s, too loud"
