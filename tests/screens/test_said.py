"""The words of a screen in the cases that no golden shows: two wishes at once, long slurs, several tries together."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.music.usual import Interval
from airladder.pages.box import Box
from airladder.panel import gallery, screens, words
from airladder.practice.ask import Ask, Start, Task
from airladder.practice.attempt import Asked, Attempt, Guess
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.feedback import Feedback
from airladder.practice.judge import Outcome
from airladder.practice.routine import Routine
from airladder.practice.state import Phase, State


def sample(name: str) -> State:
    state = gallery.samples()[name]
    assert isinstance(state, State)
    return state


def said(state: State) -> list[str]:
    """The lines on the screen, without the labels of the buttons."""
    canvas = screens.compose(state)
    assert canvas.flaws() == []
    return canvas.things()[sum(label != "" for label in words.row(state)) :]


def asking(name: str, **changed: object) -> State:
    """A sample whose ask is another one."""
    state = sample(name)
    exercise = state.exercise
    ask: Ask = replace(state.ask, **changed)  # type: ignore[arg-type]  # names are checked by the dataclass itself
    routine = Routine("sample", (replace(exercise, asks=(*exercise.asks[: state.place], ask)),))
    return replace(state, routine=routine)


def with_last(state: State, **changed: object) -> State:
    """The state with another newest try."""
    last: Attempt = replace(state.attempts[-1], **changed)  # type: ignore[arg-type]  # as above
    return replace(state, attempts=(*state.attempts[:-1], last))


def test_a_start_and_a_length_are_both_asked_for() -> None:
    both = said(asking("wanted-swell", start=Start.AIR))
    assert both[-2:] == ["with air alone", "hold 8 s, swell"]


def test_before_a_slur_there_is_a_silent_moment_too_and_then_its_start_is_named() -> None:
    assert said(asking("wanted-slur", hush=10.0))[-2:] == ["hear it", "slurs"]
    assert said(asking("wanted-slur", start=Start.AIR))[-2:] == ["in one breath,", "with air alone"]
    assert said(sample("wanted-slur"))[-2:] == ["in one breath,", "no new start"]


def test_a_slur_too_long_for_its_line_is_not_cut_in_silence() -> None:
    long = said(asking("wanted-slur", partials=(2, 3, 4, 5, 6, 5, 4, 3)))
    assert "2–3–4–5–6–…" in long


def test_a_routine_without_single_partials_tells_no_rungs() -> None:
    slurs = sample("slurred")
    assert "rungs" not in said(replace(slurs, phase=Phase.DONE))
    assert "rungs" in said(sample("done"))


def test_a_trouble_stands_below_the_usual_fingering_that_is_asked_for() -> None:
    troubled = replace(sample("wanted-octave-below"), troubles=(("log", "The disk is full."),))
    assert said(troubled)[0] == "usual F4"
    assert said(replace(sample("wanted"), troubles=troubled.troubles))[0] == "partial 3, F5"


def test_what_was_guessed_of_a_partial_alone_is_told_and_another_start_comes_first() -> None:
    assert "sharp, not flat" in said(with_last(sample("held"), guess=Guess.FLAT))
    assert "sharp, well heard" in said(with_last(sample("held"), guess=Guess.SHARP))
    assert "you said flat" in said(with_last(sample("inside-the-band"), guess=Guess.FLAT))
    other = said(with_last(sample("other-start"), guess=Guess.FLAT))
    assert "tongued, not air" in other
    assert "sharp, not flat" not in other


def test_a_usual_fingering_that_cracked_says_by_way_of_what() -> None:
    state = sample("compared-octave")
    tone = state.attempts[-1].tone
    assert tone is not None
    cracked = with_last(state, outcome=Outcome.CRACKED, tone=replace(tone, path=((2, 0.2), (1, 2.0))))
    assert said(cracked)[-1] == "by way of 2"
    assert said(state)[-1] == "octave below 3"


@pytest.mark.parametrize(("every", "together"), [(2, "−4 +7"), (3, "+12 −4 +7")])
def test_differences_are_told_together_without_the_cents_of_the_overtones_between(every: int, together: str) -> None:
    state = sample("compared")
    overtone, compared = state.attempts
    asked = Asked("compare", "F5", Task.USUAL, (1,), interval=Interval.UNISON.value)
    tries = tuple(replace(compared, asked=asked, difference_cents=cents) for cents in (12.0, -4.0, 7.0))
    quiet = asking("compared", feedback=Feedback(every=every))
    pairs = tuple(one for each in tries for one in (overtone, each))
    assert together in said(replace(quiet, attempts=pairs))


def test_cents_of_many_tries_together_are_set_in_small_type_and_a_split_keeps_its_place() -> None:
    state = asking("three-together", feedback=Feedback(every=6))
    tries = (*state.attempts, replace(state.attempts[0], outcome=Outcome.SPLIT), *state.attempts[1:])
    lines = said(replace(state, attempts=tries))
    assert [line for line in lines if line.startswith("−12")] == ["−12 +4 +9 – +4 +9"]


def test_a_slur_of_one_partial_alone_is_not_said_to_be_another_one() -> None:
    state = sample("slurred-another-way")
    tone = state.attempts[-1].tone
    assert tone is not None
    alone = with_last(state, tone=replace(tone, partial=3, path=((3, 1.5),)))
    assert "only 3 stood" in said(alone)


@pytest.mark.parametrize("name", ["hushed", "wanted", "wanted-air", "wanted-listen"])
def test_the_name_of_every_exercise_stands_beside_what_is_wanted(name: str) -> None:
    for kind in Kind:
        found = gallery.samples()[name]
        state = found.session if isinstance(found, Box) else found
        assert isinstance(state, State)
        routine = Routine("sample", (Exercise(kind, state.exercise.series, state.exercise.asks),))
        assert said(replace(state, routine=routine))[-1] == kind.value


def test_while_the_box_sounds_it_says_listen_and_the_press_that_ends_it() -> None:
    box = gallery.samples()["wanted-listen"]
    assert isinstance(box, Box)
    assert box.session is not None
    assert words.LISTEN in said(box.session)
    assert words.row(box.session)[3] == "hush" + words.PEDAL
    quiet = replace(box.session, sounds_until=None)
    assert words.LISTEN not in said(quiet)
    assert words.row(quiet)[3] == "hear" + words.PEDAL
