"""Whatever is heard and pressed, in whatever order: no exception, no dead end, and an honest log."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.hearing.events import Sung, Tone
from airladder.music.usual import Interval
from airladder.practice.ask import Start, Task
from airladder.practice.ease import Limits
from airladder.practice.exercise import Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.presses import Button, Press
from airladder.practice.routine import Routine
from airladder.practice.session import Close, Event, Gap, Kept, Tick, Trouble, begin
from airladder.practice.state import Phase, State
from stories import SERIES, note, reading, sung, told

wishes = st.sampled_from(
    [
        Wish(Kind.COLD, SERIES, (1, 3)),
        Wish(Kind.RISING, SERIES, (2, 3)),
        Wish(Kind.SLURS, SERIES, (2, 3)),
        Wish(Kind.HEAR, SERIES, (3,)),
        Wish(Kind.COMPARE, SERIES, (2, 3)),
        Wish(Kind.LOW, SERIES, (4,), intervals=(Interval.OCTAVE,)),
        Wish(Kind.STARTS, SERIES, (2,), start=Start.AIR),
        Wish(Kind.LONG, SERIES, (2,), hold=3.0, swell=True),
        Wish(Kind.FREE, SERIES, hold=20.0),
        Wish(Kind.REST, SERIES, hold=10.0),
    ]
)
routines = st.lists(wishes.map(built), min_size=1, max_size=5).map(lambda made: Routine("monkey", tuple(made)))
presses = st.builds(Press, st.sampled_from(Button), st.booleans(), st.just(0.0)).map(lambda press: [press])
notes = st.tuples(st.none() | st.integers(1, 5), st.lists(st.integers(1, 5), max_size=2), st.floats(0, 1)).map(
    lambda drawn: note(0.0, 2.0, drawn[0], *drawn[1], split=drawn[2])
)
happenings = st.lists(
    st.one_of(
        presses,
        notes,
        st.integers(1, 5).map(lambda partial: [reading(0.0, partial)]),
        st.floats(60, 900).map(lambda hz: [reading(0.1, None), sung(0.0, 1.0, hz)]),
        st.floats(0, 30).map(lambda seconds: [Tick(seconds)]),
        st.just([Gap(0.0)]),
        st.just([Kept(1)]),
        st.sampled_from(["", "The disk is full."]).map(lambda sentence: [Trouble("log", sentence)]),
        st.just([Close()]),
    ),
    max_size=30,
)
beginnings = st.builds(
    begin,
    routines,
    st.sampled_from([Limits(in_a_row=2), Limits(minutes=3.0), None]),
    st.sampled_from([(), ("Ears.",)]),
)


def in_time(parts: list[list[Event]]) -> list[Event]:
    """The parts one after another, 2.5 s apart."""
    now, events = 0.0, list[Event]()
    for part in parts:
        for event in part:
            match event:
                case Tone() | Sung():
                    events.append(replace(event, start=event.start + now, end=event.end + now))
                case Kept() | Trouble() | Close():
                    events.append(event)
                case _:
                    events.append(replace(event, t=event.t + now))
        now += 2.5
    return events


@settings(max_examples=300, deadline=None)
@given(beginnings, happenings)
def test_the_log_is_whole_in_order_and_the_same_again(start: State, parts: list[list[Event]]) -> None:
    events = in_time(parts)
    state, effects = told(events, start)
    assert told(events, start) == (state, effects)
    assert [effect.attempt for effect in effects] == list(state.attempts)
    assert [attempt.number for attempt in state.attempts] == list(range(1, len(state.attempts) + 1))
    assert 0 <= state.place < len(state.routine.placed)
    assert state.instead is not None or state.tries <= state.ask.tries + 1
    assert 0 <= state.begun_at <= len(state.attempts)


@settings(max_examples=300, deadline=None)
@given(beginnings, happenings)
def test_time_never_goes_back(start: State, parts: list[list[Event]]) -> None:
    state, before = start, start.now
    for event in in_time(parts):
        state, _ = told([event], state)
        assert state.now >= before
        assert state.since <= state.now or state.phase is Phase.SOUNDING  # a reading may be newer than the last tick
        before = state.now


@settings(max_examples=300, deadline=None)
@given(beginnings, happenings)
def test_there_is_a_way_out_of_everything(start: State, parts: list[list[Event]]) -> None:
    """UP leads through the whole routine, one long press of BACK out of it, and nothing is left to be kept."""
    state, _ = told(in_time(parts), start)
    through = state
    for _ in range(3 * len(state.routine.placed) + 10):
        if through.phase in (Phase.DONE, Phase.OVER):
            break
        through, _ = told([Press(Button.UP, False, 0.0)], through)
    assert through.phase in (Phase.DONE, Phase.OVER)
    out, effects = told([Press(Button.BACK, True, 0.0)], state)
    assert out.phase is Phase.OVER
    assert len(out.attempts) == len(state.attempts) + len(effects)


@settings(max_examples=300, deadline=None)
@given(beginnings, happenings)
def test_a_note_that_follows_is_heard_wherever_one_is_asked_for(start: State, parts: list[list[Event]]) -> None:
    """No note is swallowed for ever: after half a second of silence the next one counts."""
    state, _ = told(in_time(parts), start)
    newest = max(state.now, state.reading.t if state.reading else 0.0)
    state, _ = told([Tick(newest + 0.6)], state)
    if state.phase is not Phase.WANTED or not state.ask.is_judged or state.ask.task is Task.SLUR:
        return
    now = state.now
    after, _ = told(note(now + 1.0, now + 3.0, state.wanted), state)
    assert len(after.attempts) + (after.judged is not None) == len(state.attempts) + 1
