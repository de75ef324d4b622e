"""The session on a plain climb, rung by rung: what is heard, what is pressed, and what becomes of it."""

from __future__ import annotations

import pytest

from airladder.music.series import Against
from airladder.practice.judge import Outcome
from airladder.practice.presses import Button, Press
from airladder.practice.session import PATIENCE_SECONDS, RESULT_SECONDS, Event, Gap, Tick, begin, listening
from airladder.practice.state import Phase
from stories import ROUTINE, SERIES, attack, keeps, note, outcomes, reading, sung, told, tone


def test_it_begins_by_asking_for_the_fundamental() -> None:
    state = begin(ROUTINE)
    assert (state.phase, state.wanted, state.attempts) == (Phase.WANTED, 1, ())


def test_a_right_tone_is_kept_shown_and_leads_to_the_next_rung() -> None:
    state, effects = told(note(1.0, 3.0, 1))
    assert (state.phase, state.wanted, outcomes(state)) == (Phase.RESULT, 1, [(1, "spoke")])
    assert keeps(effects) == list(state.attempts)
    state, _ = told([Tick(3.0 + RESULT_SECONDS)], state)
    assert (state.phase, state.wanted) == (Phase.WANTED, 2)


@pytest.mark.parametrize(
    ("heard", "outcome"),
    [
        (note(1, 3, 1), Outcome.SPOKE),
        (note(1, 3, 1, 2), Outcome.CRACKED),
        (note(1, 3, 1, split=0.5), Outcome.SPLIT),
        (note(1, 3, 2, split=0.5), Outcome.SPLIT),
        (note(1, 3, 2), Outcome.OTHER),
        (note(1, 3, None), Outcome.NOTHING),
    ],
)
def test_each_tone_is_called_what_it_was(heard: list[Event], outcome: Outcome) -> None:
    state, _ = told(heard)
    assert state.last is not None
    assert state.last.outcome is outcome


def test_a_crack_still_reaches_the_rung() -> None:
    state, _ = told([*note(1, 3, 1, 2), Tick(6.0)])
    assert state.wanted == 2


def test_another_partial_may_be_tried_three_times_and_is_then_left_in_peace() -> None:
    state, _ = told([*note(1, 3, 2), Tick(6), *note(7, 9, 2), Tick(12)])
    assert (state.wanted, state.tries) == (1, 2)
    state, _ = told([*note(13, 15, 2), Tick(18)], state)
    assert (state.wanted, state.tries) == (2, 0)


def test_a_new_note_ends_the_result_and_counts_for_the_next_rung() -> None:
    state, _ = told([*note(1, 3, 1), *note(3.5, 5, 2)])
    assert outcomes(state) == [(1, "spoke"), (2, "spoke")]


def test_silence_is_judged_once_and_then_waited_out() -> None:
    state, _ = told([*note(1, 3, 1), Tick(6)])
    later: list[Event] = [Tick(6 + PATIENCE_SECONDS), Tick(6 + PATIENCE_SECONDS + RESULT_SECONDS)]
    state, effects = told(later, state)
    assert outcomes(state) == [(1, "spoke"), (2, "nothing")]
    assert len(effects) == 1
    state, effects = told([Tick(500.0), Tick(5000.0)], state)
    assert (state.phase, effects) == (Phase.WANTED, [])


def test_silence_before_the_first_tone_is_nobody_there() -> None:
    state, effects = told([Tick(1000.0)])
    assert (state.phase, effects) == (Phase.WANTED, [])


def test_a_knock_on_the_stand_is_no_try() -> None:
    state, effects = told(note(1.0, 1.1, None))
    assert (state.phase, effects) == (Phase.WANTED, [])


def test_all_rungs_reached_is_done_and_ok_goes_round_once_more() -> None:
    events: list[Event] = []
    for rung in range(6):
        events += [*note(10.0 * rung + 1, 10.0 * rung + 3, rung + 1), Tick(10.0 * rung + 6)]
    state, _ = told(events)
    assert (state.phase, state.wanted, len(state.attempts)) == (Phase.DONE, None, 6)
    again, _ = told([Press(Button.OK, False, 70.0), *note(71, 73, 1)], state)
    assert [attempt.number for attempt in again.attempts] == [1, 2, 3, 4, 5, 6, 7]
    over, _ = told([Press(Button.BACK, False, 70.0)], state)
    assert over.phase is Phase.OVER


