"""The session with each kind of task: slurs, usual fingerings, singing, starts, long tones, rests, free playing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.hearing.events import Reading
from airladder.music.pitch import raised
from airladder.music.series import Against
from airladder.music.usual import Interval, usual
from airladder.practice.ask import Ask, Start, Task
from airladder.practice.attempt import Guess
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.judge import Outcome
from airladder.practice.presses import Button, Press
from airladder.practice.routine import Routine
from airladder.practice.session import (
    GUESS_SECONDS,
    JOIN_SECONDS,
    RESULT_SECONDS,
    SING_SECONDS,
    Close,
    Event,
    Gap,
    Tick,
    begin,
)
from airladder.practice.state import Phase, State
from stories import SERIES, attack, note, outcomes, reading, sung, told, tone

UP = Press(Button.UP, False, 0.0)
OK = Press(Button.OK, False, 0.0)
DOWN = Press(Button.DOWN, False, 0.0)
BACK = Press(Button.BACK, False, 0.0)
LEAVE = Press(Button.BACK, True, 0.0)
FOOT = Press(Button.FOOT, False, 0.0)


def at(*exercises: Exercise) -> State:
    return begin(Routine("story", exercises))


def one(ask: Ask) -> State:
    return at(Exercise(Kind.RISING, SERIES, (ask,)))


SLUR = Ask(Task.SLUR, SERIES, (2, 3), tries=2)


def slurred(start: float, end: float, *stood: tuple[int, float]) -> list[Event]:
    last = replace(tone(start, end, stood[-1][0]), path=stood)
    return [reading(start + 0.05, stood[0][0]), reading(end, stood[-1][0]), last, Tick(end)]


def test_a_slur_in_one_breath_spoke() -> None:
    state, effects = told(slurred(1, 3, (2, 1.0), (3, 1.0)), one(SLUR))
    assert (outcomes(state), len(effects)) == ([(3, "spoke")], 1)


def test_a_slur_by_way_of_another_partial_cracked_and_a_passing_one_does_not_count() -> None:
    cracked, _ = told(slurred(1, 3, (2, 1.0), (1, 0.2), (3, 1.0)), one(SLUR))
    assert outcomes(cracked) == [(3, "cracked")]
    spoke, _ = told(slurred(1, 3, (2, 1.0), (1, 0.04), (3, 1.0)), one(SLUR))
    assert outcomes(spoke) == [(3, "spoke")]


def test_a_slur_whose_second_note_was_begun_anew_is_restarted_and_is_one_try() -> None:
    first = slurred(1, 2, (2, 1.0))
    state, effects = told(first, one(SLUR))
    assert (state.phase, effects) == (Phase.SOUNDING, [])
    state, effects = told(slurred(2.1, 3, (3, 0.9)), state)
    assert (outcomes(state), len(effects), state.tries) == ([(3, "restarted")], 1, 1)
    assert state.last is not None
    assert state.last.tone is not None
    assert (state.last.tone.start, state.last.tone.end, state.last.tone.path) == (1, 3, ((2, 1.0), (3, 0.9)))


def test_a_slur_that_stops_half_way_is_judged_after_a_moment() -> None:
    state, _ = told([*slurred(1, 2, (2, 1.0)), Tick(2 + 0.9 * JOIN_SECONDS)], one(SLUR))
    assert state.attempts == ()
    state, effects = told([Tick(2.01 + JOIN_SECONDS)], state)
    assert (outcomes(state), len(effects)) == ([(3, "other")], 1)


def test_a_gap_in_a_slur_forgets_its_first_part() -> None:
    state, effects = told([*slurred(1, 2, (2, 1.0)), Gap(2.1), Tick(4.0)], one(SLUR))
    assert (state.phase, state.pieces, state.attempts, effects) == (Phase.WANTED, (), (), [])


def test_the_end_of_the_sound_judges_a_slur_under_way() -> None:
    state, effects = told([*slurred(1, 2, (2, 1.0)), Close()], one(SLUR))
    assert (outcomes(state), len(effects)) == ([(3, "other")], 1)


COMPARE = built(Wish(Kind.COMPARE, SERIES, (3, 5), hush=0.0, tries=1))


def played(start: float, partial: int, hz: float) -> list[Event]:
    end = start + 2.0
    return [reading(start + 0.05, partial), attack(start), replace(tone(start, end, partial), hz=hz), Tick(end)]


def test_the_difference_is_that_of_the_two_notes_and_may_be_guessed_first() -> None:
    state, _ = told([*played(1, 3, raised(415.0, 9.0)), Tick(6)], at(COMPARE))
    assert (state.ask.task, str(state.listening.series.fingering), state.wanted) == (Task.USUAL, "F5", 1)
    state, effects = told(played(7, 1, 415.0), state)
    assert (state.phase, effects) == (Phase.GUESS, [])
    state, effects = told([UP], state)
    assert state.phase is Phase.RESULT
    assert [effect.attempt for effect in effects] == [state.last]
    assert state.last is not None
    assert state.last.difference_cents == pytest.approx(9.0)
    assert state.last.guess is Guess.SHARP


@pytest.mark.parametrize(
    ("press", "guess"), [(DOWN, Guess.FLAT), (OK, Guess.IN_TUNE), (Press(Button.FOOT, False, 0), None)]
)
def test_guesses_have_their_buttons_and_the_foot_lets_it_be(press: Press, guess: Guess | None) -> None:
    state, _ = told([*played(1, 3, 415.0), Tick(6), *played(7, 1, 415.0), press], at(COMPARE))
    assert state.last is not None
    assert (state.last.guess, len(state.attempts), state.phase) == (guess, 2, Phase.RESULT)


@pytest.mark.parametrize(
    "after", [Tick(9 + GUESS_SECONDS), reading(9.5, 1), BACK, Press(Button.BACK, True, 0.0), Close()]
)
def test_a_try_is_kept_once_whoever_does_not_guess(after: Event) -> None:
    state, effects = told([*played(1, 3, 415.0), Tick(6), *played(7, 1, 415.0), after], at(COMPARE))
    assert len(effects) == 2
    assert [attempt.guess for attempt in state.attempts] == [None, None]


@pytest.mark.parametrize("interval", [Interval.OCTAVE, Interval.FIFTH, Interval.TWELFTH])
def test_a_note_below_is_set_against_the_consonance(interval: Interval) -> None:
    exercise = built(Wish(Kind.LOW, SERIES, (4,), intervals=(interval,), hush=0.0, guess=False))
    low = usual(SERIES, 4, interval)
    assert low is not None
    overtone = raised(low.fundamental_hz * interval.ratio, -6.0)
    state, _ = told([*played(1, 4, overtone), Tick(6), *played(7, 1, low.fundamental_hz)], at(exercise))
    assert state.last is not None
    assert state.last.difference_cents == pytest.approx(-6.0)


def test_without_the_overtone_its_usual_fingering_is_not_asked_for() -> None:
    state, _ = told([*played(1, 2, 277.0), Tick(6)], at(COMPARE))
    assert (state.ask.task, state.wanted) == (Task.PLAY, 5)
    state, _ = told([DOWN], state)
    assert (state.ask.task, state.wanted) == (Task.PLAY, 3)


HEAR = built(Wish(Kind.HEAR, SERIES, (3,)))


def test_what_was_sung_is_shown_and_kept_with_the_try_that_follows() -> None:
    """Sung an octave low, 20 cents flat of written F5 on an alto, 415.305 Hz (trade table)."""
    state = at(HEAR)
    assert state.listening.sings
    state, effects = told([reading(1.0, None), sung(1.0, 2.0, raised(415.305 / 2, -20.0))], state)
    assert (state.phase, effects, state.listening.sings) == (Phase.SUNG, [], False)
    assert state.sung is not None
    assert state.sung.cents == pytest.approx(-20.0, abs=0.01)
    state, _ = told([Tick(2.0 + RESULT_SECONDS), *note(6, 8, 3)], state)
    assert state.last is not None
    assert (state.last.outcome, state.last.sung) == (Outcome.SPOKE, state.sung)


@pytest.mark.parametrize("events", [[Tick(SING_SECONDS)], [OK], [Press(Button.FOOT, False, 0.0)], [UP]])
def test_whoever_imagines_the_pitch_goes_on_with_no_try(events: list[Event]) -> None:
    state, effects = told(events, at(HEAR))
    assert (state.phase, state.ask.task, effects, state.sung) == (Phase.WANTED, Task.PLAY, [], None)


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


def test_cautions_are_read_one_by_one_or_by_playing() -> None:
    state = begin(Routine("story", (HEAR,)), cautions=("Ears.", "Body."))
    assert (state.phase, state.cautions, state.wanted) == (Phase.CAUTION, ("Ears.", "Body."), None)
    state, _ = told([OK], state)
    assert (state.phase, state.cautions) == (Phase.CAUTION, ("Body.",))
    assert told([OK], state)[0].phase is Phase.WANTED
    assert told([reading(1.0, 3)], state)[0].phase is Phase.SOUNDING
    assert told([BACK], state)[0].phase is Phase.OVER


def test_an_overtone_of_another_partial_is_nothing_to_compare_with() -> None:
    """Partial 3 was reached and compared; partial 5 was not, so its usual fingering is not asked for."""
    first = [*played(1, 3, 415.0), Tick(6), *played(7, 1, 415.0), OK, Tick(15)]
    state, _ = told(first, at(COMPARE))
    assert (state.ask.task, state.wanted) == (Task.PLAY, 5)
    state, _ = told([*played(16, 4, 554.0), Tick(22)], state)
    assert state.phase is Phase.DONE
