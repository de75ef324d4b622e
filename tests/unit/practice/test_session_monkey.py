"""Whatever is heard and pressed, in whatever order: no exception, no dead end, and an honest log."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.hearing.events import Sung, Tone
from airladder.music.usual import Interval
from airladder.practice.aloud import TONE_SECONDS, begun
from airladder.practice.ask import Start, Task
from airladder.practice.ease import Limits
from airladder.practice.effects import Hush, Keep
from airladder.practice.exercise import Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.presses import Button, Press
from airladder.practice.routine import Routine
from airladder.practice.session import Close, Event, Gap, Kept, Leak, PlayedOver, Tick, Trouble, begin
from airladder.practice.state import Aloud, Phase, State
from stories import BACK, SERIES, keeps, note, reading, sung, told, tone

wishes = st.sampled_from(
    [
        Wish(Kind.COLD, SERIES, (1, 3)),
        Wish(Kind.FUNDAMENTAL, SERIES),
        Wish(Kind.RISING, SERIES, (2, 3)),
        Wish(Kind.FALLING, SERIES, (2, 3), guess=True),
        Wish(Kind.SKIPPING, SERIES, (2, 3, 4), hush=30.0),
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
PRESSES = [Press(button, False, 0.0) for button in Button] + [Press(button, True, 0.0) for button in Button]
OTHERS: list[Event] = [
    *(Gap(0.0), Kept(1), Close(), Leak(), PlayedOver()),
    *(Trouble("log", ""), Trouble("log", "The disk is full.")),
]
RIGHT, ANEW = "right", "anew"
"""Plays what is asked for just then; each partial of a slur in one breath, or begun anew."""

notes = st.builds(
    lambda seconds, partial, on_the_way, split: note(0.0, seconds, partial, *on_the_way, split=split),
    st.sampled_from([0.1, 0.5, 2.0]),
    st.none() | st.integers(1, 5),
    st.lists(st.integers(1, 5), max_size=1),
    st.sampled_from([0.0, 0.0, 0.5]),
)
deeds = st.one_of(
    st.sampled_from([RIGHT, RIGHT, ANEW]),
    st.sampled_from(PRESSES).map(lambda press: [press]),
    notes,
    notes.map(lambda heard: heard[2:]),  # begun before, or in a gap
    (st.none() | st.integers(1, 5)).map(lambda partial: [reading(0.0, partial)]),
    st.floats(60, 900).map(lambda hz: [reading(0.1, None), sung(0.0, 1.0, hz)]),
    st.floats(-5, 30).map(lambda seconds: [Tick(seconds)]),  # also one that comes late
    st.sampled_from(
        [Gap(0.0), Kept(1), Close(), Trouble("log", ""), Trouble("log", "The disk is full."), Leak(), PlayedOver()]
    ).map(lambda event: [event]),
)
Deeds = list[tuple[float, str | list[Event]]]
"""What happens, each after a pause in seconds."""
happenings = st.lists(st.tuples(st.sampled_from([0.0, 0.1, 0.3, 0.6, 3.0]), deeds), max_size=30)
beginnings = st.builds(
    begin,
    routines,
    st.sampled_from([Limits(in_a_row=2), Limits(minutes=3.0), None]),
    t=st.sampled_from([0.0, 3600.0]),
    sounds=st.sampled_from(Aloud),
)


def in_time(start: State, parts: Deeds) -> list[Event]:
    """The events of the parts, one part after another."""
    state, now, events = start, start.now, list[Event]()
    for pause, part in parts:
        now += pause
        heard = _played(state, part) if isinstance(part, str) else part
        moved = [Tick(now), *(_later(event, now) for event in heard)]
        now = max([now, *map(_end, moved)])
        events += moved
        state, _ = told(moved, state)
    return events


def _played(state: State, how: str) -> list[Event]:
    partials = state.ask.partials or (1,)
    if how == ANEW:
        return [event for n, one in enumerate(partials) for event in note(1.3 * n, 1.3 * n + 1.0, one)]
    heard = replace(tone(0.0, 4.0, partials[-1]), path=tuple((one, 4.0 / len(partials)) for one in partials))
    return [*(reading(0.2 * n, partials[0]) for n in range(20)), heard, Tick(4.0)]


def _end(event: Event) -> float:
    match event:
        case Tone() | Sung():
            return event.end
        case Kept() | Trouble() | Close() | Leak() | PlayedOver():
            return 0.0
        case _:
            return event.t


def _later(event: Event, seconds: float) -> Event:
    match event:
        case Tone() | Sung():
            return replace(event, start=event.start + seconds, end=event.end + seconds)
        case Kept() | Trouble() | Close() | Leak() | PlayedOver():
            return event
        case _:
            return replace(event, t=event.t + seconds)


@settings(max_examples=200, deadline=None)
@given(beginnings, happenings)
def test_the_log_is_whole_in_order_and_the_same_again(start: State, parts: Deeds) -> None:
    events = in_time(start, parts)
    state, effects = told(events, start)
    assert told(events, start) == (state, effects)
    assert keeps(effects) == list(state.attempts)
    assert [attempt.number for attempt in state.attempts] == list(range(1, len(state.attempts) + 1))
    assert 0 <= state.place < len(state.routine.placed)
    assert state.instead is not None or state.tries <= state.ask.tries + 1
    assert 0 <= state.begun_at <= len(state.attempts)


@settings(max_examples=200, deadline=None)
@given(beginnings, happenings)
def test_time_never_goes_back(start: State, parts: Deeds) -> None:
    state, before = start, start.now
    for event in in_time(start, parts):
        state, _ = told([event], state)
        assert state.now >= before
        ahead = TONE_SECONDS if state.phase is Phase.WANTED and state.aloud is not Aloud.SILENT else 0.0
        assert state.since <= state.now + ahead or state.phase is Phase.SOUNDING  # a reading may be newer than a tick
        before = state.now


@settings(max_examples=200, deadline=None)
@given(beginnings, happenings)
def test_there_is_a_way_out_of_everything(start: State, parts: Deeds) -> None:
    """UP leads through the whole routine, one long press of BACK out of it, and nothing is left to be kept."""
    state, _ = told(in_time(start, parts), start)
    through = state
    for _ in range(3 * len(state.routine.placed) + 10):
        if through.phase in (Phase.DONE, Phase.OVER):
            break
        through, _ = told([Press(Button.UP, False, 0.0)], through)
    assert through.phase in (Phase.DONE, Phase.OVER)
    out, effects = told([Press(Button.BACK, True, 0.0)], state)
    assert out.phase is Phase.OVER
    assert len(out.attempts) == len(state.attempts) + len(keeps(effects))
    assert out.sounds_until is None


@settings(max_examples=200, deadline=None)
@given(beginnings, happenings)
def test_silence_ends_everything_that_does_not_wait_for_the_player(start: State, parts: Deeds) -> None:
    """Rests, results, guesses and what was sung go by themselves; nothing is judged twice on the way."""
    state, _ = told(in_time(start, parts), start)
    now = state.now + 1.0
    waits, effects = told([Tick(now + 5.0 * n) for n in range(200)], state)
    assert waits.phase in (Phase.WANTED, Phase.OFFER, Phase.DONE, Phase.OVER)
    assert not waits.passing
    assert waits.judged is None
    assert waits.sounds_until is None
    assert sum(attempt.tone is None for attempt in keeps(effects)) <= 1  # silence is news once at most
    twice, effects = told([BACK, BACK], waits)
    assert (twice.phase, effects) == (Phase.OVER, [])


@settings(max_examples=200, deadline=None)
@given(beginnings, happenings)
def test_whatever_sounds_is_hushed_before_the_next_and_in_its_time(start: State, parts: Deeds) -> None:
    state, _ = begun(start)
    sounds = state.sounds_until is not None
    for event in in_time(start, parts):
        state, effects = told([event], state)
        for effect in effects:
            if not isinstance(effect, Keep):
                assert isinstance(effect, Hush) is sounds
                sounds = not sounds
        assert sounds is (state.sounds_until is not None)
        assert not sounds or (state.aloud is not Aloud.SILENT and state.now < (state.sounds_until or 0.0))


@settings(max_examples=200, deadline=None)
@given(beginnings, happenings)
def test_a_note_that_follows_is_heard_wherever_one_is_asked_for(start: State, parts: Deeds) -> None:
    """No note is swallowed for ever: after half a second of silence the next one counts."""
    state, _ = told(in_time(start, parts), start)
    newest = max(state.now, state.reading.t if state.reading else 0.0)
    state, _ = told([Tick(newest + 0.6)], state)
    if state.phase is not Phase.WANTED or not state.ask.is_judged or state.ask.task is Task.SLUR:
        return
    now = state.now
    after, _ = told(note(now + 1.0, now + 3.0, state.wanted), state)
    assert len(after.attempts) + (after.judged is not None) == len(state.attempts) + 1
