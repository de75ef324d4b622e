"""Buttons one by one: a pin that somebody else has hinders no other button."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from datetime import UTC, datetime

import pytest

from airladder.app.pulse import Pulses
from airladder.appliance import hands as hands_module
from airladder.appliance.hands import BUTTONS, PatientHands, shared
from airladder.devices.clock import StillClock
from airladder.faults import Fault
from airladder.pages.events import Handless
from airladder.practice.presses import Button
from airladder.practice.session import Trouble

PINS = {button: number for number, button in enumerate(Button, 2)}


class Contact:
    """One that can be closed once."""

    def __init__(self) -> None:
        self.closed = 0

    def close(self) -> None:
        """Closed."""
        self.closed += 1


class Board:
    """Pins of which some are taken."""

    def __init__(self, *taken: Button) -> None:
        self.taken = {*taken}
        self.had: dict[Button, Contact] = {}

    def listen(self, pins: Mapping[Button, int]) -> Contact:
        """Those pins."""
        (button,) = pins
        if button in self.taken:
            raise Fault(f"The {button.value} button's pin GPIO{pins[button]} cannot be had.")
        self.had[button] = Contact()
        return self.had[button]


def pulses() -> Pulses:
    return Pulses(StillClock(datetime(2026, 1, 1, tzinfo=UTC)))


def test_when_all_can_be_had_nothing_is_said_and_all_are_given_back() -> None:
    board, told = Board(), list[Trouble | Handless]()
    hands = PatientHands(PINS, board.listen, told.append, pulses())
    hands.close()
    assert told == []
    assert [board.had[button].closed for button in Button] == [1] * len(Button)


def test_one_that_is_taken_is_told_and_the_others_work() -> None:
    board, told = Board(Button.UP), list[Trouble | Handless]()
    hands = PatientHands(PINS, board.listen, told.append, pulses())
    hands.close()
    assert set(board.had) == {*Button} - {Button.UP}
    assert [one.about for one in told if isinstance(one, Trouble)] == [BUTTONS]
    assert "up button" in str(told[0])
    assert not any(isinstance(one, Handless) for one in told)


def test_with_none_at_all_the_pages_are_told_and_told_again_when_one_comes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hands_module, "RETRY_S", 0.01)
    board, told, well = Board(*Button), list[Trouble | Handless](), threading.Event()

    def post(news: Trouble | Handless) -> None:
        told.append(news)
        if news == Trouble(BUTTONS, ""):
            well.set()

    hands = PatientHands(PINS, board.listen, post, pulses())
    assert told[0] == Handless(none=True)
    board.taken.clear()
    assert well.wait(5.0)
    hands.close()
    assert told[-2:] == [Handless(none=False), Trouble(BUTTONS, "")]
    assert set(board.had) == {*Button}


def test_what_all_share_is_made_once_and_again_only_after_a_failure() -> None:
    made: list[int] = []

    def make() -> int:
        made.append(len(made))
        if len(made) == 1:
            raise Fault("not yet.")
        return len(made)

    give = shared(make)
    with pytest.raises(Fault):
        give()
    assert [give(), give()] == [2, 2]
