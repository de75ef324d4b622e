"""Note names in scientific pitch notation (ISO/ASA octave numbers: C4 is MIDI 60)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.faults import BadInput
from airladder.music.names import parse, pretty, spelled


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("A4", 69),
        ("C4", 60),
        ("Bb3", 58),
        ("B♭3", 58),
        ("a#3", 58),
        ("F#6", 90),
        ("Cb4", 59),
        ("B#3", 60),
        ("C-1", 0),
    ],
)
def test_names_have_their_midi_numbers(text: str, number: int) -> None:
    assert parse(text).number == number


@given(st.integers(0, 127), st.booleans())
def test_every_number_has_a_name_that_reads_back(number: int, flats: bool) -> None:
    assert parse(str(spelled(number, flats=flats))).number == number


@pytest.mark.parametrize("text", ["", "H3", "Bb", "3Bb", "Bbb3", "B flat", "Bb333"])
def test_what_is_no_note_name_is_said_so(text: str) -> None:
    with pytest.raises(
        BadInput, match=r"is no note name; wanted a letter, an accidental and an octave, like Bb3 or F#4\.$"
    ):
        parse(text)


def test_players_read_real_signs() -> None:
    assert (pretty("Bb3"), pretty(parse("F#6")), pretty("C4")) == ("B♭3", "F♯6", "C4")
