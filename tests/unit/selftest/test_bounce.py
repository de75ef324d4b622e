"""What edges say about a contact."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.panel.debounce import Edge
from airladder.practice.presses import Button
from airladder.selftest.bounce import LONGEST_S, SETTLE_S, pressing

UP, DOWN = Button.UP, Button.DOWN


def edges(button: Button, *times: float) -> list[Edge]:
    """Closing and opening in turn."""
    return [Edge(button, n % 2 == 0, t) for n, t in enumerate(times)]


def test_a_clean_press_has_two_edges_and_no_bounce() -> None:
    one = pressing(UP, edges(UP, 1.0, 1.2))
    assert (one.edges, one.bounce_s, one.closings, one.complaint) == (2, 0.0, 1, "")


def test_the_longer_of_closing_and_opening_is_told() -> None:
    one = pressing(UP, edges(UP, 1.0, 1.002, 1.003, 1.3, 1.304, 1.309))
    assert (one.edges, one.closings, one.complaint) == (6, 1, "")
    assert one.bounce_s == pytest.approx(0.009)


def test_chatter_that_goes_on_for_long_is_a_bad_joint() -> None:
    times = [1.0 + 0.01 * n for n in range(9)]
    assert pressing(UP, edges(UP, *times, 2.0)).complaint.startswith("chattered for 80 ms, 50 ms are allowed")


def test_a_contact_that_lets_go_in_the_middle_is_told() -> None:
    assert pressing(UP, edges(UP, 1.0, 1.1, 1.2, 1.3)).complaint.startswith("closed 2 times in one press")


def test_a_contact_that_stays_closed_is_stuck() -> None:
    assert pressing(UP, edges(UP, 1.0)).complaint.startswith("stays closed")


def test_another_button_in_its_place_means_crossed_wires() -> None:
    assert (
        pressing(UP, edges(DOWN, 1.0, 1.2)).complaint
        == "did not come, DOWN came in its place: their wires are crossed"
    )


def test_another_button_besides_means_that_wires_touch() -> None:
    both = sorted([*edges(UP, 1.0, 1.2), *edges(DOWN, 1.001, 1.201)], key=lambda edge: edge.t)
    assert pressing(UP, both).complaint == "came together with DOWN: their wires touch"


def test_another_button_that_is_only_let_go_is_no_fault() -> None:
    assert pressing(UP, [Edge(DOWN, False, 0.9), *edges(UP, 1.0, 1.2)]).complaint == ""


def test_nothing_at_all_is_told_as_that() -> None:
    assert pressing(UP, []).complaint == "did not come"


@given(
    st.lists(st.floats(0.0001, SETTLE_S / 12), max_size=6).filter(lambda steps: len(steps) % 2 == 0),
    st.floats(0.05, 2.0),
)
def test_whatever_chatters_shortly_at_its_ends_is_one_good_press(steps: list[float], held: float) -> None:
    times = [1.0]
    for step in steps:
        times.append(times[-1] + step)
    one = pressing(UP, edges(UP, *times, times[-1] + held))
    assert one.complaint == ""
    assert one.closings == 1
    assert one.bounce_s < LONGEST_S
