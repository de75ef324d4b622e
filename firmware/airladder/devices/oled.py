"""The OLED in the box: SSD1306 or SH1106, 128 x 64, on I2C, by luma's settings and bus.

Only what changed is sent, of each page of 8 rows the columns from the first changed one to the last. That rests on
what the controller is believed to hold, and a belief may be wrong: so it is given up

- when a transfer fails, whatever arrived of it: settings and the whole picture are sent again with the next picture,
  until a display that lost its contact comes back by itself; the failure is logged once, practice goes on;
- every `HEAL_SECONDS`, since a display that lost its power for a moment has forgotten everything, is switched off,
  and yet answers as before. The settings change nothing on a display that has them: a good one does not blink;
- when the screen wakes.

Modules are set to one of two addresses by a bridge of solder. A screen that has never answered at the address it
should have is looked for at the other one with each picture, and stays where it is found.

Whether it is an SSD1306 or an SH1106 is not asked of the screen but set: the status byte that both can be asked for
has one bit that is documented, and what the others hold was found to differ between modules of one sort, and even on
one module from before to after a reset (bitbank2/ss_oled issue 61, bitbank2/OneBitDisplay issue 23,
meshtastic/firmware issue 1363). The glass tells it: an SH1106 that is spoken to as SSD1306 shows all two columns too
far left, with two columns of snow at the right edge; an SSD1306 as SH1106 two too far right, snow at the left.

A screen is always filled first and switched on afterwards, so that neither an old picture nor the snow of a fresh
memory is ever seen.

Conventions
-----------
One thread shows; another may close, even while a transfer of the first one hangs: then the screen is left as it is,
so that only whoever shows waits for a bus that hangs. Untested on hardware: the tests play the bytes on a recorded
bus.
"""

from __future__ import annotations

import contextlib
import logging
import threading
from typing import Any

from PIL.Image import Image

from airladder.devices.clock import Clock
from airladder.devices.oled_driver import COLUMNS, NOTHING, OFF, ON, PAGES, changed, driver, pages
from airladder.faults import BadInput
from airladder.pages.light import Light

HEAL_SECONDS = 10.0
"""How old a belief may be, in seconds. Sending everything takes 25 ms at 400 kHz, less than the time between two
pictures and a four-hundredth of this; and a black screen is back before the player has put down the horn."""

LET_GO_SECONDS = 1.0
"""How long closing waits for a picture that is on its way: forty of them at 400 kHz."""

OTHER_ADDRESS = {0x3C: 0x3D, 0x3D: 0x3C}
"""Where else a module answers: SA0 is the lowest bit of the address (SSD1306 data sheet rev. 1.1, 8.1.5)."""

_NOTHING_KNOWN: tuple[None, ...] = (None,) * PAGES
_BLANK = (bytes(COLUMNS),) * PAGES

_log = logging.getLogger(__name__)


