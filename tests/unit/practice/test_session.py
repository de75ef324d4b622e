"""The session: a pure function, told as stories of what is heard and pressed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.hearing.events import Attack, Reading, Sung, Tone
from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Series
from airladder.practice.effects import Effect
from airladder.practice.exercise import first_rungs
from airladder.practice.judge import Outcome
from airladder.practice.presses import Button, Press
from airladder.practice.session import (
    PATIENCE_SECONDS,
    RESULT_SECONDS,
    Event,
    Gap,
    Kept,
    Tick,
    Trouble,
    begin,
    listening,
    step,
)
from airladder.practice.state import Phase, State

ALTO = HORNS["alto"]
EXERCISE = first_rungs(Series(ALTO, fingering_named(ALTO, "Bb3")))


def reading(t: float, partial: int | None) -> Reading:
    return Reading(t=t, hz=140.0 * (partial or 1.4), partial=partial, cents=None, level_dbfs=-20.0, clarity=0.99)


def attack(t: float) -> Attack:
    return Attack(t=t, known_at=t + 0.05, kind="tongued", rise_ms=20.0, confidence=0.8)


def tone(start: float, end: float, partial: int | None, *on_the_way: int, split: float = 0.0) -> Tone:
    path = (*((other, 0.1) for other in on_the_way), (partial, end - start))
    return Tone(
        start=start,
        end=end,
        partial=partial,
        hz=140.0 * partial if partial else None,
        cents=3.0 if partial else None,
        spread_cents=1.0 if partial else None,
        attack=attack(start),
        speak_ms=60.0 if partial else None,
        path=path,
        split=split,
        level_dbfs=-20.0,
    )


def note(start: float, end: float, partial: int | None, *on_the_way: int, split: float = 0.0) -> list[Event]:
    """All that the Ear says of one note."""
    return [
        reading(start + 0.05, partial),
        attack(start),
        reading(end, partial),
        tone(start, end, partial, *on_the_way, split=split),
        Tick(end),
    ]


def told(events: list[Event], state: State | None = None) -> tuple[State, list[Effect]]:
    state = state or begin(EXERCISE)
    effects: list[Effect] = []
    for event in events:
        state, new = step(state, event)
        effects.extend(new)
    return state, effects


def outcomes(state: State) -> list[tuple[int, str]]:
    return [(attempt.wanted, attempt.outcome.value) for attempt in state.attempts]


def test_it_begins_by_asking_for_the_fundamental() -> None:
    state = begin(EXERCISE)
    assert (state.phase, state.wanted, state.attempts) == (Phase.WANTED, 1, ())


def test_a_right_tone_is_kept_shown_and_leads_to_the_next_rung() -> None:
    state, effects = told(note(1.0, 3.0, 1))
    assert (state.phase, state.wanted, outcomes(state)) == (Phase.RESULT, 1, [(1, "spoke")])
    assert [effect.attempt for effect in effects] == list(state.attempts)
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
    sung = Sung(start=1.0, end=1.6, hz=138.6, spread_cents=9.0, level_dbfs=-30.0, known_at=1.2)
    state, effects = told([reading(1.05, 1), sung])
    assert (state.phase, state.wanted, effects) == (Phase.WANTED, 1, [])
    state, _ = told(note(3, 5, 1), state)
    assert outcomes(state) == [(1, "spoke")]


def test_a_bump_that_never_becomes_a_note_is_no_try() -> None:
    state, effects = told([reading(1.05, 1), Tick(1.4)])
    assert state.phase is Phase.SOUNDING
    state, effects = told([Tick(1.6)], state)
    assert (state.phase, state.wanted, state.reading, effects) == (Phase.WANTED, 1, None, [])
    free = listening(state.exercise)
    free, _ = told([reading(1.05, 2), Tick(1.6)], free)
    assert (free.phase, free.reading) == (Phase.FREE, None)


def test_leaving_takes_one_long_press_from_anywhere() -> None:
    state, _ = told([reading(1.05, 1), Press(Button.BACK, True, 1.2)])
    assert state.phase is Phase.OVER


def test_only_what_is_on_the_disk_is_called_kept() -> None:
    state, _ = told(note(1, 3, 1))
    assert state.kept == 0
    state, _ = told([Kept(1)], state)
    assert state.kept == 1


def test_troubles_come_and_go_each_by_itself() -> None:
    state, _ = told([Trouble("microphone", "Waiting for it."), Trouble("log", "Disk full.")])
    assert state.trouble == "Disk full."
    state, _ = told([Trouble("log", "")], state)
    assert state.trouble == "Waiting for it."
    state, _ = told([Trouble("microphone", "")], state)
    assert state.trouble == ""


def test_a_note_that_was_cut_off_for_half_a_second_is_said_to_be_too_loud_until_one_is_not() -> None:
    loud = replace(tone(1.0, 3.0, 1), clipped=0.25)
    state, _ = told([loud])
    assert state.trouble == "Too loud for the microphone: turn it down."
    state, _ = told([replace(loud, clipped=0.1), tone(4.0, 5.0, 1)], state)
    assert state.trouble != ""
    state, _ = told([replace(loud, clipped=0.0)], state)
    assert state.trouble == ""


def test_a_knock_that_is_cut_off_is_not_remarked() -> None:
    assert told([replace(tone(1.0, 3.0, 1), clipped=0.24)])[0].trouble == ""
    assert told([tone(1.0, 3.0, 1)])[0].trouble == ""


def test_listening_names_and_judges_nothing() -> None:
    state, effects = told([reading(1.05, 4), attack(1.0)], listening(EXERCISE))
    assert state.reading is not None
    assert (state.phase, state.reading.partial, state.wanted) == (Phase.FREE, 4, None)
    state, effects = told([tone(1, 2, 4)], state)
    assert (state.reading, state.attempts, effects) == (None, (), [])


def test_the_time_held_starts_anew_with_each_partial() -> None:
    state, _ = told([reading(1.0, 2), reading(1.5, 2)])
    assert state.held == pytest.approx(0.5)
    state, _ = told([reading(1.6, 3), reading(1.8, 3)], state)
    assert state.held == pytest.approx(0.2)


presses = st.builds(Press, st.sampled_from(Button), st.booleans(), st.just(0.0))
notes = st.tuples(st.none() | st.integers(1, 8), st.lists(st.integers(1, 8), max_size=2), st.floats(0, 1)).map(
    lambda drawn: note(0.0, 2.0, drawn[0], *drawn[1], split=drawn[2])
)
happenings = st.lists(
    st.one_of(
        presses.map(lambda press: [press]), notes, st.floats(0, 30).map(lambda s: [Tick(s)]), st.just([Gap(0.0)])
    )
)


def _in_time(parts: list[list[Event]]) -> list[Event]:
    now = 0.0
    events: list[Event] = []
    for part in parts:
        for event in part:
            match event:
                case Tone():
                    events.append(replace(event, start=event.start + now, end=event.end + now))
                case Sung():
                    events.append(replace(event, start=event.start + now, end=event.end + now))
                case Kept() | Trouble():
                    events.append(event)
                case _:
                    events.append(replace(event, t=event.t + now))
        now += 2.5
    return events


@given(happenings)
def test_whatever_happens_the_log_is_in_order_and_the_same_again(parts: list[list[Event]]) -> None:
    events = _in_time(parts)
    state, effects = told(events)
    assert told(events) == (state, effects)
    assert [effect.attempt for effect in effects] == list(state.attempts)
    assert [attempt.number for attempt in state.attempts] == list(range(1, len(state.attempts) + 1))
    assert all(a.t <= b.t for a, b in zip(state.attempts, state.attempts[1:], strict=False))
    assert 0 <= state.rung < len(EXERCISE.partials)
    assert 0 <= state.tries <= EXERCISE.tries
