"""The light of the OLED, and what is never seen on it: old pictures and snow."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest
from PIL import Image

from airladder.devices.oled_driver import MODELS
from airladder.devices.recorded_bus import Recorder, recorded_bus
from airladder.pages.light import Light
from airladder.panel import gallery
from oledwire import oled

DARK = Image.new("1", (128, 64))
FIRST, SECOND = (gallery.picture(gallery.samples()[name]) for name in ("wanted", "sounding-sharp"))


def seen(bus: Recorder) -> list[bytes]:
    """What stands on the glass after each transfer from now on; filled while the bus is used."""
    pictures: list[bytes] = []
    for name in ("command", "data"):
        setattr(bus.glass, name, _watched(getattr(bus.glass, name), lambda: pictures.append(bus.picture().tobytes())))
    return pictures


def _watched(obey: Callable[[Sequence[int]], None], look: Callable[[], None]) -> Callable[[Sequence[int]], None]:
    def obeyed(codes: Sequence[int]) -> None:
        for code in codes:
            obey([code])
            look()

    return obeyed


@pytest.fixture(params=MODELS)
def model(request: pytest.FixtureRequest) -> str:
    """Both, one after the other."""
    return str(request.param)


def test_dim_has_an_eighth_of_the_current_and_the_shortest_charge_beforehand(model: str) -> None:
    """Current by contrast: SSD1306 data sheet 8.8, SH1106 data sheet, command 6; 0 clocks of charge is not valid."""
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST)
    bright = bus.glass.brightness
    display.show(FIRST, Light.DIM)
    assert bus.glass.brightness == pytest.approx(bright / 8, rel=0.02)
    assert bus.glass.settings[0xD9] == [0x11]
    assert bus.picture().tobytes() == FIRST.tobytes()
    display.show(FIRST, Light.BRIGHT)
    assert bus.glass.brightness == bright > 0.4
    assert bus.glass.settings[0xD9] > [0x11]


def test_a_change_of_light_alone_sends_only_that(model: str) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST)
    sent = bus.sent
    display.show(FIRST, Light.DIM)
    assert bus.sent - sent == 2 + 4


def test_dark_switches_off_and_sends_nothing_of_the_pictures(model: str) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST)
    sent = bus.sent
    for picture in (FIRST, SECOND, FIRST):
        display.show(picture, Light.DARK)
    assert bus.glass.brightness == 0
    assert bus.sent - sent == 2 + 2
    bus.glass.lit = True
    assert bus.picture().tobytes() == FIRST.tobytes()


@pytest.mark.parametrize("light", [Light.BRIGHT, Light.DIM])
def test_waking_shows_the_new_picture_and_never_the_old_one(model: str, light: Light) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST)
    display.show(FIRST, Light.DARK)
    pictures = seen(bus)
    display.show(SECOND, light)
    assert set(pictures) == {DARK.tobytes(), SECOND.tobytes()}


def test_the_snow_of_a_fresh_memory_is_never_seen(model: str) -> None:
    bus = recorded_bus(model)
    bus.glass.command([0x8D, 0x14, 0xAF])
    assert bus.picture().tobytes() not in {DARK.tobytes(), FIRST.tobytes()}, "the stand-in has no snow"
    bus.forget()
    pictures = seen(bus)
    oled(bus, model).show(FIRST)
    assert set(pictures) == {DARK.tobytes(), FIRST.tobytes()}


def test_a_first_picture_that_is_dark_leaves_the_screen_off(model: str) -> None:
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(FIRST, Light.DARK)
    assert not bus.glass.lit
    display.show(FIRST, Light.DIM)
    assert bus.picture().tobytes() == FIRST.tobytes()
