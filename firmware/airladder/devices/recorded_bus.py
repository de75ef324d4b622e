"""A stand-in for the I2C bus of the OLED: it records every transfer, and plays the controller's memory.

It is given to luma's real `i2c`, so the whole way from picture to control byte is the one of the board. What the
driver sent can be read back as the picture that the glass would show.

Sources: SSD1306 data sheet rev. 1.1 (2008): 8.1.5 control byte, 10.1.3 addressing; SH1106 data sheet rev. 2.3:
132 columns, page by page, of which modules show columns 2 to 129.
"""

from __future__ import annotations

import errno
from collections.abc import Collection, Sequence

from PIL import Image

_COMMAND, _DATA = 0x00, 0x40
_ARGUMENTS = {0x20: 1, 0x21: 2, 0x22: 2, 0x81: 1, 0x8D: 1, 0xA8: 1, 0xD3: 1, 0xD5: 1, 0xD9: 1, 0xDA: 1, 0xDB: 1}
_SH1106_ARGUMENTS = {0x81: 1, 0xA8: 1, 0xAD: 1, 0xD3: 1, 0xD5: 1, 0xD9: 1, 0xDA: 1, 0xDB: 1}


class Controller:
    """The memory of an OLED controller, "ssd1306" or "sh1106", and the commands that place bytes in it.

    Attributes
    ----------
    lit : whether the display is switched on
    """

    def __init__(self, model: str) -> None:
        wide = model == "sh1106"
        self._columns, self._first_shown = (132, 2) if wide else (128, 0)
        self._horizontal = False
        self._has_windows = not wide
        self._arguments = _SH1106_ARGUMENTS if wide else _ARGUMENTS
        self._memory = [bytearray(self._columns) for _ in range(8)]
        self._pages, self._span = (0, 7), (0, self._columns - 1)
        self._page = self._column = 0
        self.lit = False

    def command(self, codes: Sequence[int]) -> None:
        """Obey a run of commands with their arguments."""
        rest = list(codes)
        while rest:
            code = rest.pop(0)
            count = self._arguments.get(code, 0)
            arguments, rest = rest[:count], rest[count:]
            self._obey(code, arguments)

    def _obey(self, code: int, arguments: list[int]) -> None:
        match code:
            case 0x20 if self._has_windows:
                self._horizontal = arguments[0] & 3 == 0
            case 0x21 if self._has_windows:
                self._span, self._column = (arguments[0], arguments[1]), arguments[0]
            case 0x22 if self._has_windows:
                self._pages, self._page = (arguments[0], arguments[1]), arguments[0]
            case 0xAE | 0xAF:
                self.lit = code == 0xAF
            case _ if code < 0x10:
                self._column = self._column & 0xF0 | code
            case _ if code < 0x20:
                self._column = self._column & 0x0F | (code & 0x0F) << 4
            case _ if 0xB0 <= code < 0xB8:
                self._page = code - 0xB0

    def data(self, data: Sequence[int]) -> None:
        """Write bytes where the addresses stand, which move on as the data sheet says."""
        for byte in data:
            if self._column < self._columns:
                self._memory[self._page][self._column] = byte
            self._column += 1
            if self._horizontal and self._column > self._span[1]:
                self._column = self._span[0]
                self._page = self._page + 1 if self._page < self._pages[1] else self._pages[0]

    def picture(self) -> Image.Image:
        """What the glass shows: 128 x 64, mode "1"; all dark while switched off."""
        image = Image.new("1", (128, 64))
        for y in range(64 if self.lit else 0):
            for x in range(128):
                if self._memory[y // 8][self._first_shown + x] >> y % 8 & 1:
                    image.putpixel((x, y), 255)
        return image


class Recorder:
    """What the recorded bus knows; see `recorded_bus`.

    Attributes
    ----------
    transfers : (control byte, bytes) of each transfer that was answered
    controller : the memory at the other end
    """

    def __init__(self, model: str, address: int, failing: Collection[int]) -> None:
        self._model, self._address, self._failing = model, address, failing
        self._count = 0
        self._unplugged = False
        self.controller = Controller(model)
        self.transfers: list[tuple[int, tuple[int, ...]]] = []

    def unplug(self) -> None:
        """From now on no transfer is answered."""
        self._unplugged = True

    def plug_in(self) -> None:
        """The screen answers again, and has forgotten all."""
        self._unplugged, self.controller = False, Controller(self._model)

    def write_i2c_block_data(
        self, i2c_addr: int, register: int, data: Sequence[int], force: bool | None = None
    ) -> None:
        """Take one transfer of at most 32 bytes, as luma's `i2c` makes it on a bus that was given to it."""
        number, self._count = self._count, self._count + 1
        if self._unplugged or number in self._failing or i2c_addr != self._address:
            raise OSError(errno.EREMOTEIO, "Remote I/O error")
        self.transfers.append((register, tuple(data)))
        if register == _DATA:
            self.controller.data(data)
        elif register == _COMMAND:
            self.controller.command(data)

    @property
    def sent(self) -> int:
        """Bytes of commands and data answered so far."""
        return sum(len(data) for _, data in self.transfers)

    def picture(self) -> Image.Image:
        """What the glass shows."""
        return self.controller.picture()


def recorded_bus(model: str, address: int = 0x3C, failing: Collection[int] = ()) -> Recorder:
    """An I2C bus (a real `smbus2.SMBus` that was never opened) with one OLED on it.

    Parameters
    ----------
    model : the controller on the bus, "ssd1306" or "sh1106"
    address : where it answers; no one answers elsewhere
    failing : the numbers of the transfers, counted from 0, that no one answers
    """
    from smbus2 import SMBus

    class RecordedBus(Recorder, SMBus):
        def __init__(self) -> None:
            SMBus.__init__(self)
            Recorder.__init__(self, model, address, failing)

    return RecordedBus()
