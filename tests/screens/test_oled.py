"""The OLED: the bytes on the bus, played into the controller's memory, are the agreed picture."""

from __future__ import annotations

import logging
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from luma.core.interface.serial import i2c
from luma.oled import device
from PIL import Image
from smbus2 import SMBus

from airladder.devices.oled import MODELS, Oled, open_oled
from airladder.devices.recorded_bus import Recorder, recorded_bus
from airladder.faults import BadInput
from airladder.panel import gallery

DARK = Image.new("1", (128, 64))
FIRST, SECOND = (gallery.picture(gallery.samples()[name]) for name in ("wanted", "sounding-sharp"))


def oled(bus: Recorder, model: str, *, upside_down: bool = False) -> Oled:
    """The display over luma's own I2C on that bus."""
    return Oled(model, i2c(bus=bus), upside_down=upside_down)


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.parametrize("name", gallery.samples())
def test_the_glass_shows_the_agreed_picture(model: str, name: str, golden: Path) -> None:
    bus = recorded_bus(model)
    agreed = Image.open(golden / f"{name}.png")
    oled(bus, model).show(agreed)
    assert bus.picture().tobytes() == agreed.tobytes()


@pytest.mark.parametrize("model", MODELS)
def test_each_picture_replaces_the_one_before(model: str) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model)
    for picture in (FIRST, SECOND, FIRST):
        display.show(picture)
        assert bus.picture().tobytes() == picture.tobytes()


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.filterwarnings("ignore:Image.Image.getdata is deprecated:DeprecationWarning")
def test_the_bytes_are_those_of_lumas_own_driver(model: str) -> None:
    """luma.oled draws the same pictures on a second bus; every transfer is the same, the wake-up included."""
    ours, lumas = recorded_bus(model), recorded_bus(model)
    display, reference = oled(ours, model), getattr(device, model)(i2c(bus=lumas))
    reference.persist = True
    for picture in (FIRST, SECOND):
        display.show(picture)
        reference.display(picture)
    assert ours.transfers == lumas.transfers


@pytest.mark.parametrize("model", MODELS)
def test_an_unchanged_picture_sends_not_one_byte(model: str) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST)
    sent = bus.sent
    display.show(FIRST.copy())
    assert bus.sent == sent > 1024


@pytest.mark.parametrize(("model", "whole"), [("ssd1306", 1024 + 6), ("sh1106", 1024 + 24)])
def test_a_changed_picture_sends_one_frame_and_no_wake_up(model: str, whole: int) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST)
    sent = bus.sent
    display.show(SECOND)
    assert bus.sent - sent == whole


@pytest.mark.parametrize("model", MODELS)
def test_upside_down_turns_the_picture_by_half(model: str) -> None:
    bus = recorded_bus(model)
    oled(bus, model, upside_down=True).show(FIRST)
    assert bus.picture().tobytes() == FIRST.transpose(Image.Transpose.ROTATE_180).tobytes()


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(MODELS), st.sets(st.integers(0, 160), max_size=4))
def test_failed_transfers_never_raise_and_a_later_picture_brings_the_screen_back(
    model: str, failing: set[int]
) -> None:
    bus = recorded_bus(model, failing=failing)
    display = oled(bus, model)
    for picture in (FIRST, SECOND) * 4:
        display.show(picture)
    assert bus.picture().tobytes() == SECOND.tobytes()


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
def test_a_screen_that_was_never_there_stops_nothing(model: str) -> None:
    bus = recorded_bus(model, address=0x3D)
    display = oled(bus, model)
    display.show(FIRST)
    display.close()
    assert bus.transfers == []


@pytest.mark.parametrize("model", MODELS)
def test_closing_leaves_the_screen_off_and_its_memory_dark(model: str) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST)
    display.close()
    assert not bus.controller.lit
    bus.controller.lit = True
    assert bus.picture().tobytes() == DARK.tobytes()


@pytest.mark.parametrize("model", MODELS)
def test_after_closing_nothing_more_is_sent(model: str) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST)
    display.close()
    sent = bus.sent
    display.show(SECOND)
    display.close()
    assert bus.sent == sent


def test_the_recorded_bus_is_a_real_bus_that_was_never_opened() -> None:
    bus = recorded_bus("ssd1306")
    assert isinstance(bus, SMBus)
    assert bus.fd is None


def test_the_memories_of_the_two_controllers_differ() -> None:
    """So that a driver taken for the other shows another picture here, as it would on the glass."""
    bus = recorded_bus("sh1106")
    oled(bus, "ssd1306").show(FIRST)
    assert bus.picture().tobytes() != FIRST.tobytes()


def test_an_unknown_screen_is_refused_with_the_near_one() -> None:
    with pytest.raises(
        BadInput, match=r"^'ssd1307' is no screen that we know; did you mean ssd1306\? Known: ssd1306, "
    ):
        Oled("ssd1307", None)


def test_a_bus_that_is_not_there_is_one_sentence() -> None:
    with pytest.raises(
        BadInput, match=r"^The screen's I2C bus 250 cannot be opened \(I2C device not found: .*wanted a"
    ):
        open_oled("ssd1306", port=250)