class Oled:
    """A `Display` on a small OLED.

    Parameters
    ----------
    model : "ssd1306" or "sh1106"
    serial : luma's serial interface, such as `luma.core.interface.serial.i2c`
    elsewhere : the same for the screen's other address, where it has one
    upside_down : True when the screen is built in with its cable at the other side
    clock : the time, for `HEAL_SECONDS`

    Raises
    ------
    BadInput : when the model is not known.
    """

    def __init__(
        self,
        model: str,
        serial: Any,
        *,
        elsewhere: Any = None,
        upside_down: bool = False,
        clock: Clock | None = None,
    ) -> None:
        self._driver = driver(model)
        self._serial, self._elsewhere = serial, elsewhere
        """`elsewhere` is None too once the screen has answered."""
        self._upside_down = upside_down
        self._clock = clock or Clock()
        self._failing = self._hangs = self._closed = False
        self._sending = threading.Lock()
        self._pages: list[bytes | None] = [*_NOTHING_KNOWN]
        self._light: Light | None = None
        """As it is known to be; None when nothing is known of the screen."""
        self._woken = self._clock.monotonic()

    def show(self, picture: Image, light: Light = Light.BRIGHT) -> None:
        """Show the picture; what is shown already is not sent. A failing bus is logged, not raised.

        Parameters
        ----------
        picture : 128 x 64, mode "1"
        light : dark is off, and nothing is sent of the picture; the one that comes with the next light is shown
        """
        with self._sending:
            if not self._closed:
                self._show(picture, light)

    def _show(self, picture: Image, light: Light) -> None:
        if self._clock.monotonic() - self._woken >= HEAL_SECONDS:
            self._light = None
        try:
            self._send_where_it_is(picture, light)
        except _bus_errors() as error:
            self._lost(error)
        else:
            self._found()

    def close(self) -> None:
        """Switch the screen off and let the bus go; harmless when already closed or when the screen is gone."""
        if not self._sending.acquire(timeout=LET_GO_SECONDS):
            _log.warning("The screen's bus hangs; the screen is left as it is.")
            return
        try:
            if not self._closed:
                self._closed = True
                self._let_go()
        finally:
            self._sending.release()

    def _let_go(self) -> None:
        if not self._hangs:
            with contextlib.suppress(*_bus_errors()):
                self._serial.command(NOTHING, OFF)
                self._pages = [*_NOTHING_KNOWN]
                self._fill(_BLANK)
        for serial in filter(None, (self._serial, self._elsewhere)):
            with contextlib.suppress(*_bus_errors()):
                serial.cleanup()

    def _send_where_it_is(self, picture: Image, light: Light) -> None:
        try:
            self._send(picture, light)
        except TimeoutError:  # it is the bus that hangs: no other address answers either, and each wait is long
            raise
        except _bus_errors():
            if self._elsewhere is None or not self._is_elsewhere(picture, light):
                raise
            _log.warning(
                "The screen does not answer at the address of hardware/pins.toml, but at the other usual one; it is"
                " used there."
            )
        self._settle()

    def _is_elsewhere(self, picture: Image, light: Light) -> bool:
        """Whether the screen answers at its other address, where it is then spoken to."""
        here, self._serial = self._serial, self._elsewhere
        self._light = None
        try:
            self._send(picture, light)
        except _bus_errors():
            self._serial = here
            return False
        self._elsewhere = here
        return True

    def _settle(self) -> None:
        """The screen has answered: where, is known from now on."""
        if self._elsewhere is not None:
            with contextlib.suppress(*_bus_errors()):
                self._elsewhere.cleanup()
            self._elsewhere = None

    def _send(self, picture: Image, light: Light) -> None:
        if light is Light.DARK:
            self._darken()
        elif self._light is None or self._light is Light.DARK:
            self._wake(pages(picture, upside_down=self._upside_down), light)
        else:
            self._change(pages(picture, upside_down=self._upside_down), light)

    def _darken(self) -> None:
        if self._light is not Light.DARK:
            self._serial.command(NOTHING, OFF)
            self._believe(Light.DARK)

    def _wake(self, wanted: tuple[bytes, ...], light: Light) -> None:
        """Tell everything to a screen of which nothing is known."""
        self._pages = [*_NOTHING_KNOWN]
        self._serial.command(*self._driver.settings, *self._driver.brightness(light))
        self._fill(wanted)
        self._serial.command(ON)
        self._believe(light)

    def _believe(self, light: Light) -> None:
        self._light, self._woken = light, self._clock.monotonic()

    def _change(self, wanted: tuple[bytes, ...], light: Light) -> None:
        if light is not self._light:
            self._serial.command(*self._driver.brightness(light))
            self._light = light
        self._fill(wanted)

    def _fill(self, wanted: tuple[bytes, ...]) -> None:
        for number, page in enumerate(wanted):
            span = changed(self._pages[number], page)
            if span is not None:
                first, end = span
                self._serial.command(*self._driver.place(number, first))
                self._serial.data(page[first:end])
                self._pages[number] = page

    def _lost(self, error: Exception) -> None:
        self._light = None
        self._hangs = isinstance(error, TimeoutError)
        if not self._failing:
            _log.warning("The screen does not answer (%s); practice goes on, each new picture tries again.", error)
        self._failing = True

    def _found(self) -> None:
        if self._failing:
            _log.warning("The screen is back.")
        self._failing = self._hangs = False


def open_oled(
    model: str,
    port: int = 1,
    address: int = 0x3C,
    *,
    upside_down: bool = False,
    clock: Clock | None = None,
) -> Oled:
    """The OLED on an I2C bus.

    Parameters
    ----------
    model : "ssd1306" or "sh1106"
    port : number of the bus: 1 for /dev/i2c-1
    address : of the screen on the bus; of 0x3C and 0x3D the other one is tried too
    upside_down, clock : as in `Oled`

    Raises
    ------
    BadInput : when there is no such bus or it may not be used; a screen that does not answer is no fault.
    """
    from luma.core.interface.serial import i2c

    other = OTHER_ADDRESS.get(address)
    try:
        serial = i2c(port=port, address=address)
        elsewhere = None if other is None else i2c(port=port, address=other)
    except _bus_errors() as error:
        raise BadInput(
            f"The screen's I2C bus {port} cannot be opened ({error}); wanted a bus this user may use: "
            "switch I2C on in the boot configuration, or correct its number in hardware/pins.toml."
        ) from error
    return Oled(model, serial, elsewhere=elsewhere, upside_down=upside_down, clock=clock)


def _bus_errors() -> tuple[type[Exception], ...]:
    from luma.core.error import Error

    return OSError, Error
