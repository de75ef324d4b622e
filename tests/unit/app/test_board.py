"""The box's start: a fault is a sentence on the screen and another try, never a crash loop."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from airladder.app.board import RETRY_SECONDS, buttons, patiently, screen
from airladder.app.order import Done
from airladder.devices.clock import StillClock
from airladder.faults import BadInput, Fault
from airladder.panel.notices import draw_fault
from airladder.practice.session import begin
from climbing import climb
from listening import series_of
from stage import KeptPictures

DONE = Done(begin(climb(series_of("alto", "Bb3"))), (), ())


def still() -> StillClock:
    return StillClock(datetime(2001, 1, 1, tzinfo=UTC))


def test_a_start_that_fails_shows_its_sentence_and_is_tried_again() -> None:
    display, clock = KeptPictures(), still()
    faults = [BadInput("horn: 'altoo' is no horn."), BadInput("a4: too high.")]

    def start() -> Done:
        if faults:
            raise faults.pop(0)
        return DONE

    assert patiently(start, display, clock) is DONE
    shown = [picture.tobytes() for picture in display.pictures]
    assert shown == [draw_fault(text).tobytes() for text in ("horn: 'altoo' is no horn.", "a4: too high.")]
    assert clock.monotonic() == 2 * RETRY_SECONDS


def test_what_is_no_fault_is_not_hidden() -> None:
    def start() -> Done:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        patiently(start, KeptPictures(), still())


def test_without_its_bus_the_screen_is_one_sentence() -> None:
    with pytest.raises(Fault, match=r"^[^\n]+\.$"):
        screen("ssd1306")


def test_without_its_pins_the_buttons_are_one_sentence() -> None:
    with pytest.raises(Fault, match=r"^The buttons need [^\n]+$"):
        buttons(lambda edge: None, still())
