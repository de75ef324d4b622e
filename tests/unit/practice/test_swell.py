"""A swell is the rise to the middle third or the fall from it, whichever is smaller."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.practice.swell import LEAST, swell_db


def levels(*values: float) -> list[tuple[float, float]]:
    return [(0.1 * n, value) for n, value in enumerate(values)]


@pytest.mark.parametrize(
    ("values", "swell"),
    [
        ([-30.0] * 5 + [-20.0] * 5 + [-30.0] * 5, 10.0),
        ([-30.0] * 5 + [-20.0] * 5 + [-24.0] * 5, 4.0),
        ([-26.0] * 5 + [-20.0] * 5 + [-30.0] * 5, 6.0),
        ([-20.0] * 5 + [-30.0] * 5 + [-20.0] * 5, -10.0),
        ([-20.0] * 15, 0.0),
        ([-30.0] * 3 + [-20.0] * 4 + [-30.0] * 3, 10.0),
        ([-30.0] * 3 + [-20.0] * 5 + [-30.0] * 3, 10.0),
        ([-60.0, *[-30.0] * 4] + [-20.0] * 5 + [-30.0] * 4 + [-70.0], 10.0),
    ],
)
def test_known_shapes(values: list[float], swell: float) -> None:
    assert swell_db(levels(*values)) == swell


def test_a_note_under_a_second_is_too_short_for_one() -> None:
    assert swell_db(levels(*[-20.0] * (LEAST - 1))) is None
    assert swell_db(levels(*[-20.0] * LEAST)) == 0.0
    assert swell_db([]) is None


@given(st.lists(st.floats(-80, -3), min_size=LEAST, max_size=120), st.floats(-20, 20))
def test_it_is_the_same_backwards_and_at_any_gain(values: list[float], gain: float) -> None:
    swell = swell_db(levels(*values))
    assert swell is not None
    assert swell_db(levels(*values[::-1])) == swell
    assert swell_db(levels(*[value + gain for value in values])) == pytest.approx(swell, abs=1e-9)


@given(st.lists(st.floats(-80, -3), min_size=LEAST, max_size=120).map(sorted))
def test_what_only_grows_is_no_swell(values: list[float]) -> None:
    swell = swell_db(levels(*values))
    assert swell is not None
    assert swell <= 0.0
