"""What the OLED is sent: bytes on the wire and time on the bus for the changes of a practice."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from airladder.devices.oled_driver import MODELS, changed, pages
from airladder.devices.recorded_bus import CLOCKS_A_BYTE, recorded_bus
from airladder.panel import gallery, screens
from airladder.practice.state import State
from oledwire import oled

MILLISECONDS = 1000 * CLOCKS_A_BYTE / 400_000
"""That a byte takes on a bus of 400 kHz."""
WHOLE = 8 * (5 + 2 + 128)
"""Bytes of a whole picture: 8 pages, each an address, a control byte and 3 commands; then these two and 128 data."""


def sharp(cents: float) -> State:
    """A sounding third partial."""
    state = gallery.samples()["sounding-sharp"]
    assert isinstance(state, State)
    assert state.reading is not None
    return replace(state, reading=replace(state.reading, cents=cents))


def sent_for(model: str, before: Image.Image, after: Image.Image) -> int:
    """Bytes on the wire from one picture to the next."""
    bus = recorded_bus(model)
    display = oled(bus, model)
    display.show(before)
    sent = bus.sent
    display.show(after)
    assert bus.picture().tobytes() == after.tobytes()
    return bus.sent - sent


@pytest.mark.parametrize("model", MODELS)
def test_an_unchanged_picture_sends_not_one_byte(model: str) -> None:
    picture = screens.draw(sharp(12.0))
    assert sent_for(model, picture, picture.copy()) == 0


@pytest.mark.parametrize("model", MODELS)
def test_a_wholly_changed_picture_sends_every_page_once_and_no_settings(model: str) -> None:
    assert sent_for(model, Image.new("1", (128, 64)), Image.new("1", (128, 64), 255)) == WHOLE
    assert pytest.approx(24.3) == WHOLE * MILLISECONDS


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.parametrize("x", [0, 63, 127])
@pytest.mark.parametrize("y", [0, 31, 63])
def test_one_pixel_sends_one_byte_of_data(model: str, x: int, y: int) -> None:
    dot = Image.new("1", (128, 64))
    dot.putpixel((x, y), 255)
    assert sent_for(model, Image.new("1", (128, 64)), dot) == 5 + 3


@pytest.mark.parametrize("model", MODELS)
@pytest.mark.parametrize(
    ("what", "before", "after", "at_most"),
    [
        ("the last figure of the cents", 12.0, 13.0, 2.0),
        ("cents and the riding half rung", 12.0, 25.0, 6.0),
        ("from sharp to flat", 12.0, -34.0, 8.0),
    ],
)
def test_what_changes_while_it_sounds_is_a_few_milliseconds_of_bus(
    model: str, what: str, before: float, after: float, at_most: float
) -> None:
    milliseconds = sent_for(model, screens.draw(sharp(before)), screens.draw(sharp(after))) * MILLISECONDS
    assert 0 < milliseconds <= at_most, what


@settings(deadline=None)
@given(st.binary(min_size=1, max_size=20), st.data())
def test_the_changed_span_is_the_smallest_that_holds_every_change(wanted: bytes, data: st.DataObject) -> None:
    known = data.draw(st.binary(min_size=len(wanted), max_size=len(wanted)) | st.just(wanted))
    differing = [i for i, (a, b) in enumerate(zip(known, wanted, strict=True)) if a != b]
    assert changed(known, wanted) == ((differing[0], differing[-1] + 1) if differing else None)
    assert changed(None, wanted) == (0, len(wanted))


@settings(deadline=None, max_examples=20)
@given(st.binary(min_size=1024, max_size=1024), st.booleans())
def test_a_page_is_eight_rows_with_the_topmost_pixel_lowest(bits: bytes, upside_down: bool) -> None:
    picture = Image.frombytes("1", (128, 64), bits)
    packed = pages(picture, upside_down=upside_down)
    for x, y in ((0, 0), (127, 0), (0, 63), (127, 63), (40, 21), (77, 50)):
        pixel = picture.getpixel((127 - x, 63 - y) if upside_down else (x, y))
        assert bool(pixel) == bool(packed[y // 8][x] >> y % 8 & 1)
