"""A stand-in for an OLED controller and its glass: what the bytes of the bus make of them.

It starts as the real ones do: switched off, snow in its memory, every setting at its value after power-on. What it
shows depends on the settings that a driver must send: the charge pump, the two directions, the way of addressing.

Conventions
-----------
The module's glass is built in as on the usual modules: upright when both directions are reversed (A1, C8).

Sources: SSD1306 data sheet rev. 1.1 (2008): 8.5 (reset), 10.1 and 2.1 of its application note (charge pump); SH1106
data sheet rev. 2.3: 132 columns, page by page, of which modules show columns 2 to 129; values after power-on from
the command tables of both.
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from PIL import Image

from airladder.devices.oled_driver import COLUMNS, OFF, ON, PAGES

_ROWS = 8 * PAGES
_CONTRAST, _PUMP, _ADDRESSING = 0x81, 0x8D, 0x20
_SSD1306 = {
    _ADDRESSING: [0x02],
    0x21: [0, 127],
    0x22: [0, 7],
    _CONTRAST: [0x7F],
    _PUMP: [0x10],
    0xA8: [0x3F],
    0xD3: [0x00],
    0xD5: [0x80],
    0xD9: [0x22],
    0xDA: [0x12],
    0xDB: [0x20],
}
_SH1106 = {
    _CONTRAST: [0x80],
    0xA8: [0x3F],
    0xAD: [0x8B],
    0xD3: [0x00],
    0xD5: [0x50],
    0xD9: [0x22],
    0xDA: [0x12],
    0xDB: [0x35],
}
"""Commands with arguments, and what they are after power-on."""


class Glass:
    """An OLED module just switched on.

    Parameters
    ----------
    model : its controller, "ssd1306" or "sh1106"
    lots : what its memory is filled with at first

    Attributes
    ----------
    lit : whether the display is switched on
    settings : by command, the arguments that hold; those without are in `switches`
    switches : by the lower of the two commands, the one that holds: A0 and A1, A4 and A5, A6 and A7, C0 and C8
    """

    def __init__(self, model: str, lots: Random) -> None:
        self._columns, self._first_shown = (132, 2) if model == "sh1106" else (128, 0)
        self._memory = [bytearray(lots.randbytes(self._columns)) for _ in range(PAGES)]
        self._page = self._column = 0
        self._waiting: list[int] = []
        self.lit = False
        self.settings = {code: [*usual] for code, usual in (_SH1106 if model == "sh1106" else _SSD1306).items()}
        self.switches = {0xA0: 0xA0, 0xA4: 0xA4, 0xA6: 0xA6, 0xC0: 0xC0}

    def command(self, codes: Sequence[int]) -> None:
        """Obey a run of commands with their arguments; one that lacks some waits for them, whenever they come."""
        for code in codes:
            self._waiting.append(code)
            name, *arguments = self._waiting
            if len(arguments) == len(self.settings.get(name, ())):
                self._waiting = []
                self._obey(name, arguments)

    def _obey(self, code: int, arguments: list[int]) -> None:
        if arguments:
            self.settings[code] = arguments
        match code:
            case 0x21:
                self._column = arguments[0]
            case 0x22:
                self._page = arguments[0]
            case _ if code in (OFF, ON):
                self.lit = code == ON
            case 0xA0 | 0xA1 | 0xA4 | 0xA5 | 0xA6 | 0xA7:
                self.switches[code & 0xFE] = code
            case 0xC0 | 0xC8:
                self.switches[0xC0] = code
            case _ if code < 0x10:
                self._column = self._column & 0xF0 | code
            case _ if code < 0x20:
                self._column = self._column & 0x0F | (code & 0x0F) << 4
            case _ if 0xB0 <= code < 0xB8:
                self._page = code - 0xB0

    def data(self, data: Sequence[int]) -> None:
        """Write bytes where the addresses stand, which move on as the data sheet says."""
        horizontal = self.settings.get(_ADDRESSING, [2])[0] & 3 == 0
        left, right = self.settings[0x21] if horizontal else (0, self._columns - 1)
        for byte in data:
            if self._column < self._columns:
                place = self._column if self.switches[0xA0] == 0xA1 else self._columns - 1 - self._column
                self._memory[self._page][place] = byte
            self._column += 1
            if horizontal and self._column > right:
                self._column = left
                top, bottom = self.settings[0x22]
                self._page = self._page + 1 if self._page < bottom else top

    @property
    def brightness(self) -> float:
        """The current of a lit pixel: 0, or a share of the highest; 0 too without the power of the charge pump."""
        powered = self.settings.get(_PUMP, [0x14])[0] & 0x04
        return self.settings[_CONTRAST][0] / 256 if self.lit and powered else 0.0

    def picture(self) -> Image.Image:
        """What is seen: 128 x 64, mode "1"; all dark while there is no light."""
        if not self.brightness:
            return Image.new("1", (COLUMNS, _ROWS))
        rows = [self._row(y) for y in range(_ROWS)]
        if self.switches[0xC0] != 0xC8:
            rows.reverse()
        return Image.frombytes("L", (COLUMNS, _ROWS), b"".join(rows)).convert("1", dither=Image.Dither.NONE)

    def _row(self, y: int) -> bytes:
        turned, all_lit = self.switches[0xA6] == 0xA7, self.switches[0xA4] == 0xA5
        seen = self._memory[y // 8][self._first_shown :][:COLUMNS]
        return bytes(255 * (all_lit | (byte >> y % 8 & 1) ^ turned) for byte in seen)
