"""What a person would read on a picture of the glass, found with the panel's own letters.

Nothing is known of the page: the letters are looked for, pixel by pixel, wherever they may stand. The panel moves its
picture by a pixel now and then (`panel/shift.py`).
"""

from __future__ import annotations

import base64
import zlib

import numpy as np
import numpy.typing as npt
from PIL import Image

from airladder.panel import fonts
from airladder.panel.fonts import Font
from airladder.panel.pane import LEFT

Bits = npt.NDArray[np.bool_]

MOST_PARTIAL = 16
_MOVED = 2  # pixels


def picture_of(packed: str) -> Image.Image:
    """The picture that `inside/watch.py` has packed; lit pixels are white."""
    raw = Image.frombytes("1", (128, 64), zlib.decompress(base64.b64decode(packed)))
    return raw.point(lambda bit: 255 - bit)  # PBM has black ink for 1


def shows(picture: Image.Image, text: str, font: Font | None = None) -> bool:
    """Whether the text stands somewhere on it, in that size of type (small, where none is named) or turned dark."""
    wanted = _ink(text, font or fonts.small())
    places = np.lib.stride_tricks.sliding_window_view(np.asarray(picture), wanted.shape)
    found: Bits = (places == wanted).all(axis=(2, 3)) | (places != wanted).all(axis=(2, 3))
    return bool(found.any())


def partial_on(picture: Image.Image) -> int | None:
    """The partial that stands large in the pane; None where there is none."""
    for partial in range(MOST_PARTIAL, 0, -1):
        wanted = _ink(str(partial), fonts.great_numerals())
        rows, columns = wanted.shape
        seen = np.asarray(picture)[: rows + 2 * _MOVED + 4, LEFT - _MOVED : LEFT + columns + 2 * _MOVED + 4]
        places = np.lib.stride_tricks.sliding_window_view(seen, wanted.shape)
        if bool((places == wanted).all(axis=(2, 3)).any()):
            return partial
    return None


def _ink(text: str, font: Font) -> Bits:
    line = font.line(text)
    assert line.ink is not None
    return np.asarray(line.bitmap.crop(line.ink), np.bool_)
