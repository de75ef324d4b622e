"""The OLED on a bus that fails: nothing is raised, it is told once, and the right picture comes back by itself."""

from __future__ import annotations

import logging
import re
from datetime import UTC, datetime

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, precondition, rule
from PIL import Image, ImageChops

from airladder.devices.clock import StillClock
from airladder.devices.oled import HEAL_SECONDS, Oled
from airladder.devices.oled_driver import MODELS
from airladder.devices.recorded_bus import Recorder, recorded_bus
from airladder.pages.light import Light
from airladder.panel import gallery
from oledwire import oled

DARK = Image.new("1", (128, 64))
FIRST, SECOND = (gallery.picture(gallery.samples()[name]) for name in ("wanted", "sounding-sharp"))
WAY = [FIRST, SECOND, ImageChops.logical_xor(FIRST, SECOND), DARK, ImageChops.invert(FIRST)]


def still() -> StillClock:
    return StillClock(datetime(2026, 1, 1, tzinfo=UTC))


def state_of(bus: Recorder) -> tuple[object, ...]:
    """All that decides what is seen: settings, switches, light, picture."""
    return bus.glass.settings, bus.glass.switches, bus.glass.brightness, bus.picture().tobytes()


def fresh(model: str, picture: Image.Image, light: Light) -> tuple[object, ...]:
    """The same of a screen that has shown one picture, without any trouble."""
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(picture)
    display.show(picture, light)
    return state_of(bus)


class Screen(RuleBasedStateMachine):
    """Pictures, lights, failures and losses of power in any order.

    What is claimed: after a call in which no transfer failed, picture and light are right, unless the screen has lost
    its power unnoticed; then they are right at the latest with the first call after `HEAL_SECONDS`.
    """

    @initialize(model=st.sampled_from(MODELS))
    def begin(self, model: str) -> None:
        """A screen of either model, never woken."""
        self.model, self.clock, self.bus = model, still(), recorded_bus(model)
        self.display: Oled = oled(self.bus, model, clock=self.clock)
        self.lost_at: float | None = None
        self.unplugged = False

    @rule(picture=st.sampled_from(WAY), light=st.sampled_from([*Light, Light.BRIGHT, Light.BRIGHT]))
    def show(self, picture: Image.Image, light: Light) -> None:
        """The call under test, and what is claimed of it."""
        failed = self.bus.failed
        self.display.show(picture, light)
        if self.bus.failed > failed:
            return
        if self.lost_at is not None and self.clock.monotonic() < self.lost_at + HEAL_SECONDS + 1e-6:
            return  # not yet due, or due at this very moment, give or take the last digit
        self.lost_at = None
        assert not self.unplugged or light is Light.DARK or self._nothing_was_due(picture)
        if light is Light.DARK:
            assert (self.bus.glass.lit, self.bus.picture().tobytes()) == (False, DARK.tobytes())
        else:
            assert state_of(self.bus) == fresh(self.model, picture, light)

    def _nothing_was_due(self, picture: Image.Image) -> bool:
        """An unplugged screen may only go unnoticed while there is nothing to send."""
        return self.bus.picture().tobytes() == picture.tobytes()

    @rule(count=st.integers(0, 60) | st.integers(0, 1300))
    def fail_in(self, count: int) -> None:
        """A byte to come will not be answered."""
        self.bus.fail_in(count)

    @rule(seconds=st.sampled_from([0.1, HEAL_SECONDS / 2, HEAL_SECONDS]))
    def wait(self, seconds: float) -> None:
        """Time goes by."""
        self.clock.sleep(seconds)

    @rule()
    def forget(self) -> None:
        """A loss of power that nobody notices."""
        self.bus.forget()
        self.lost_at = self.clock.monotonic()

    @precondition(lambda self: not self.unplugged)
    @rule()
    def unplug(self) -> None:
        """No answer from now on."""
        self.bus.unplug()
        self.unplugged = True

    @precondition(lambda self: self.unplugged)
    @rule()
    def plug_in(self) -> None:
        """A loss of power, and answers again."""
        self.bus.plug_in()
        self.unplugged, self.lost_at = False, self.clock.monotonic()


TestScreen = Screen.TestCase
TestScreen.settings = settings(
    deadline=None, max_examples=60, stateful_step_count=30, suppress_health_check=[HealthCheck.too_slow]
)


