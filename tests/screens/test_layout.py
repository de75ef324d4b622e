"""Nothing on any screen is cut, lies on top of another, or is missing from the font, whatever the state."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from airladder.hearing.events import Attack, Reading, Tone
from airladder.hearing.events import Kind as Began
from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS
from airladder.music.names import pretty
from airladder.music.series import HIGHEST_PARTIAL, Series
from airladder.music.usual import Interval, usual
from airladder.panel import fonts, gallery, notices, screens, words
from airladder.panel.canvas import SAFE_HEIGHT, SAFE_WIDTH
from airladder.practice.ask import Ask, Beside, Start, Task
from airladder.practice.attempt import Asked, Attempt, Guess
from airladder.practice.ease import Offer, Why
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.feedback import Feedback
from airladder.practice.judge import Outcome, Voice
from airladder.practice.routine import Routine
from airladder.practice.state import Phase, State

KINDS: tuple[Began, ...] = ("tongued", "air", "unsure")
partials = st.integers(1, HIGHEST_PARTIAL)
maybe_partials = st.none() | partials
off = st.none() | st.floats(-1300, 1300)
splits = st.just(()) | st.lists(partials, min_size=2, max_size=6, unique=True).map(lambda s: tuple(sorted(s)))


@st.composite
def series(draw: st.DrawFn) -> Series:
    horn = draw(st.sampled_from(sorted(HORNS.values(), key=lambda h: h.name)))
    return Series(horn, draw(st.sampled_from(list(fingerings_of(horn).values()))))


@st.composite
def tones(draw: st.DrawFn) -> Tone:
    partial = draw(maybe_partials)
    attack = st.builds(Attack, st.just(0.0), st.just(0.1), st.sampled_from(KINDS), st.just(9.0), st.just(0.5))
    return Tone(
        start=0.0,
        end=2.0,
        partial=partial,
        hz=None if partial is None else draw(st.floats(40, 4000)),
        cents=draw(off),
        spread_cents=draw(st.none() | st.floats(0, 2000)),
        attack=draw(st.none() | attack),
        speak_ms=draw(st.none() | st.floats(0, 1e6)),
        path=tuple(draw(st.lists(st.tuples(maybe_partials, st.floats(0, 9)), max_size=6))),
        split=draw(st.floats(0, 1)),
        level_dbfs=-20.0,
    )


@st.composite
def asks(draw: st.DrawFn, tube: Series) -> Ask:
    task = draw(st.sampled_from(Task))
    partial = draw(st.integers(1, tube.top_partial))
    beside = None
    interval = draw(st.sampled_from(Interval))
    low = usual(tube, partial, interval)
    if task is Task.USUAL and low is not None:
        beside, tube, partial = Beside(tube, partial, interval), low, 1
    steps = tuple(draw(st.lists(partials, min_size=2, max_size=6)))
    return Ask(
        task,
        tube,
        () if task in (Task.FREE, Task.REST) else steps if task is Task.SLUR else (partial,),
        start=draw(st.sampled_from(Start)),
        hold=draw(st.sampled_from([0.0, 8.0, 600.0, math.inf])) if task is Task.FREE else draw(st.floats(0, 600)),
        swell=draw(st.booleans()),
        hush=draw(st.floats(0, 20)),
        guess=draw(st.booleans()),
        feedback=Feedback(draw(st.floats(0, 50)), draw(st.integers(1, 10))),
        beside=beside,
    )


@st.composite
def attempts(draw: st.DrawFn, exercise: Exercise) -> Attempt:
    ask = draw(st.sampled_from(exercise.asks))
    return Attempt(
        1,
        0.0,
        draw(partials),
        draw(st.sampled_from(Outcome)),
        draw(st.none() | tones()),
        draw(st.sampled_from([None, Asked.of(exercise, ask)])) if ask.is_judged else None,
        difference_cents=draw(off),
        guess=draw(st.none() | st.sampled_from(Guess)),
        swell_db=draw(st.none() | st.floats(-60, 60)),
    )


@st.composite
def states(draw: st.DrawFn) -> State:
    """Any state at all, also such as no session would come to."""
    tube = draw(series())
    exercise = Exercise(draw(st.sampled_from(Kind)), tube, tuple(draw(st.lists(asks(tube), min_size=1, max_size=5))))
    reading = st.builds(
        Reading,
        t=st.just(9999.0),
        hz=st.floats(40, 5000),
        partial=maybe_partials,
        cents=off,
        level_dbfs=st.just(-20.0),
        clarity=st.just(0.9),
        split=splits,
    )
    sentence = draw(st.just("") | st.text(st.characters(min_codepoint=32, max_codepoint=0x2FFF), max_size=300))
    kept = attempts(exercise)
    return State(
        Routine("any", (exercise,)),
        draw(st.sampled_from(Phase)),
        place=draw(st.integers(0, len(exercise.asks) - 1)),
        reading=draw(st.none() | reading),
        held_since=draw(st.none() | st.floats(0, 10_000)),
        attempts=tuple(draw(st.lists(kept, max_size=3))),
        judged=draw(st.none() | kept),
        sung=draw(st.none() | st.builds(Voice, st.floats(40, 999), st.floats(-600, 600), st.floats(0, 2000))),
        offer=draw(st.none() | st.builds(Offer, st.sampled_from(Why), st.text(max_size=90), ends=st.booleans())),
        troubles=(("log", sentence),) if sentence else (),
    )


@pytest.mark.parametrize("name", [name for name, sample in gallery.samples().items() if isinstance(sample, State)])
def test_nothing_on_a_sample_is_cut_or_covered(name: str) -> None:
    sample = gallery.samples()[name]
    assert isinstance(sample, State)
    assert screens.compose(sample).flaws() == []


@settings(max_examples=400, deadline=None)
@given(states())
def test_nothing_is_cut_or_covered_in_any_state(state: State) -> None:
    canvas = screens.compose(state)
    assert canvas.flaws() == []
    assert (canvas.image.mode, canvas.image.size) == ("1", (128, 64))
    assert not _edge_is_lit(canvas.image)


def _edge_is_lit(picture: Image.Image) -> bool:
    """Whether anything shines in the last column or row, which the moved picture needs."""
    box = picture.getbbox()
    return box is not None and (box[2] > SAFE_WIDTH or box[3] > SAFE_HEIGHT)


@settings(max_examples=40, deadline=None)
@given(states(), st.integers(0, 999), st.integers(0, 999))
def test_the_summary_of_many_tries_fits(state: State, tries: int, kept: int) -> None:
    attempt = Attempt(1, 0.0, 1, Outcome.SPOKE, None)
    done = replace(state, phase=Phase.DONE, attempts=(attempt,) * tries, kept=kept)
    assert screens.compose(done).flaws() == []


@given(st.text(max_size=400))
def test_a_fault_of_any_length_fits(sentence: str) -> None:
    assert notices.fault(sentence).flaws() == []
    assert not _edge_is_lit(notices.draw_fault(sentence))


def test_the_farewell_fits() -> None:
    assert notices.farewell().flaws() == []


@pytest.mark.parametrize("phase", Phase)
def test_every_label_has_its_signs_in_the_font(phase: Phase) -> None:
    assert set("".join(words.ROWS[phase])) <= set(fonts.small().rows)


def test_the_wanted_partial_shows_from_every_fingering_of_every_horn() -> None:
    """The written names with their flats and sharps all have glyphs in every size in which they are drawn."""
    for horn in HORNS.values():
        for fingering in fingerings_of(horn).values():
            tube = Series(horn, fingering)
            for partial in range(1, HIGHEST_PARTIAL + 1):
                name = pretty(tube.written_name(partial))
                for font in (fonts.small(), fonts.middle(), fonts.large()):
                    assert set(name) <= set(font.rows), name
