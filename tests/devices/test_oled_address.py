"""A screen that answers at its other address, or nowhere, or on a bus that hangs."""

from __future__ import annotations

import logging
import threading
from typing import Any, ClassVar

import pytest
from PIL import Image

from airladder.devices.oled import OTHER_ADDRESS, Oled
from airladder.devices.recorded_bus import Recorder, recorded_bus
from airladder.pages.light import Light
from oledwire import BoardWire

HERE, ELSEWHERE = 0x3C, 0x3D
FIRST, SECOND = (Image.new("1", (128, 64), 1), Image.linear_gradient("L").resize((128, 64)).convert("1"))
FOUND = (
    "The screen does not answer at the address of hardware/pins.toml, but at the other usual one; it is used there."
)


class Wire(BoardWire):
    """luma's wire, which also knows whether it was let go."""

    let_go = False

    def cleanup(self) -> None:
        """It is let go."""
        self.let_go = True


def screen(bus: Any, model: str = "ssd1306") -> tuple[Oled, Wire, Wire]:
    here, elsewhere = Wire(bus, HERE), Wire(bus, ELSEWHERE)
    return Oled(model, here, elsewhere=elsewhere), here, elsewhere


def shows(bus: Recorder, picture: Image.Image) -> bool:
    return bus.picture().tobytes() == picture.tobytes()


def test_the_two_usual_addresses_are_each_others() -> None:
    assert OTHER_ADDRESS == {HERE: ELSEWHERE, ELSEWHERE: HERE}


@pytest.mark.parametrize("model", ["ssd1306", "sh1106"])
def test_a_screen_at_the_other_address_is_used_there(model: str, caplog: pytest.LogCaptureFixture) -> None:
    bus = recorded_bus(model, ELSEWHERE)
    display, here, elsewhere = screen(bus, model)
    with caplog.at_level(logging.INFO):
        for picture in (FIRST, SECOND):
            display.show(picture)
            assert shows(bus, picture)
    assert [record.message for record in caplog.records] == [FOUND]
    assert here.let_go
    assert not elsewhere.let_go
    display.close()
    assert not bus.glass.lit
    assert elsewhere.let_go


def test_after_it_was_found_its_other_address_is_asked_no_more() -> None:
    bus = recorded_bus("ssd1306", ELSEWHERE)
    display, _, _ = screen(bus)
    display.show(FIRST)
    assert bus.failed == 1
    display.show(SECOND)
    assert bus.failed == 1


def test_a_screen_where_it_should_be_stays_there_when_it_fails(caplog: pytest.LogCaptureFixture) -> None:
    bus = recorded_bus("ssd1306", HERE)
    display, _, elsewhere = screen(bus)
    display.show(FIRST)
    assert elsewhere.let_go
    bus.unplug()
    display.show(SECOND)
    assert bus.failed == 1
    bus.plug_in()
    display.show(SECOND)
    assert shows(bus, SECOND)
    assert FOUND not in caplog.text


def test_a_screen_that_is_missing_is_looked_for_at_both_until_it_comes(caplog: pytest.LogCaptureFixture) -> None:
    bus = recorded_bus("ssd1306", ELSEWHERE)
    bus.unplug()
    display, _, _ = screen(bus)
    with caplog.at_level(logging.INFO):
        for _ in range(3):
            display.show(FIRST)
    assert bus.failed == 6
    (said,) = [record.message for record in caplog.records]
    assert said == (
        "The screen does not answer (I2C device not found on address: 0x3C); practice goes on, each new picture"
        " tries again."
    )
    bus.plug_in()
    display.show(SECOND)
    assert shows(bus, SECOND)


def test_a_screen_that_is_missing_can_be_closed() -> None:
    bus = recorded_bus("ssd1306", HERE)
    bus.unplug()
    display, here, elsewhere = screen(bus)
    display.show(FIRST)
    display.close()
    assert here.let_go
    assert elsewhere.let_go


def test_a_dark_screen_is_found_too() -> None:
    bus = recorded_bus("ssd1306", ELSEWHERE)
    display, _, _ = screen(bus)
    display.show(FIRST, Light.DARK)
    assert not bus.glass.lit
    display.show(FIRST)
    assert shows(bus, FIRST)


class Hanging(Wire):
    """A bus on which every transfer takes its time and fails."""

    asked: ClassVar[list[int]]

    def command(self, *_: int) -> None:
        """Nobody hears it."""
        self.asked.append(self._addr)
        raise TimeoutError(110, "Connection timed out")


def test_a_bus_that_hangs_is_waited_for_at_one_address_and_not_again_at_the_end() -> None:
    Hanging.asked = []
    here, elsewhere = (Hanging(recorded_bus("ssd1306", HERE), address) for address in (HERE, ELSEWHERE))
    display = Oled("ssd1306", here, elsewhere=elsewhere)
    display.show(FIRST)
    assert Hanging.asked == [HERE]
    display.close()
    assert Hanging.asked == [HERE]
    assert here.let_go
    assert elsewhere.let_go


def test_closing_does_not_wait_for_a_picture_that_hangs(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr("airladder.devices.oled.LET_GO_SECONDS", 0.01)
    hangs, goes_on = threading.Event(), threading.Event()

    def sleep(_: float) -> None:
        hangs.set()
        assert goes_on.wait(30)

    bus = recorded_bus("ssd1306", HERE, sleep=sleep)
    display, here, _ = screen(bus)
    bus.hang(3.0)
    shower = threading.Thread(target=display.show, args=(FIRST,))
    shower.start()
    assert hangs.wait(30)
    display.close()
    assert shower.is_alive()
    assert caplog.messages == ["The screen's bus hangs; the screen is left as it is."]
    assert not here.let_go
    goes_on.set()
    shower.join(30)
    assert shows(bus, FIRST)


def test_the_picture_fails_in_its_midst_and_is_whole_with_the_next() -> None:
    """The screen is there: the other address must not win by a moment of noise."""
    bus = recorded_bus("ssd1306", HERE, failing=[200])
    display, _, _ = screen(bus)
    display.show(FIRST)
    assert bus.failed == 2
    display.show(FIRST)
    assert shows(bus, FIRST)
