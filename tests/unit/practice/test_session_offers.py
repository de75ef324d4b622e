"""Something kinder is offered, never ordered: whoever plays on has declined."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.practice.ease import Limits, Offer, Why
from airladder.practice.moves import REST_SECONDS
from airladder.practice.presses import Button, Press
from airladder.practice.session import Event, Tick, begin
from airladder.practice.state import Phase, State
from stories import ROUTINE, SERIES, note, outcomes, reading, told

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


def test_whoever_ends_there_has_kept_everything() -> None:
    state, effects = told([Press(Button.BACK, False, 18.0)], failing())
    assert (state.phase, effects, len(state.attempts)) == (Phase.DONE, [], 3)


def test_after_the_easier_one_the_same_has_all_its_tries_again_and_no_offer_comes_at_once() -> None:
    state, _ = told([Press(Button.DOWN, False, 18.0), *note(19, 21, 2), Tick(24)], failing())
    assert (state.phase, state.wanted, state.tries, state.instead) == (Phase.WANTED, 2, 0, None)


def test_a_note_in_an_offered_rest_passes_also_into_what_comes_next() -> None:
    state, _ = told([Press(Button.OK, False, 18.0), reading(47.9, 2), Tick(48.0)], failing())
    assert (state.phase, state.wanted, state.passing) == (Phase.WANTED, 2, True)
    state, effects = told(note(47.8, 50, 2)[2:], state)
    assert (state.phase, state.passing, effects) == (Phase.WANTED, False, [])


def test_the_same_offer_never_stands_again_without_a_further_try() -> None:
    """Declined, rested or passed by: ticks alone, however many, bring no second offer."""
    for press in (Button.UP, Button.OK, Button.DOWN):
        state, _ = told([Press(press, False, 18.0)], failing())
        state, _ = told([Tick(18.0 + 0.5 * n) for n in range(400)], state)
        assert state.offered == failing().offered


def test_nobody_who_plays_on_at_once_is_stopped_by_an_offer() -> None:
    heard: list[Event] = [event for n in range(6) for event in note(1 + 3 * n, 3 + 3 * n, 5)]
    state, _ = told(heard, begin(ROUTINE, LIMITS))
    assert (state.offered, len(state.attempts)) == ((), 6)


@pytest.mark.parametrize("partial", [3, 1])
def test_what_is_asked_for_easier_is_on_the_tube_of_the_ladder(partial: int) -> None:
    made = replace(failing(), offer=Offer(Why.FAILING, "", easier=partial))
    state, _ = told([Press(Button.DOWN, False, 18.0)], made)
    assert (state.wanted, state.ask.series, state.ask.tries) == (partial, SERIES, 1)
