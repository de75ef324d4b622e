"""One try as it is kept: what was asked, how long it was held, whether it began as asked, whether it was right."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.hearing.events import Kind as Began
from airladder.music.usual import Interval, usual
from airladder.practice.ask import Ask, Beside, Start, Task
from airladder.practice.attempt import HELD_SHARE, Asked, Attempt
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.judge import Outcome
from stories import SERIES, attack, tone


def attempt(ask: Ask, outcome: Outcome = Outcome.SPOKE, *stood: tuple[int | None, float]) -> Attempt:
    heard = replace(tone(1, 3, 3), path=stood or ((3, 2.0),))
    return Attempt(1, 3.0, 3, outcome, heard, Asked.of(Exercise(Kind.LONG, SERIES, (ask,)), ask))


PLAY = Ask(Task.PLAY, SERIES, (3,))


def test_what_was_asked_is_kept_in_words() -> None:
    asked = attempt(replace(PLAY, start=Start.AIR, hold=8.0, swell=True, cold=True)).asked
    assert asked == Asked("long tone", "Bb3", Task.PLAY, (3,), Start.AIR, 8.0, True, True)


def test_of_a_usual_fingering_its_own_tube_and_the_overtone_are_kept() -> None:
    """Written F5 is the usual fingering of partial 3 on low B flat (trade table); its octave below is F4."""
    low = usual(SERIES, 3, Interval.OCTAVE)
    assert low is not None
    ask = Ask(Task.USUAL, low, (1,), beside=Beside(SERIES, 3, Interval.OCTAVE))
    asked = attempt(ask).asked
    assert asked is not None
    assert (asked.task, asked.fingering, asked.partials) == (Task.USUAL, "F4", (1,))
    assert (asked.beside_fingering, asked.beside_partial, asked.interval) == ("Bb3", 3, Interval.OCTAVE.value)


@pytest.mark.parametrize(
    ("stood", "held"),
    [
        (((3, 2.0),), 2.0),
        (((3, 1.0), (3, 2.0)), 3.0),
        (((3, 5.0), (2, 1.0), (3, 2.0)), 2.0),
        (((3, 5.0), (None, 0.2)), 5.0),
        (((2, 5.0),), 0.0),
    ],
)
def test_held_is_the_last_stretch_of_what_stood_in_the_end(
    stood: tuple[tuple[int | None, float], ...], held: float
) -> None:
    assert attempt(PLAY, Outcome.SPOKE, *stood).held == held


def test_without_a_tone_nothing_was_held_and_nothing_else_sounded() -> None:
    silent = replace(attempt(PLAY, Outcome.NOTHING), tone=None)
    assert (silent.held, silent.others, silent.begun_as_asked, silent.right) == (0.0, (), None, False)
    assert replace(silent, tone=tone(1, 3, None)).held == 0.0


@pytest.mark.parametrize(
    ("start", "kind", "as_asked"),
    [
        (Start.AIR, "air", True),
        (Start.AIR, "tongued", False),
        (Start.TONGUED, "air", False),
        (Start.TONGUED, "tongued", True),
        (Start.AIR, "unsure", None),
        (Start.ANY, "tongued", None),
        (Start.AIR, None, None),
    ],
)
def test_the_start_is_as_asked_not_as_asked_or_not_to_be_told(
    start: Start, kind: Began | None, as_asked: bool | None
) -> None:
    begun = attempt(replace(PLAY, start=start))
    assert begun.tone is not None
    begun = replace(begun, tone=replace(begun.tone, attack=attack(1.0, kind) if kind else None))
    assert begun.begun_as_asked is as_asked
    assert begun.right is (as_asked is not False)


@pytest.mark.parametrize("outcome", list(Outcome))
def test_right_is_what_reached_it(outcome: Outcome) -> None:
    assert attempt(PLAY, outcome).right is (outcome in (Outcome.SPOKE, Outcome.CRACKED))


@pytest.mark.parametrize(("share", "right"), [(HELD_SHARE, True), (HELD_SHARE - 0.01, False)])
def test_nobody_counts_seconds_on_the_horn(share: float, right: bool) -> None:
    assert attempt(replace(PLAY, hold=10.0), Outcome.SPOKE, (3, share * 10.0)).right is right


def test_others_are_those_that_were_not_asked_for() -> None:
    assert attempt(PLAY, Outcome.CRACKED, (2, 0.1), (3, 1.0), (2, 0.1), (4, 0.1), (3, 1.0)).others == (2, 4)
    assert attempt(Ask(Task.SLUR, SERIES, (2, 3)), Outcome.SPOKE, (2, 1.0), (3, 1.0)).others == ()
    assert replace(attempt(PLAY, Outcome.CRACKED, (2, 0.1), (3, 1.0)), asked=None).others == (2,)
