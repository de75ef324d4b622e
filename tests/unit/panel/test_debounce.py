"""The debouncer: one press is one press, however the contact bounces and however seldom anyone looks."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.panel.debounce import Debouncer, Edge
from airladder.practice.presses import Button, Press

SETTLE, LONG = 0.02, 0.6
AT_LAST = 1e6


def played(edges: list[Edge], looks: list[float] | None = None) -> list[Press]:
    """The presses from these edges, without those of holding on (`test_holding` looks at them).

    `time` is called at `looks` between the edges, and once long after the end.
    """
    debouncer = Debouncer(SETTLE, LONG)
    events: list[tuple[float, Edge | None]] = [(edge.t, edge) for edge in edges]
    events += [(t, None) for t in looks or []]
    presses: list[Press] = []
    for t, edge in sorted(events, key=lambda event: event[0]):
        presses += debouncer.time(t) if edge is None else debouncer.edge(edge)
    presses += debouncer.time(AT_LAST)
    first = [press for press in presses if not press.again]
    return sorted(first, key=lambda press: (press.t, press.button.value))


def edges_of(button: Button, *times: float) -> list[Edge]:
    """Edges that begin with a press and then alternate."""
    return [Edge(button, i % 2 == 0, t) for i, t in enumerate(times)]


@dataclass(frozen=True)
class Hold:
    """One real press: the rest before it, how long it is held, and the chatter at its two ends (s between edges)."""

    rest: float
    held: float
    closing: list[float]
    opening: list[float]


chatter = st.lists(st.floats(0.0001, 0.004), max_size=4).map(lambda gaps: gaps[: len(gaps) // 2 * 2])
lengths = st.floats(0.05, 0.5) | st.floats(0.7, 3.0)
holds = st.builds(Hold, st.floats(0.05, 2.0), lengths, chatter, chatter)


def bounced(button: Button, presses: list[Hold]) -> tuple[list[Edge], list[Press]]:
    """The edges of such presses, and the presses that they are."""
    t, edges, wanted = 0.0, [], []
    for hold in presses:
        t = times = t + hold.rest
        run = [times]
        for gap in hold.closing:
            times += gap
            run.append(times)
        pressed = times
        times = pressed + hold.held
        run.append(times)
        for gap in hold.opening:
            times += gap
            run.append(times)
        edges += edges_of(button, *run)
        is_long = hold.held >= LONG
        wanted.append(Press(button, is_long, pressed + LONG if is_long else times))
        t = times
    return edges, wanted


@given(st.lists(holds, max_size=6))
def test_chatter_shorter_than_the_settling_time_gives_exactly_one_press_each(presses: list[Hold]) -> None:
    edges, wanted = bounced(Button.OK, presses)
    assert played(edges) == wanted


@given(st.lists(holds, max_size=4), st.lists(st.floats(0, 12), max_size=40))
def test_presses_do_not_depend_on_how_often_anyone_looks(presses: list[Hold], looks: list[float]) -> None:
    edges, wanted = bounced(Button.FOOT, presses)
    assert played(edges, looks) == wanted


@given(st.lists(st.floats(0.0001, 0.5), max_size=60), st.lists(st.floats(0, 20), max_size=20))
def test_any_edges_at_all_are_judged_alike_however_often_anyone_looks(gaps: list[float], looks: list[float]) -> None:
    times = [sum(gaps[: i + 1]) for i in range(len(gaps))]
    edges = edges_of(Button.UP, *times)
    assert played(edges, looks) == played(edges)


@given(st.lists(holds, max_size=3), st.lists(holds, max_size=3), st.lists(holds, max_size=3))
def test_buttons_held_at_once_do_not_disturb_each_other(ok: list[Hold], foot: list[Hold], up: list[Hold]) -> None:
    runs = [bounced(button, run) for button, run in ((Button.OK, ok), (Button.FOOT, foot), (Button.UP, up))]
    edges = sorted((edge for run, _ in runs for edge in run), key=lambda edge: edge.t)
    wanted = sorted((press for _, run in runs for press in run), key=lambda press: (press.t, press.button.value))
    assert played(edges) == wanted


@given(st.lists(st.tuples(st.booleans(), st.floats(0.0001, 1.0)), max_size=60))
def test_lost_edges_never_give_more_presses_than_closings(levels: list[tuple[bool, float]]) -> None:
    t, edges = 0.0, []
    for down, gap in levels:
        t += gap
        edges.append(Edge(Button.DOWN, down, t))
    assert len(played(edges)) <= sum(edge.down for edge in edges)


def test_a_spike_is_no_press() -> None:
    assert played(edges_of(Button.BACK, 1.0, 1.01)) == []


def test_a_short_press_is_told_once_its_release_has_settled_and_bears_the_time_of_the_release() -> None:
    debouncer = Debouncer(SETTLE, LONG)
    debouncer.edge(Edge(Button.OK, True, 1.0))
    debouncer.edge(Edge(Button.OK, False, 1.2))
    assert debouncer.time(1.215) == []
    assert debouncer.time(1.221) == [Press(Button.OK, long=False, t=1.2)]
    assert debouncer.time(9.0) == []


def test_a_long_press_is_told_while_it_is_still_held_and_its_release_says_nothing() -> None:
    debouncer = Debouncer(SETTLE, LONG)
    debouncer.edge(Edge(Button.FOOT, True, 1.0))
    assert debouncer.time(1.59) == []
    (press,) = debouncer.time(1.61)
    assert (press.button, press.long) == (Button.FOOT, True)
    assert press.t == pytest.approx(1.6)
    assert debouncer.edge(Edge(Button.FOOT, False, 2.0)) == []
    assert debouncer.time(3.0) == []


def test_a_release_just_before_the_long_time_makes_a_short_press_although_it_settles_after_it() -> None:
    assert played(edges_of(Button.OK, 1.0, 1.595), [1.6, 1.605, 1.61]) == [Press(Button.OK, long=False, t=1.595)]


def test_a_contact_that_opens_for_a_moment_in_a_long_press_does_not_break_it() -> None:
    (press,) = played(edges_of(Button.OK, 1.0, 1.3, 1.31, 2.0))
    assert press.long
    assert press.t == pytest.approx(1.6)


def test_a_lost_release_swallows_one_press_at_most_and_then_all_is_well() -> None:
    lost = [Edge(Button.UP, True, 1.0), *edges_of(Button.UP, 5.0, 5.2), *edges_of(Button.UP, 7.0, 7.2)]
    assert [(press.long, press.t) for press in played(lost)] == [(True, 1.6), (False, 7.2)]


def test_a_repeated_report_of_the_open_contact_mends_a_lost_release() -> None:
    edges = [Edge(Button.UP, True, 1.0), Edge(Button.UP, False, 1.3), Edge(Button.UP, False, 1.4)]
    assert played(edges) == [Press(Button.UP, long=False, t=1.3)]


def test_a_button_held_at_the_start_that_is_let_go_is_no_press() -> None:
    assert played([Edge(Button.OK, False, 0.5)]) == []


def test_presses_of_one_look_come_in_the_order_in_which_they_were_made() -> None:
    debouncer = Debouncer(SETTLE, LONG)
    for edge in (*edges_of(Button.OK, 1.0, 1.3), *edges_of(Button.BACK, 1.1, 1.2)):
        debouncer.edge(edge)
    assert [press.button for press in debouncer.time(2.0)] == [Button.BACK, Button.OK]
