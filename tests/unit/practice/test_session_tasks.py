"""The session with starts, long tones, swells, rests, free playing, the silent moment."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from airladder.hearing.events import Reading
from airladder.music.series import Against
from airladder.practice.ask import Ask, Start, Task
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.session import Event, Tick
from airladder.practice.state import Phase
from stories import OK, SERIES, at, attack, note, one, outcomes, reading, told, tone


@pytest.mark.parametrize(("kind", "right", "wanted"), [("air", True, 5), ("unsure", True, 5), ("tongued", False, 3)])
def test_a_note_begun_the_other_way_is_asked_for_again(kind: str, right: bool, wanted: int) -> None:
    asks = tuple(Ask(Task.PLAY, SERIES, (partial,), start=Start.AIR) for partial in (3, 5))
    begun = replace(tone(1, 3, 3), attack=attack(1.0, kind))  # type: ignore[arg-type]  # one of the three kinds
    state, _ = told([begun, Tick(6)], at(Exercise(Kind.STARTS, SERIES, asks)))
    assert state.last is not None
    assert (state.last.right, state.wanted) == (right, wanted)
    assert state.last.begun_as_asked is (None if kind == "unsure" else right)


@pytest.mark.parametrize(("seconds", "right"), [(7.3, True), (5.0, False)])
def test_a_long_tone_is_right_when_it_was_held(seconds: float, right: bool) -> None:
    state, _ = told(note(1, 1 + seconds, 3), one(Ask(Task.PLAY, SERIES, (3,), hold=8.0)))
    assert state.last is not None
    assert state.last.held == pytest.approx(seconds)
    assert state.last.right is right


def test_a_swell_is_measured_by_the_levels_of_the_note() -> None:
    levels = [-30.0 + (10 if 1.0 <= 0.1 * n < 2.0 else 0) for n in range(30)]
    readings = [Reading(1 + 0.1 * n, 415.0, 3, 0.0, level, 0.99) for n, level in enumerate(levels)]
    state, _ = told([*readings, tone(1, 4, 3)], one(Ask(Task.PLAY, SERIES, (3,), hold=3.0, swell=True)))
    assert state.last is not None
    assert state.last.swell_db == pytest.approx(10.0)


def test_the_levels_of_a_note_are_kept_ten_a_second_and_those_of_the_note_before_are_not() -> None:
    heard: list[Event] = [reading(1 + 0.005 * n, 3) for n in range(401)]
    state, _ = told(heard, one(Ask(Task.PLAY, SERIES, (3,), swell=True)))
    assert 18 <= len(state.levels) <= 21
    assert all(later - earlier >= 0.0999 for (earlier, _), (later, _) in pairwise(state.levels))
    state, _ = told([tone(1, 3, 3), Tick(6), reading(7.0, 3)], state)
    assert len(state.levels) <= 1


def test_a_rest_judges_nothing_and_ends_by_time_or_by_a_press() -> None:
    rest, after = (
        Exercise(Kind.REST, SERIES, (Ask(Task.REST, SERIES, hold=30.0),)),
        built(Wish(Kind.LONG, SERIES, (2,))),
    )
    state, effects = told(note(1, 3, 2), at(rest, after))
    assert (state.phase, effects) == (Phase.REST, [])
    assert state.left == pytest.approx(27.0)
    assert told([Tick(30.0)], state)[0].wanted == 2
    assert told([OK], state)[0].wanted == 2


def test_free_playing_names_and_keeps_nothing_and_ends_by_itself() -> None:
    state, effects = told(note(1, 3, 4), at(built(Wish(Kind.FREE, SERIES, hold=60.0))))
    assert (state.phase, effects) == (Phase.FREE, [])
    assert told([Tick(60.0)], state)[0].phase is Phase.DONE


def test_the_silent_moment_comes_before_every_try_and_nobody_is_held_by_it() -> None:
    state = one(Ask(Task.PLAY, SERIES, (3,), hush=3.0))
    assert state.hushed
    assert not told([Tick(3.0)], state)[0].hushed
    state, _ = told([*note(1, 3, 2), Tick(6)], state)
    assert state.hushed
    assert outcomes(told(note(6.5, 8, 3), state)[0]) == [(3, "other"), (3, "spoke")]


def test_cents_from_are_those_of_the_exercise() -> None:
    state = at(Exercise(Kind.RISING, SERIES, (Ask(Task.PLAY, SERIES, (3,)),), Against.PURE))
    assert state.listening.against is Against.PURE
