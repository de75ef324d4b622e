"""What the screen says is so: nothing hidden shines through, no label lies, no sound stands where it is not."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS
from airladder.music.series import Series
from airladder.panel import gallery, screens, words
from airladder.panel.heard import heard
from airladder.practice.exercise import Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.feedback import Feedback
from airladder.practice.presses import ROW, Button, Press
from airladder.practice.routine import Placed, Routine
from airladder.practice.session import step
from airladder.practice.state import Phase, State

SAMPLES = {name: sample for name, sample in gallery.samples().items() if isinstance(sample, State)}
TUBES = [Series(horn, fingering) for horn in HORNS.values() for fingering in fingerings_of(horn).values()]
cents = st.floats(-95, 95)


def pixels(state: State) -> bytes:
    """The drawn picture."""
    return screens.draw(state).tobytes()


def sounding(name: str, off: float) -> State:
    """A sample whose sound is `off` cents away from where it was invented."""
    state = SAMPLES[name]
    assert state.reading is not None
    assert state.reading.cents is not None
    reading = state.reading
    changed = replace(reading, cents=off, hz=reading.hz * 2 ** (off / 1200))
    return replace(state, reading=changed)


def answered(name: str, off: float) -> State:
    """A sample that waits for the player's guess, judged `off` cents away from where it was invented."""
    state = SAMPLES[name]
    assert state.judged is not None
    assert state.judged.tone is not None
    tone = replace(state.judged.tone, cents=off, hz=417.3 * 2 ** (off / 1200))
    return replace(state, judged=replace(state.judged, tone=tone, difference_cents=off))


@pytest.mark.parametrize("name", ["sounding-before-a-guess", "sounding-silently"])
@given(one=cents, other=cents)
@settings(deadline=None, max_examples=60)
def test_cents_that_are_kept_back_change_not_one_pixel_while_it_sounds(name: str, one: float, other: float) -> None:
    assert pixels(sounding(name, one)) == pixels(sounding(name, other))


@given(one=cents, other=cents)
@settings(deadline=None, max_examples=60)
def test_cents_that_are_to_be_guessed_change_not_one_pixel(one: float, other: float) -> None:
    assert pixels(answered("guess", one)) == pixels(answered("guess", other))


def test_cents_that_are_told_do_change_the_picture() -> None:
    """So that the two tests above are known to look at something."""
    assert pixels(sounding("sounding-usual", 0.0)) != pixels(sounding("sounding-usual", 20.0))


@pytest.mark.parametrize("name", ["compared", "spoke", "swelled"])
@given(off=st.floats(-9.9, 9.9))
@settings(deadline=None, max_examples=40)
def test_inside_the_band_a_result_is_the_same_whatever_the_cents(name: str, off: float) -> None:
    def result(off: float) -> State:
        state = SAMPLES[name]
        last = state.attempts[-1]
        assert last.tone is not None
        difference = None if last.difference_cents is None else off
        last = replace(last, tone=replace(last.tone, cents=off), difference_cents=difference)
        placed = state.routine.placed[state.place]
        ask = replace(placed.ask, feedback=Feedback(band_cents=10.0))
        routine = Routine("sample", (replace(placed.exercise, asks=(ask,)),))
        return replace(state, routine=routine, place=0, attempts=(*state.attempts[:-1], last))

    assert pixels(result(off)) == pixels(result(3.0))


@pytest.mark.parametrize("name", SAMPLES)
def test_the_signs_of_the_foot_switch_stand_where_it_does_the_same(name: str) -> None:
    state, labels = SAMPLES[name], dict(zip(ROW, words.row(SAMPLES[name]), strict=True))
    t = state.now + 1.0
    for button, label in labels.items():
        if words.PEDAL in label:
            assert step(state, Press(Button.FOOT, False, t)) == step(state, Press(button, False, t)), label
        if words.PEDAL_HELD in label:
            assert step(state, Press(Button.FOOT, True, t)) == step(state, Press(button, False, t)), label


@pytest.mark.parametrize(("button", "guess"), [(Button.DOWN, "flat"), (Button.UP, "sharp"), (Button.OK, "equal")])
def test_each_guess_is_the_one_that_stands_above_its_button(button: Button, guess: str) -> None:
    state = SAMPLES["guess"]
    label = dict(zip(ROW, words.row(state), strict=True))[button]
    kept = step(state, Press(button, False, state.now + 1.0))[0].attempts[-1].guess
    assert kept is not None
    assert label.startswith(guess)
    assert words.guessed(kept).endswith(guess)


def test_an_overtone_lies_as_far_from_its_usual_fingering_while_that_sounds_as_in_the_result() -> None:
    """The overtone at 419.0 Hz, its usual fingering at 417.3: 7 cents sharp (cents as Ellis, 1885)."""
    sounding, result = heard(SAMPLES["sounding-usual"]), heard(SAMPLES["compared"])
    assert sounding is not None
    assert result is not None
    assert sounding.cents == pytest.approx(1200 * math.log2(419.0 / 417.3))
    assert result.cents == SAMPLES["compared"].attempts[-1].difference_cents == 7.0
    for name in ("sounding-usual", "compared"):
        assert {"+7", "3 sharp of F5"} <= set(screens.compose(SAMPLES[name]).things())


def test_another_partial_of_a_usual_fingering_is_no_rung_and_is_named() -> None:
    sound = heard(SAMPLES["sounding-usual-too-high"])
    assert sound is not None
    assert (sound.partial, sound.cents) == (None, None)
    assert "partial 2 of F5" in screens.compose(SAMPLES["sounding-usual-too-high"]).things()


def test_the_split_of_a_usual_fingering_stands_on_no_rung_of_the_overtones() -> None:
    state = SAMPLES["sounding-usual"]
    assert state.reading is not None
    sound = heard(replace(state, reading=replace(state.reading, split=(1, 2))))
    assert sound is not None
    assert (sound.partial, sound.split) == (None, ())


@given(st.lists(st.sampled_from(sorted(SAMPLES)), min_size=2, max_size=6))
@settings(deadline=None, max_examples=40)
def test_a_state_has_one_picture_whatever_was_drawn_before(names: list[str]) -> None:
    first = {name: pixels(SAMPLES[name]) for name in names}
    assert {name: pixels(SAMPLES[name]) for name in reversed(names)} == first


@pytest.mark.parametrize("kind", Kind)
def test_every_exercise_on_every_tube_fits_the_screen_before_and_while_it_sounds(kind: Kind) -> None:
    for tube in TUBES:
        exercise = built(Wish(kind, tube))
        routine = Routine("any", (exercise,))
        for place, placed in enumerate(routine.placed):
            for state in _moments(routine, place, placed):
                assert screens.compose(state).flaws() == [], (str(tube.fingering), placed.ask)


def _moments(routine: Routine, place: int, placed: Placed) -> list[State]:
    reading = SAMPLES["sounding-sharp"].reading
    assert reading is not None
    begun = State(routine, Phase.WANTED, now=30.0, since=30.0, place=place)
    sound = replace(reading, partial=placed.ask.wanted or 3)
    return [
        begun,
        replace(begun, now=60.0),
        replace(begun, phase=Phase.SOUNDING, reading=sound, held_since=20.0),
        replace(begun, phase=Phase.GUESS),
    ]
