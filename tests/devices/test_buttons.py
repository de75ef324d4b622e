"""Pins of gpiozero's mock factory become edges, and a board that is not there is told. Untested on hardware."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from gpiozero.pins.mock import MockFactory

from airladder.devices.buttons import Buttons
from airladder.devices.clock import StillClock
from airladder.devices.pins import pin_map
from airladder.faults import Fault
from airladder.panel.debounce import Debouncer, Edge
from airladder.practice.presses import Button


@pytest.fixture
def factory() -> Iterator[MockFactory]:
    made = MockFactory()
    yield made
    made.reset()


class Bench:
    """Buttons on mock pins, a clock that moves when told, and all edges that came."""

    def __init__(self, factory: MockFactory) -> None:
        self.edges: list[Edge] = []
        self.clock = StillClock(datetime(2024, 1, 1, tzinfo=UTC))
        self.pins = {button: factory.pin(f"GPIO{pin}") for button, pin in pin_map().buttons.items()}
        self.buttons = Buttons(pin_map().buttons, self.edges.append, self.clock, factory)

    def turn(self, button: Button, down: bool, after: float) -> None:
        """Move a contact, some seconds from now."""
        self.clock.sleep(after)
        (self.pins[button].drive_low if down else self.pins[button].drive_high)()


@pytest.fixture
def bench(factory: MockFactory) -> Iterator[Bench]:
    made = Bench(factory)
    yield made
    made.buttons.close()


@pytest.mark.parametrize("button", list(Button))
def test_a_button_that_goes_low_is_down_and_back_up_is_up(bench: Bench, button: Button) -> None:
    bench.turn(button, True, 1.0)
    bench.turn(button, False, 0.25)
    assert bench.edges == [Edge(button, True, 1.0), Edge(button, False, 1.25)]


def test_every_pin_is_pulled_up_and_listens_to_both_edges_without_a_bounce_time(bench: Bench) -> None:
    assert {pin.pull for pin in bench.pins.values()} == {"up"}
    assert {pin.function for pin in bench.pins.values()} == {"input"}
    assert {pin.bounce for pin in bench.pins.values()} == {None}
    assert {pin.edges for pin in bench.pins.values()} == {"both"}


def test_chatter_comes_through_whole_for_the_debouncer_to_judge(bench: Bench) -> None:
    for turn in range(7):
        bench.turn(Button.UP, turn % 2 == 0, 0.001)
    assert [edge.down for edge in bench.edges] == [True, False, True, False, True, False, True]
    assert [edge.t for edge in bench.edges] == pytest.approx([0.001 * n for n in range(1, 8)])


CHATTER = (0.0, 0.001, 0.0005, 0.002, 0.001)  # a contact closes, or opens, three times within 4.5 ms


@pytest.mark.parametrize(("held", "long"), [(0.05, False), (0.5, False), (0.7, True), (3.0, True)])
def test_chatter_at_both_ends_becomes_one_press(bench: Bench, held: float, long: bool) -> None:
    for down in (True, False):
        bench.clock.sleep(held)
        for turn, after in enumerate(CHATTER):
            bench.turn(Button.FOOT, down == (turn % 2 == 0), after)
    assert len(bench.edges) == 10
    debouncer = Debouncer()
    presses = [press for edge in bench.edges for press in debouncer.edge(edge)]
    presses += debouncer.time(bench.clock.monotonic() + 1.0)
    assert [(press.button, press.long) for press in presses] == [(Button.FOOT, long)]


def test_no_thread_of_gpiozero_runs_for_the_buttons(bench: Bench) -> None:
    assert [thread.name for thread in threading.enumerate() if "gpio" in type(thread).__module__] == []


def test_after_close_nothing_comes_and_the_pins_are_free(factory: MockFactory) -> None:
    bench = Bench(factory)
    bench.buttons.close()
    bench.buttons.close()
    bench.turn(Button.OK, True, 1.0)
    assert bench.edges == []
    again = Buttons(pin_map().buttons, bench.edges.append, bench.clock, factory)
    bench.turn(Button.OK, True, 1.0)
    bench.turn(Button.OK, False, 1.0)
    assert [edge.down for edge in bench.edges] == [True, False]
    again.close()


def test_a_pin_that_is_taken_is_told_and_the_others_are_given_back(factory: MockFactory, bench: Bench) -> None:
    bench.buttons.close()
    taken = Buttons({Button.OK: 13}, bench.edges.append, bench.clock, factory)
    with pytest.raises(Fault, match=r"^The ok button's pin GPIO13 cannot be had \(.*GPIO13.*\); end what else uses"):
        Buttons(pin_map().buttons, bench.edges.append, bench.clock, factory)
    taken.close()
    Buttons(pin_map().buttons, bench.edges.append, bench.clock, factory).close()


def test_without_the_board_one_sentence_says_so_and_nothing_else_is_tried(
    monkeypatch: pytest.MonkeyPatch, bench: Bench
) -> None:
    monkeypatch.setitem(sys.modules, "lgpio", None)
    monkeypatch.delitem(sys.modules, "gpiozero.pins.lgpio", raising=False)
    monkeypatch.setenv("GPIOZERO_PIN_FACTORY", "mock")  # what gpiozero would fall back to
    with pytest.raises(Fault, match=r"^The buttons need the Python packages gpiozero and lgpio, .* pip install gpio"):
        Buttons(pin_map().buttons, bench.edges.append, bench.clock)
