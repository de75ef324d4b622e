"""The OLED in the box, through luma.oled: SSD1306 or SH1106, 128 x 64, on I2C.

luma gives the wake-up sequence, the rotation and the bus. Its own way from picture to bytes looks at each of 8192
pixels in Python, too much for ten pictures a second on the board; here Pillow packs them. The bytes are the same,
which a test says for both controllers.

A picture equal to the one shown is not sent. When the bus fails, the practice goes on: the failure is logged once,
and the next picture wakes the screen anew, so that a display that lost its contact comes back by itself.

Conventions
-----------
Not for use by several threads at once. Untested on hardware: the tests decode the bytes on a recorded bus.

Sources: SSD1306 data sheet rev. 1.1 (2008), 8.7 and 10.1.3; SH1106 data sheet rev. 2.3, commands 1, 2 and 12.
"""

from __future__ import annotations

import contextlib
import logging
from collections.abc import Callable
from typing import Any

from PIL.Image import Image, Transpose

from airladder.faults import BadInput, did_you_mean

MODELS = ("ssd1306", "sh1106")
"""The controllers that we drive."""

_PAGES = 8

_log = logging.getLogger(__name__)


def pages(picture: Image) -> list[list[int]]:
    """The picture as both controllers want it.

    Returns
    -------
    8 pages from the top, each 128 bytes from the left; a byte is 8 pixels of a column, the topmost its lowest bit.
    """
    columns = picture.transpose(Transpose.ROTATE_270).tobytes()
    return [list(columns[_PAGES - 1 - page :: _PAGES]) for page in range(_PAGES)]


def _driver(model: str, wire: _Wire, rotate: int) -> Any:
    """luma's driver of that controller, with our way from picture to bytes."""
    from luma.oled.device import sh1106, ssd1306

    class Ssd1306(ssd1306):  # type: ignore[misc]  # luma ships no types
        def display(self, image: Image) -> None:
            self.command(self._const.COLUMNADDR, 0, self._w - 1, self._const.PAGEADDR, 0, _PAGES - 1)
            self.data([byte for page in pages(self.preprocess(image)) for byte in page])

    class Sh1106(sh1106):  # type: ignore[misc]
        def display(self, image: Image) -> None:
            for number, page in enumerate(pages(self.preprocess(image))):
                self.command(0xB0 + number, self._page_address_offset, self._const.SETHIGHCOLUMN)
                self.data(page)

    kind = {"ssd1306": Ssd1306, "sh1106": Sh1106}[model]
    return kind(wire, rotate=rotate)


class _Wire:
    """Stands between luma's driver and the bus: keeps the wake-up sequence, so that it can be sent again.

    luma sends that sequence only while a driver is made, and every driver made hooks itself into the end of the
    program. So one is made, with no bus yet, and what it says is kept for every wake-up.
    """

    def __init__(self) -> None:
        self._bus: Any = None
        self._waking: list[Callable[[], None]] = []

    def command(self, *command: int) -> None:
        self._say(lambda: self._bus.command(*command))

    def data(self, data: list[int]) -> None:
        self._say(lambda: self._bus.data(data))

    def cleanup(self) -> None:
        """Nothing: `Oled.close` ends the bus, at its own time."""

    def _say(self, send: Callable[[], None]) -> None:
        if self._bus is None:
            self._waking.append(send)
        else:
            send()

    def connect(self, bus: Any) -> None:
        """From now on, what the driver says goes to the bus."""
        self._bus = bus

    def wake(self) -> None:
        """Send the wake-up sequence."""
        for send in self._waking:
            send()


class Oled:
    """A `Display` on a small OLED.

    Parameters
    ----------
    model : "ssd1306" or "sh1106"
    serial : luma's serial interface, such as `luma.core.interface.serial.i2c`
    upside_down : True when the screen is built in with its cable at the other side

    Raises
    ------
    BadInput : when the model is not known.
    """

    def __init__(self, model: str, serial: Any, *, upside_down: bool = False) -> None:
        if model not in MODELS:
            raise BadInput(f"'{model}' is no screen that we know{did_you_mean(model, MODELS)}")
        self._serial = serial
        self._wire = _Wire()
        self._driver = _driver(model, self._wire, 2 if upside_down else 0)
        self._driver.persist = True
        self._wire.connect(serial)
        self._awake = self._failing = self._closed = False
        self._shown: bytes | None = None

    def show(self, picture: Image) -> None:
        """Show the picture; nothing is sent when it is the one shown. A failing bus is logged, not raised."""
        wanted = picture.tobytes()
        if self._closed or wanted == self._shown:
            return
        try:
            self._send(picture)
        except _bus_errors() as error:
            self._lost(error)
        else:
            self._shown = wanted
            self._found()

    def close(self) -> None:
        """Switch the screen off and let the bus go; harmless when already closed or when the screen is gone."""
        if self._closed:
            return
        self._closed = True
        with contextlib.suppress(*_bus_errors()):
            self._driver.hide()
            self._driver.clear()
        with contextlib.suppress(*_bus_errors()):
            self._serial.cleanup()

    def _send(self, picture: Image) -> None:
        if not self._awake:
            self._wire.wake()
            self._awake = True
        self._driver.display(picture)

    def _lost(self, error: Exception) -> None:
        self._awake, self._shown = False, None
        if not self._failing:
            _log.warning("The screen does not answer (%s); practice goes on, each new picture tries again.", error)
        self._failing = True

    def _found(self) -> None:
        if self._failing:
            _log.warning("The screen is back.")
        self._failing = False


def open_oled(model: str, port: int = 1, address: int = 0x3C, *, upside_down: bool = False) -> Oled:
    """The OLED on an I2C bus.

    Parameters
    ----------
    model : "ssd1306" or "sh1106"
    port : number of the bus: 1 for /dev/i2c-1
    address : of the screen on the bus, 0x3C or 0x3D on most
    upside_down : as in `Oled`

    Raises
    ------
    BadInput : when there is no such bus or it may not be used; a screen that does not answer is no fault.
    """
    from luma.core.interface.serial import i2c

    try:
        serial = i2c(port=port, address=address)
    except _bus_errors() as error:
        raise BadInput(
            f"The screen's I2C bus {port} cannot be opened ({error}); wanted a bus this user may use: "
            "switch I2C on in the boot configuration, or correct its number in hardware/pins.toml."
        ) from error
    return Oled(model, serial, upside_down=upside_down)


def _bus_errors() -> tuple[type[Exception], ...]:
    from luma.core.error import Error

    return OSError, Error
