"""The words and numbers of the screen: short enough, honest, the trade's own, and for every case there is one."""

from __future__ import annotations

import inspect
import re
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.hearing.events import Kind
from airladder.panel import fonts, words
from airladder.practice.attempt import Guess
from airladder.practice.judge import Outcome
from airladder.practice.presses import ROW, Button
from airladder.practice.state import Phase


@pytest.mark.parametrize(
    ("cents", "text"),
    [
        (12.4, "+12"),
        (-7.0, "−7"),
        (0.4, "0"),
        (-0.4, "0"),
        (123.0, "+123"),
        (-999.0, "−999"),
        (None, "–"),
        (1000, "–"),
    ],
)
def test_cents_are_whole_and_signed_with_a_real_minus(cents: float | None, text: str) -> None:
    assert words.signed(cents) == text


@given(st.floats(allow_nan=True, allow_infinity=True))
def test_cents_fit_their_place_whatever_is_measured(cents: float) -> None:
    text = words.signed(cents)
    assert len(text) <= 4
    assert set(text) <= set(fonts.large().rows)


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [(0.238, 2, "0.24"), (9.97, 1, "10.0"), (0.0, 1, "0.0"), (12.34, 2, "12.3"), (123.4, 1, "123"), (1e9, 1, "9999")],
)
def test_seconds_lose_decimals_as_they_grow(value: float, digits: int, text: str) -> None:
    assert words.seconds(value, digits) == text


def test_partials_at_once_are_joined_and_more_than_three_are_not_cut_in_silence() -> None:
    assert words.together((2, 3)) == "2+3"
    assert words.together((2, 3, 4, 5)) == "2+3+4…"


@given(st.text(max_size=40), st.integers(2, 20))
def test_a_line_is_whole_or_ends_in_an_ellipsis(text: str, most: int) -> None:
    line = words.fitting(text, most)
    assert len(line) <= most
    assert line == text or (line.endswith("…") and text.startswith(line[:-1]))


def test_a_slur_that_went_another_way_says_which_way_and_never_that_it_was_not_what_it_was() -> None:
    assert words.went((2, 4)) == "it went 2-4"
    assert words.went((3,)) == "only 3 stood"


@pytest.mark.parametrize(
    ("held", "swell_db", "text"),
    [(7.62, 7.2, "held 7.6, +7 dB"), (12.3, -3.0, "held 12.3, −3 dB"), (0.6, None, "no swell heard")],
)
def test_a_swell_tells_how_long_it_was_held_and_how_much_it_grew(
    held: float, swell_db: float | None, text: str
) -> None:
    assert words.swelled(held, swell_db) == text


@pytest.mark.parametrize(
    ("cents", "way", "told"),
    [
        (3.4, Guess.IN_TUNE, "3 equal to F5"),
        (-3.0, Guess.IN_TUNE, "3 equal to F5"),
        (3.6, Guess.SHARP, "3 sharp of F5"),
        (-12.0, Guess.FLAT, "3 flat of F5"),
    ],
)
def test_what_was_guessed_is_right_where_it_was_so_and_equal_means_within_three_cents(
    cents: float, way: Guess, told: str
) -> None:
    assert words.than(cents, 3, "F5") == told
    for guess in Guess:
        said = words.guessed(guess, cents)
        assert said == (
            f"{words.GUESSES[way]}, well heard"
            if guess is way
            else f"{words.GUESSES[way]}, not {words.GUESSES[guess]}"
        )
        assert len(said) <= 17
        assert words.guessed(guess) == f"you said {words.GUESSES[guess]}"


@pytest.mark.parametrize("phase", Phase)
def test_every_phase_names_every_button_in_at_most_six_signs(phase: Phase) -> None:
    labels = words.ROWS[phase]
    assert all(len(label) <= 6 for label in labels)
    assert phase is Phase.OVER or labels[0] != ""


def test_the_buttons_are_named_from_left_to_right() -> None:
    spoken = [re.sub(f"[{words.PEDAL}{words.PEDAL_HELD}]", "", label) for label in words.ROWS[Phase.WANTED]]
    assert list(zip(ROW, spoken, strict=True)) == [
        (Button.BACK, "end"),
        (Button.DOWN, "down"),
        (Button.UP, "up"),
        (Button.OK, "again"),
    ]


@pytest.mark.parametrize("phase", [Phase.WANTED, Phase.SOUNDING, Phase.RESULT])
def test_the_foot_switch_repeats_when_pressed_and_goes_on_when_held(phase: Phase) -> None:
    labels = dict(zip(ROW, words.ROWS[phase], strict=True))
    assert words.PEDAL in labels[Button.OK]
    assert words.PEDAL_HELD in labels[Button.UP]


def test_every_outcome_and_every_beginning_has_a_word() -> None:
    assert set(words.OUTCOMES) == set(Outcome)
    assert set(words.BEGINNINGS) == set(get_args(Kind))


def test_no_word_is_one_that_the_design_forbids() -> None:
    """The design: no dial, needle, strobe, face or star."""
    told = inspect.getsource(words).casefold()
    assert not re.search(r"dial|needle|strobe|smiley|\bstars?\b", told)
