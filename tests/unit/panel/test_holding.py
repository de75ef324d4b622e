"""Buttons held on, leant on, chattering: against a slow model that looks at every single tick.

Times are whole ticks of 2 ms wherever the model is asked, so that nothing depends on how decimals are rounded.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.panel.debounce import REPEATING, Debouncer, Edge
from airladder.practice.presses import ROW, Button, Press

SETTLE, LONG, REPEAT, STUCK = 10, 300, 74, 4000
"""20 ms, 0.6 s, 8 s in ticks; 0.148 s, so that one repeat falls on the very tick at which it is too late."""

Run = list[tuple[bool, int]]
"""Levels of a contact, closed or open, each with how many ticks it lasts."""


@dataclass
class SlowContact:
    """One button as a list of levels, asked at every tick what a patient watcher with a stopwatch would say."""

    button: Button
    levels: list[bool] = field(default_factory=list)
    pressed: int | None = None
    long: int | None = None

    def tick(self, level: bool) -> list[Press]:
        """One more tick at this level; what is to be said at its end."""
        self.levels.append(level)
        now, newest = len(self.levels), self.levels[-SETTLE:]
        if len(newest) == SETTLE and all(newest):
            return self._closed(now)
        if not any(newest) and self.pressed is not None:
            pressed, told, opened = self.pressed, self.long is not None, now - len(newest)
            self.pressed = self.long = None
            return [] if told or opened - pressed >= STUCK else [Press(self.button, False, opened)]
        return []

    def _closed(self, now: int) -> list[Press]:
        if self.pressed is None:
            self.pressed = now - SETTLE
        if now - self.pressed < LONG or now - self.pressed >= STUCK:
            return []
        if self.long is None:
            self.long = now
            return [Press(self.button, True, now)]
        its_turn = (now - self.long) % REPEAT == 0 and self.button in (Button.UP, Button.DOWN)
        return [Press(self.button, True, now, again=True)] if its_turn else []


def slowly(button: Button, run: Run) -> list[Press]:
    """What the model says of a run."""
    contact = SlowContact(button)
    return [press for level, ticks in run for _ in range(ticks) for press in contact.tick(level)]


def edges_of(button: Button, run: Run) -> list[Edge]:
    """The edges of a run, also such as change nothing."""
    starts = [sum(ticks for _, ticks in run[:i]) for i in range(len(run))]
    return [Edge(button, level, start) for (level, _), start in zip(run, starts, strict=True)]


def told(edges: list[Edge], looks: list[int], debouncer: Debouncer | None = None) -> list[Press]:
    """What the debouncer tells, in the order in which it tells it; edges come before a look at the same tick."""
    debouncer = debouncer or Debouncer(SETTLE, LONG, repeat_every=REPEAT, stuck_after=STUCK)
    events: list[tuple[float, Edge | None]] = [*((edge.t, edge) for edge in edges), *((t, None) for t in looks)]
    presses: list[Press] = []
    for t, edge in sorted(events, key=lambda event: event[0]):
        presses += debouncer.time(t) if edge is None else debouncer.edge(edge)
    return presses


def chatter(ticks: int) -> Run:
    """100 Hz: 5 ms closed, 5 ms open (2 and 3 ticks), for about so many ticks."""
    return [(True, 2), (False, 3)] * (ticks // 5)


lengths = st.integers(1, 15) | st.integers(SETTLE, LONG + 3 * REPEAT) | st.integers(STUCK - 20, STUCK + 20)
levels = st.lists(st.tuples(st.booleans(), lengths), max_size=12)
shaken = st.integers(1, STUCK + 100).map(chatter)
wavering = st.lists(st.tuples(st.integers(1, 90), st.integers(1, SETTLE)), max_size=25).map(
    lambda pairs: [(True, 60), *(one for closed, opened in pairs for one in ((False, opened), (True, closed)))]
)
runs = st.lists(levels | shaken | wavering, max_size=4).map(lambda parts: [one for part in parts for one in part])


@settings(max_examples=250, deadline=None)
@given(st.sampled_from(Button), runs, st.lists(st.integers(0, 20_000), max_size=60))
def test_it_says_what_the_slow_model_says_however_often_anyone_looks(
    button: Button, run: Run, looks: list[int]
) -> None:
    end = sum(ticks for _, ticks in run)
    presses = told(edges_of(button, run), [look for look in looks if look <= end] + [end])
    assert presses == slowly(button, run)


def held(button: Button, seconds: float) -> tuple[Debouncer, list[Press]]:
    """A button held for so long from 1 s on, looked at ten times a second, and once more when it has been let go."""
    debouncer, released = Debouncer(), 1.0 + seconds
    presses = debouncer.edge(Edge(button, True, 1.0))
    for n in range(11, int(released * 10) + 1):
        presses += debouncer.time(n / 10)
    presses += debouncer.edge(Edge(button, False, released))
    return debouncer, presses + debouncer.time(released + 2.0)


@pytest.mark.parametrize("button", REPEATING)
def test_up_and_down_held_for_1_2_seconds_go_on_four_times(button: Button) -> None:
    """Long at 0.6 s; 0.75, 0.9, 1.05 and, just as it is let go, 1.2 s."""
    _, presses = held(button, 1.21)
    assert [press.t for press in presses] == pytest.approx([1.6, 1.75, 1.9, 2.05, 2.2])
    assert [(press.long, press.again) for press in presses] == [(True, False)] + [(True, True)] * 4


@pytest.mark.parametrize("button", [Button.BACK, Button.OK, Button.FOOT])
def test_what_does_not_walk_tells_a_long_press_once(button: Button) -> None:
    _, presses = held(button, 5.0)
    assert presses == [Press(button, True, 1.6)]


def test_a_button_under_a_tray_goes_on_for_eight_seconds_and_no_longer_and_then_works_again() -> None:
    debouncer, presses = held(Button.UP, 3600.0)
    assert presses[-1].t < 9.0 < presses[-1].t + 0.15 + 1e-9
    assert debouncer.stuck == frozenset()
    t = 4000.0
    assert debouncer.edge(Edge(Button.UP, True, t)) == []
    assert debouncer.edge(Edge(Button.UP, False, t + 0.2)) == []
    assert debouncer.time(t + 1.0) == [Press(Button.UP, False, t + 0.2)]


@pytest.mark.parametrize("button", Button)
def test_a_stuck_button_is_named_from_eight_seconds_on_until_it_has_opened(button: Button) -> None:
    debouncer = Debouncer()
    debouncer.edge(Edge(button, True, 1.0))
    debouncer.edge(Edge(Button.OK if button is Button.BACK else Button.BACK, True, 5.0))
    stuck = []
    for t in (8.99, 9.0, 12.0):
        debouncer.time(t)
        stuck.append(debouncer.stuck)
    assert stuck == [frozenset(), {button}, {button}]
    assert debouncer.edge(Edge(button, False, 12.5)) == []
    assert debouncer.time(12.6) == []
    assert debouncer.stuck == frozenset()


@pytest.mark.parametrize("seconds", [0.1, 2.0, 20.0])
@pytest.mark.parametrize("ends_closed", [True, False])
def test_chatter_at_100_hertz_tells_nothing_while_it_lasts_and_one_press_at_most_when_it_ends(
    seconds: float, ends_closed: bool
) -> None:
    run = chatter(int(seconds * 500))
    end = sum(ticks for _, ticks in run)
    debouncer = Debouncer(SETTLE, LONG, repeat_every=REPEAT, stuck_after=STUCK)
    assert told(edges_of(Button.UP, run), list(range(0, end, 7)), debouncer) == []
    rest = [Edge(Button.UP, ends_closed, end), Edge(Button.UP, False, end + 100)]
    after = told(rest, [end + 50, end + 200], debouncer)
    assert after == ([Press(Button.UP, False, end + 100)] if ends_closed else [])


@pytest.mark.parametrize("lead", range(185, 215))
@pytest.mark.parametrize("end", [[(False, 50)], [(True, 100), (False, 50)]])
def test_chatter_in_a_press_that_ends_round_about_eight_seconds_is_told_as_the_slow_model_tells_it(
    lead: int, end: Run
) -> None:
    run = [(True, lead), *chatter(3800), *end]
    presses = told(edges_of(Button.DOWN, run), [lead + 3950])
    assert presses == slowly(Button.DOWN, run)
    assert len(presses) == (lead <= (202 if len(end) == 1 else 189))


def test_chatter_in_the_middle_of_a_press_tells_nothing_and_never_repeats() -> None:
    """Closed for 0.4 s, then loose for 6 s, then open: the one press is told when it is over."""
    run = [(True, 200), *chatter(3000), (False, 50)]
    presses = told(edges_of(Button.DOWN, run), list(range(0, 3250, 7)))
    assert presses == [Press(Button.DOWN, False, 200 + 3000 - 3)]


def test_the_long_press_of_two_buttons_at_once_and_their_repeats_come_in_the_order_of_time() -> None:
    debouncer = Debouncer()
    debouncer.edge(Edge(Button.UP, True, 1.00))
    debouncer.edge(Edge(Button.DOWN, True, 1.05))
    debouncer.edge(Edge(Button.OK, True, 0.98))
    presses = debouncer.time(2.0)
    order = [Button.OK, Button.UP, Button.DOWN, Button.UP, Button.DOWN, Button.UP, Button.DOWN]
    assert [press.button for press in presses] == order
    assert [press.t for press in presses] == sorted(press.t for press in presses)


@settings(max_examples=60, deadline=None)
@given(st.lists(runs, min_size=len(ROW), max_size=len(ROW)))
def test_buttons_at_once_each_tell_what_they_tell_alone(all_runs: list[Run]) -> None:
    edges = [edge for button, run in zip(ROW, all_runs, strict=True) for edge in edges_of(button, run)]
    end = max(sum(ticks for _, ticks in run) for run in all_runs)
    together = told(edges, [end])
    for button, run in zip(ROW, all_runs, strict=True):
        last = run[-1][0] if run else False
        padded = [*run, (last, end - sum(ticks for _, ticks in run))]
        assert [press for press in together if press.button is button] == slowly(button, padded)
