"""Something kinder is offered, never ordered: whoever plays on has declined."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.faults import BadInput
from airladder.practice.ask import Task
from airladder.practice.attempt import Attempt
from airladder.practice.ease import Limits, Made, Why, loud_seconds, offer, relaxed_dbfs
from airladder.practice.judge import Outcome
from airladder.practice.moves import REST_SECONDS
from airladder.practice.presses import Button, Press
from airladder.practice.session import Event, Tick, begin
from airladder.practice.state import Phase, State
from stories import ROUTINE, note, outcomes, told, tone

LIMITS = Limits(in_a_row=2, minutes=30.0)


def failing(state: State | None = None) -> State:
    """Partial 1 spoke, partial 2 failed twice: the offer stands."""
    heard: list[Event] = [*note(1, 3, 1), Tick(6), *note(7, 9, 1), Tick(12), *note(13, 15, 1), Tick(18)]
    return told(heard, state or begin(ROUTINE, LIMITS))[0]


def test_after_failing_tries_an_easier_partial_or_a_rest_is_offered() -> None:
    state = failing()
    assert state.phase is Phase.OFFER
    assert state.offer is not None
    assert (state.offer.why, state.offer.easier, state.offer.ends) == (Why.FAILING, 1, False)
    assert len(state.offer.sentence) <= 75


@pytest.mark.parametrize("event", [Press(Button.UP, False, 18.0), Press(Button.FOOT, True, 18.0)])
def test_declining_goes_on_where_one_was(event: Event) -> None:
    state, effects = told([event], failing())
    assert (state.phase, state.wanted, state.tries, effects) == (Phase.WANTED, 2, 2, [])


def test_whoever_plays_on_has_declined() -> None:
    state, _ = told(note(19, 21, 2), failing())
    assert outcomes(state)[-1] == (2, "spoke")


def test_a_rest_leads_back_to_the_same_thing() -> None:
    state, _ = told([Press(Button.OK, False, 18.0)], failing())
    assert (state.phase, state.left) == (Phase.REST, REST_SECONDS)
    state, _ = told([Tick(18.0 + REST_SECONDS)], state)
    assert (state.phase, state.wanted) == (Phase.WANTED, 2)


def test_the_easier_partial_is_tried_once_and_then_the_same_comes_again() -> None:
    state, _ = told([Press(Button.DOWN, False, 18.0)], failing())
    assert (state.phase, state.wanted) == (Phase.WANTED, 1)
    state, _ = told([*note(19, 21, 1), Tick(24)], state)
    assert (state.phase, state.wanted, outcomes(state)[-1]) == (Phase.WANTED, 2, (1, "spoke"))


def test_it_is_not_offered_again_before_as_many_further_tries() -> None:
    state, _ = told([Press(Button.UP, False, 18.0), *note(19, 21, 1), Tick(24)], failing())
    assert state.phase is Phase.WANTED
    state, _ = told([*note(25, 27, 1), Tick(30)], state)
    assert state.phase is Phase.OFFER


def test_after_a_long_session_the_end_is_offered_once() -> None:
    state, _ = told([Tick(1801.0), *note(1802, 1804, 1), Tick(1808)], begin(ROUTINE, LIMITS))
    assert state.offer is not None
    assert (state.phase, state.offer.why, state.offer.ends) == (Phase.OFFER, Why.LONG, True)
    assert told([Press(Button.OK, False, 0.0)], state)[0].phase is Phase.DONE
    on, _ = told([Press(Button.UP, False, 0.0), *note(1810, 1812, 2), Tick(1816)], state)
    assert (on.phase, on.wanted) == (Phase.WANTED, 3)


def attempts(count: int, outcome: Outcome = Outcome.SPOKE, **changed: float) -> list[Attempt]:
    heard = replace(tone(0, 60, 3), **changed)  # type: ignore[arg-type]  # names are checked by the dataclass itself
    return [Attempt(n, 60.0 * n, 3, outcome, heard) for n in range(1, count + 1)]


def test_pushed_tries_are_noticed_and_one_easy_one_between_is_enough() -> None:
    pushed, limits = attempts(4, push_db=-1.0), Limits(in_a_row=3)
    found = offer(pushed, 300.0, (), limits)
    assert found is not None
    assert (found.why, found.easier) == (Why.PUSHED, 1)
    assert offer([*pushed[:3], *attempts(1, push_db=-20.0)], 300.0, (), limits) is None
    assert offer(pushed, 300.0, (Made(Why.PUSHED, 2),), limits) is None


def test_loud_is_loud_for_this_player_and_told_once() -> None:
    """Five relaxed minutes at -30 dBFS, then minutes 12 dB above."""
    relaxed, loud = attempts(5, level_dbfs=-30.0), attempts(6, level_dbfs=-18.0)
    assert relaxed_dbfs(relaxed + loud, Limits()) == -30.0
    assert loud_seconds(relaxed + loud, Limits()) == 360.0
    found = offer(relaxed + loud, 900.0, (), Limits())
    assert found is not None
    assert found.why is Why.LOUD
    assert offer(relaxed + loud, 900.0, (Made(Why.LOUD, 11),), Limits()) is None
    assert offer(relaxed + loud[:4], 900.0, (), Limits()) is None
    assert loud_seconds(relaxed + loud, Limits(relaxed_dbfs=-20.0)) == 0.0
    assert loud_seconds(loud[:4], Limits()) == 0.0


def test_without_tries_nothing_is_offered() -> None:
    assert offer((), 1e6, (), Limits()) is None


@pytest.mark.parametrize(
    ("wrong", "told_so"),
    [
        ({"minutes": 0.0}, "minutes is 0.0; wanted 3 to 120."),
        ({"in_a_row": 2.5}, "in_a_row is 2.5; wanted a whole number."),
        ({"over_db": "loud"}, "over_db is 'loud'; wanted 3 to 40."),
    ],
)
def test_limits_out_of_bounds_are_refused(wrong: dict[str, object], told_so: str) -> None:
    with pytest.raises(BadInput, match=told_so):
        Limits(**wrong)  # type: ignore[arg-type]


def test_an_easier_one_is_a_partial_that_went_well_today() -> None:
    state = failing()
    assert state.attempts[0].asked is not None
    assert state.attempts[0].asked.task is Task.PLAY
    failed = [replace(attempt, wanted=5) for attempt in state.attempts[1:]]
    went_well = [replace(state.attempts[0], wanted=partial, tone=tone(1, 3, partial)) for partial in (1, 3, 2)]
    found = offer([*went_well, *failed], 60.0, (), LIMITS)
    assert found is not None
    assert found.easier == 3
