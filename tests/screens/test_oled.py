"""The OLED: the bytes on the bus, played on the controller and its glass, are the agreed picture."""

from __future__ import annotations

from pathlib import Path

import pytest
from luma.oled import device
from PIL import Image

from airladder.devices.oled import Oled, open_oled
from airladder.devices.oled_driver import MODELS
from airladder.devices.recorded_bus import recorded_bus
from airladder.faults import BadInput
from airladder.panel import gallery
from oledwire import BoardWire, oled

DARK = Image.new("1", (128, 64))
FIRST, SECOND = (gallery.picture(gallery.samples()[name]) for name in ("wanted", "sounding-sharp"))
_ADDRESSING = {0x20, 0x21, 0x22}


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
def test_glass_and_settings_are_those_of_lumas_own_driver(model: str) -> None:
    """luma.oled draws the same pictures on a second bus; only the way to place bytes is another."""
    ours, lumas = recorded_bus(model), recorded_bus(model)
    display, reference = oled(ours, model), getattr(device, model)(BoardWire(lumas))
    reference.persist = True
    for picture in (FIRST, SECOND):
        display.show(picture)
        reference.display(picture)
        assert ours.picture().tobytes() == lumas.picture().tobytes() == picture.tobytes()
    settings = [
        {code: value for code, value in bus.glass.settings.items() if code not in _ADDRESSING}
        for bus in (ours, lumas)
    ]
    assert settings[0] == settings[1]
    assert ours.glass.switches == lumas.glass.switches


@pytest.mark.parametrize("model", MODELS)
def test_upside_down_turns_the_picture_by_half(model: str) -> None:
    bus = recorded_bus(model)
    oled(bus, model, upside_down=True).show(FIRST)
    assert bus.picture().tobytes() == FIRST.transpose(Image.Transpose.ROTATE_180).tobytes()


@pytest.mark.parametrize("model", MODELS)
def test_closing_leaves_the_screen_off_and_its_memory_dark(model: str) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST)
    display.close()
    assert not bus.glass.lit
    bus.glass.lit = True
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
