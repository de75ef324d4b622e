"""The line that tells of the USB cable, on gpiozero's mock pins. Untested on hardware."""

from __future__ import annotations

import logging
from collections.abc import Iterator

import pytest
from gpiozero.pins.mock import MockFactory

from airladder.devices import cable
from airladder.devices.cable import CableSense
from airladder.devices.pins import pin_map
from airladder.faults import Fault

PIN = pin_map().usb.cable


@pytest.fixture
def factory() -> Iterator[MockFactory]:
    made = MockFactory()
    yield made
    made.reset()


def test_a_line_that_was_never_high_says_nothing(factory: MockFactory) -> None:
    """So a box that was wired without it works as if there were none."""
    assert not CableSense(PIN, factory).pulled


def test_a_cable_that_was_in_and_is_out_is_pulled(factory: MockFactory) -> None:
    sense, pin = CableSense(PIN, factory), factory.pin(f"GPIO{PIN}")
    pin.drive_high()
    assert not sense.pulled
    pin.drive_low()
    assert sense.pulled
    pin.drive_high()
    assert not sense.pulled


def test_the_pin_is_pulled_down_for_which_the_divider_is_made(factory: MockFactory) -> None:
    CableSense(PIN, factory)
    assert factory.pin(f"GPIO{PIN}").pull == "down"


def test_a_pin_that_is_taken_is_a_line_that_was_not_wired(
    factory: MockFactory, caplog: pytest.LogCaptureFixture
) -> None:
    first = CableSense(PIN, factory)
    with caplog.at_level(logging.WARNING):
        second = CableSense(PIN, factory)
    assert f"GPIO{PIN} cannot be had" in caplog.text
    assert not second.pulled
    first.close()
    second.close()
    second.close()


def test_a_computer_without_pins_is_told_once(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def none_here() -> None:
        raise Fault("The board's pins cannot be had (none).")

    monkeypatch.setattr(cable, "board_pins", none_here)
    with caplog.at_level(logging.WARNING):
        assert not CableSense(PIN).pulled
    assert "The board's pins cannot be had" in caplog.text


def test_a_factory_of_its_own_is_given_back(monkeypatch: pytest.MonkeyPatch, factory: MockFactory) -> None:
    monkeypatch.setattr(cable, "board_pins", lambda: factory)
    sense = CableSense(PIN)
    factory.pin(f"GPIO{PIN}").drive_high()
    assert not sense.pulled
    sense.close()
    assert not factory.pins  # gpiozero forgets its pins when a factory is closed