def test_sound_after_the_end_is_not_judged() -> None:
    state, effects = told([Press(Button.BACK, False, 1.0), *note(2, 4, 1)])
    assert (state.phase, effects) == (Phase.DONE, [])


@pytest.mark.parametrize(
    ("button", "long", "wanted"),
    [
        (Button.UP, False, 3),
        (Button.DOWN, False, 1),
        (Button.OK, False, 2),
        (Button.FOOT, False, 2),
        (Button.FOOT, True, 3),
    ],
)
def test_buttons_move_along_the_ladder(button: Button, long: bool, wanted: int) -> None:
    state, _ = told([Press(Button.UP, False, 1.0), Press(button, long, 2.0)])
    assert (state.phase, state.wanted) == (Phase.WANTED, wanted)


def test_the_lowest_rung_has_none_below_and_the_highest_leads_to_the_end() -> None:
    state, _ = told([Press(Button.DOWN, False, 1.0)])
    assert state.wanted == 1
    state, _ = told([Press(Button.UP, False, float(n)) for n in range(6)])
    assert state.phase is Phase.DONE


def test_a_rung_can_be_repeated_after_its_result() -> None:
    state, _ = told([*note(1, 3, 1), Press(Button.OK, False, 4.0)])
    assert (state.phase, state.wanted, state.tries) == (Phase.WANTED, 1, 0)


def test_a_note_that_still_sounds_after_a_press_is_not_judged_for_the_new_rung() -> None:
    begun: list[Event] = [reading(1.05, 1), Press(Button.UP, False, 1.2), attack(1.0), reading(2.0, 1)]
    state, effects = told([*begun, tone(1, 2, 1)])
    assert (state.phase, state.wanted, effects) == (Phase.WANTED, 2, [])
    state, _ = told(note(3, 5, 2), state)
    assert outcomes(state) == [(2, "spoke")]


def test_a_gap_forgets_the_note_and_waits_for_it_once_more() -> None:
    state, effects = told([reading(1.05, 1), attack(1.0), Gap(1.5)])
    assert (state.phase, state.wanted, effects) == (Phase.WANTED, 1, [])


def test_singing_the_pitch_first_is_no_try_at_it() -> None:
    state, effects = told([reading(1.05, 1), sung(1.0, 1.6, 138.6)])
    assert (state.phase, state.wanted, effects) == (Phase.WANTED, 1, [])
    state, _ = told(note(3, 5, 1), state)
    assert outcomes(state) == [(1, "spoke")]


def test_a_bump_that_never_becomes_a_note_is_no_try() -> None:
    state, effects = told([reading(1.05, 1), Tick(1.4)])
    assert state.phase is Phase.SOUNDING
    state, effects = told([Tick(1.6)], state)
    assert (state.phase, state.wanted, state.reading, effects) == (Phase.WANTED, 1, None, [])
    free = listening(SERIES, Against.TEMPERED)
    free, _ = told([reading(1.05, 2), Tick(1.6)], free)
    assert (free.phase, free.reading) == (Phase.FREE, None)


@pytest.mark.parametrize("t", [0.0, 4321.5])
def test_it_begins_when_it_is_told_to(t: float) -> None:
    """The clock of the sound does not begin anew with a practice."""
    state = begin(ROUTINE, t=t)
    assert (state.now, state.since, state.begun) == (t, t, t)
    free = listening(SERIES, Against.TEMPERED, t=t)
    assert (free.now, free.since, free.begun) == (t, t, t)


def test_leaving_takes_one_long_press_from_anywhere() -> None:
    state, _ = told([reading(1.05, 1), Press(Button.BACK, True, 1.2)])
    assert state.phase is Phase.OVER
