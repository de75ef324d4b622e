"""How fingerings and shares are said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.practice.coach.wording import PRACTISED, about, spoken


@pytest.mark.parametrize(
    ("name", "said"),
    [("Bb3", "low B flat"), ("C#4", "low C sharp"), ("A3", "low A"), ("D4", "low D"), ("Eb4", "E flat"), ("G4", "G")],
)
def test_fingerings_are_called_as_players_call_them(name: str, said: str) -> None:
    assert spoken(name) == said


def test_an_unknown_fingering_keeps_its_name() -> None:
    assert spoken("X9") == "X9"


def test_all_fingerings_of_the_practice_are_known_and_called_differently() -> None:
    assert list(PRACTISED) == [
        *("A3", "Bb3", "B3", "C4", "C#4", "D4", "Eb4", "E4", "F4", "F#4", "G4", "G#4", "A4"),
    ]  # low A to D are long, E flat to A short: common practice
    assert len({spoken(name) for name in PRACTISED}) == len(PRACTISED)


@pytest.mark.parametrize(
    ("right", "tries", "said"),
    [
        (14, 84, "about 1 of 6 tries"),
        (0, 84, "none of 84 tries"),
        (9, 9, "all of 9 tries"),
        (3, 84, "3 of 84 tries"),
        (31, 61, "about 1 of 2 tries"),
        (62, 100, "about 5 of 8 tries"),
        (95, 100, "95 of 100 tries"),
    ],
)
def test_shares_are_said_in_round_numbers(right: int, tries: int, said: str) -> None:
    assert about(right, tries) == said


@given(st.integers(1, 300).flatmap(lambda tries: st.tuples(st.integers(0, tries), st.just(tries))))
def test_what_is_said_is_near_the_truth(result: tuple[int, int]) -> None:
    right, tries = result
    words = about(right, tries).replace("none", "0").replace("all", str(tries)).removeprefix("about ").split()
    assert int(words[0]) / int(words[2]) == pytest.approx(right / tries, abs=0.06)
