"""Slurs in the session: in one breath, begun anew, given up half way, torn by a gap."""

from __future__ import annotations

from dataclasses import replace

from airladder.practice.ask import Ask, Task
from airladder.practice.session import (
    JOIN_SECONDS,
    Close,
    Event,
    Gap,
    Tick,
)
from airladder.practice.state import Phase
from stories import SERIES, one, outcomes, reading, told, tone

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


def test_a_bump_after_the_first_part_of_a_slur_leaves_it_a_try() -> None:
    state, _ = told([*slurred(1, 2, (2, 1.0)), reading(2.2, 5), Tick(2.9), Tick(3.0)], one(SLUR))
    assert outcomes(state) == [(3, "other")]


def test_a_slur_that_was_judged_is_not_judged_again_at_the_end_of_the_sound() -> None:
    state, effects = told([*slurred(1, 2, (2, 1.0)), *slurred(2.1, 3, (3, 0.9)), Close()], one(SLUR))
    assert (outcomes(state), len(effects)) == ([(3, "restarted")], 1)


def test_after_a_slur_begun_anew_the_next_try_stands_by_itself() -> None:
    asks = (SLUR, replace(SLUR, partials=(3, 4)))
    state, _ = told([*slurred(1, 2, (2, 1.0)), *slurred(2.1, 3, (3, 0.9)), Tick(6)], one(*asks))
    state, _ = told([*slurred(7, 8, (2, 0.5), (3, 0.5)), Tick(11)], state)
    assert outcomes(state) == [(3, "restarted"), (3, "spoke")]