@pytest.mark.parametrize("model", MODELS)
def test_whichever_byte_of_a_change_fails_the_next_picture_is_right(model: str) -> None:
    """Each of all the bytes once: that of an address, a command, a command's argument, the middle of the data."""
    whole, bytes_of_change = fresh(model, FIRST, Light.DIM), None
    for count in range(10_000):
        bus = recorded_bus(model)
        display = oled(bus, model)
        display.show(FIRST)
        bus.fail_in(count)
        display.show(SECOND, Light.DIM)
        if not bus.failed:
            bytes_of_change = count
            break
        display.show(FIRST, Light.DIM)
        assert state_of(bus) == whole, count
    assert bytes_of_change is not None
    assert bytes_of_change > 300


@pytest.mark.parametrize("model", MODELS)
def test_a_screen_unplugged_and_plugged_in_is_woken_anew_and_told_once(
    model: str, caplog: pytest.LogCaptureFixture
) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST)
    bus.unplug()
    with caplog.at_level(logging.INFO):
        for picture in (SECOND, FIRST, SECOND, SECOND):
            display.show(picture)
        bus.plug_in()
        display.show(SECOND)
    assert bus.picture().tobytes() == SECOND.tobytes()
    told = [record.getMessage() for record in caplog.records]
    assert len(told) == 2
    assert re.match(r"The screen does not answer \(I2C device not found on address: 0x3C\); practice", told[0])
    assert told[1] == "The screen is back."


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.parametrize("light", [Light.BRIGHT, Light.DIM])
def test_a_screen_that_forgot_unnoticed_heals_though_the_picture_stands_still(model: str, light: Light) -> None:
    clock, bus = still(), recorded_bus(model)
    display = oled(bus, model, clock=clock)
    display.show(FIRST, light)
    bus.forget()
    display.show(FIRST, light)
    assert not bus.glass.lit
    clock.sleep(HEAL_SECONDS)
    display.show(FIRST, light)
    assert state_of(bus) == fresh(model, FIRST, light)


@pytest.mark.parametrize("model", MODELS)
def test_a_healthy_screen_does_not_blink_when_it_is_told_everything_again(model: str) -> None:
    clock, bus = still(), recorded_bus(model)
    display = oled(bus, model, clock=clock)
    display.show(FIRST)
    before = state_of(bus)
    clock.sleep(HEAL_SECONDS)
    told = len(bus.transfers)
    display.show(FIRST)
    assert state_of(bus) == before
    again = [code for control, codes in bus.transfers[told:] if control == 0 for code in codes]
    assert 0xAE not in again
    assert 0xAF in again


@pytest.mark.parametrize("model", MODELS)
def test_waking_needs_no_healing(model: str) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model, clock=still())
    display.show(FIRST)
    display.show(FIRST, Light.DARK)
    bus.forget()
    display.show(SECOND)
    assert state_of(bus) == fresh(model, SECOND, Light.BRIGHT)


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.parametrize("cut_off", [0x81, 0xD3, 0xD5, 0xD9])
def test_a_command_that_was_cut_off_swallows_no_setting(model: str, cut_off: int) -> None:
    """As another program may leave a screen: its own timing set, and a command that waits for its argument."""
    bus = recorded_bus(model)
    bus.glass.command([0xD5, 0x10, cut_off])
    oled(bus, model).show(FIRST)
    assert state_of(bus) == fresh(model, FIRST, Light.BRIGHT)


@pytest.mark.parametrize("model", MODELS)
def test_a_screen_that_was_never_there_stops_nothing(model: str) -> None:
    bus = recorded_bus(model, address=0x3D)
    display = oled(bus, model)
    display.show(FIRST)
    display.close()
    assert bus.transfers == []


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.parametrize("cut_off", [0x81, 0xD3, 0xD5, 0xD9])
def test_going_dark_is_not_swallowed_by_a_command_that_was_cut_off(model: str, cut_off: int) -> None:
    """A bus that fails within a command leaves the controller waiting for its argument."""
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST)
    bus.glass.command([cut_off])
    display.show(FIRST, Light.DARK)
    assert not bus.glass.lit
    bus.glass.command([cut_off])
    display.show(FIRST)
    bus.glass.command([cut_off])
    display.close()
    assert not bus.glass.lit
