"""What an OLED controller wants to hear: the bytes of a picture, where they go, and how bright they are.

luma knows the settings that a module needs before it shows anything; they are heard from its own drivers, so that
they are kept up there and not here. Pictures go another way than luma's: it looks at each of 8192 pixels in Python
and sends all of them, too much for ten pictures a second. Here Pillow packs them, and only what changed is sent.

Both controllers are told page by page, a page being 8 rows. The SSD1306 could also be given a window over several
pages, but that takes 3 bytes more for each piece, and a second way to do the same.

Conventions
-----------
Columns and pages count from 0 at the top left of the glass.

Sources: SSD1306 data sheet rev. 1.1 (2008): 8.7 (memory), 8.8 (segment current), 10.1 (commands); SH1106 data sheet
rev. 2.3: commands 1, 2, 3, 6, 12, 16, 21.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from PIL.Image import Image, Transpose

from airladder.faults import BadInput, did_you_mean
from airladder.pages.light import Light

MODELS = ("ssd1306", "sh1106")
"""The controllers that we drive."""
OFF, ON = 0xAE, 0xAF
PAGES, COLUMNS = 8, 128

NOTHING = 0xE3
"""Does nothing, and takes the place of an argument that a command which was cut off still waits for."""

_CONTRAST, _PRE_CHARGE = 0x81, 0xD9
_PAGE_BY_PAGE = (0x20, 0x02)

# The current of a lit pixel is proportional to the contrast (of 256). Dim has an eighth of it, which looks about
# half as bright. The charge that each row is given beforehand lights it too, whatever the contrast (u8g2 issue 98):
# dim has the shortest one, 1 clock each way, 0 being no valid number. The third knob, the level of rows at rest,
# stays where it is: it turns some SH1106 modules black (u8g2 issue 1833).
_LIGHTS = {
    "ssd1306": {Light.BRIGHT: (0xCF, 0xF1), Light.DIM: (0x1A, 0x11)},
    "sh1106": {Light.BRIGHT: (0x7F, 0x22), Light.DIM: (0x10, 0x11)},
}


@dataclass(frozen=True)
class Driver:
    """How one sort of controller is spoken to.

    Attributes
    ----------
    settings : commands that a controller needs which has just got its power, all but `ON`. They change nothing on one
        that has them already, so that they can be sent to a screen in use.
    """

    settings: tuple[int, ...]
    _first_column: int
    _lights: Mapping[Light, tuple[int, int]]

    def brightness(self, light: Light) -> tuple[int, ...]:
        """The commands for bright or dim."""
        contrast, pre_charge = self._lights[light]
        return _CONTRAST, contrast, _PRE_CHARGE, pre_charge

    def place(self, page: int, column: int) -> tuple[int, int, int]:
        """The commands that say where the next bytes go."""
        column += self._first_column
        return 0xB0 | page, column & 0x0F, 0x10 | column >> 4


def driver(model: str) -> Driver:
    """The driver of that controller.

    Raises
    ------
    BadInput : when the model is not known.
    """
    if model not in MODELS:
        raise BadInput(f"'{model}' is no screen that we know{did_you_mean(model, MODELS)}")
    # A transfer that broke off may have left a command waiting for its argument: a command that does nothing is
    # swallowed as such, or does nothing.
    settings = (NOTHING, *_settings_of_luma(model))
    if model == "ssd1306":
        return Driver((*settings, *_PAGE_BY_PAGE), 0, _LIGHTS[model])
    return Driver(settings, 2, _LIGHTS[model])


class _Heard:
    """Takes the place of a bus, and keeps the commands."""

    def __init__(self) -> None:
        self.commands: list[int] = []

    def command(self, *commands: int) -> None:
        self.commands += commands

    def cleanup(self) -> None:
        """Nothing: luma calls it at the end of the program."""


def _settings_of_luma(model: str) -> list[int]:
    """What luma sends first to such a controller, but for `OFF`, the clearing of the memory, and `ON`."""
    from luma.oled import device

    kind: Any = getattr(device, model)

    class Unseen(kind):  # type: ignore[misc]  # luma ships no types
        def clear(self) -> None:
            """Nothing: the first picture fills the memory."""

    heard = _Heard()
    Unseen(heard).persist = True
    _off, *settings, _on = heard.commands
    return settings


def pages(picture: Image, *, upside_down: bool = False) -> tuple[bytes, ...]:
    """The picture as both controllers want it.

    Parameters
    ----------
    picture : 128 x 64, mode "1"
    upside_down : turn it by half

    Returns
    -------
    8 pages from the top, each 128 bytes from the left; a byte is 8 pixels of a column, the topmost its lowest bit.
    """
    if upside_down:
        picture = picture.transpose(Transpose.ROTATE_180)
    columns = picture.transpose(Transpose.ROTATE_270).tobytes()
    return tuple(columns[PAGES - 1 - page :: PAGES] for page in range(PAGES))


def changed(known: bytes | None, wanted: bytes) -> tuple[int, int] | None:
    """The first column of a page that must be sent, and the one after the last.

    Parameters
    ----------
    known : what the controller holds; None when that is not known
    wanted : what it is to hold, as long

    Returns
    -------
    None when nothing must be sent.
    """
    if known is None:
        return 0, len(wanted)
    if known == wanted:
        return None
    differing = int.from_bytes(known) ^ int.from_bytes(wanted)
    lowest = differing & -differing
    return len(wanted) - (differing.bit_length() + 7) // 8, len(wanted) - (lowest.bit_length() - 1) // 8
