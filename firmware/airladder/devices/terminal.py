"""The screen in a terminal: Braille dots, 64 x 16 characters in a thin frame, inside 80 columns.

Why not luma.emulator, whose devices draw in a terminal too: it needs pygame for every picture, its half blocks want
128 columns (fewer, and it shrinks the picture), its letters as greys cannot be read, and both take hold of the whole
terminal, so that no line can be said beside the picture. Braille has 2 x 4 dots a character: a pixel is a dot and
the picture keeps its shape.

On a terminal the picture stays at the bottom and is redrawn in place; lines that are said scroll by above it. In a
file or a pipe nothing is redrawn: lines are said, and a picture is printed where one is asked for. Where there are
no Braille dots (no UTF-8) or no room, no picture is drawn, which is said once: with letters, a picture of 128 pixels
cannot be made readable in 80 columns.
"""

from __future__ import annotations

import contextlib
import os
from threading import Lock
from typing import TextIO

from PIL.Image import Image

from airladder.pages.light import Light

COLUMNS, ROWS = 66, 18
"""What the framed picture takes, in characters."""

_BRAILLE = 0x2800
_DOTS = ((0, 0x08, 0x01, 0x09), (0, 0x10, 0x02, 0x12), (0, 0x20, 0x04, 0x24), (0, 0x80, 0x40, 0xC0))
"""Bits of the Braille patterns (Unicode 15, block 2800) by row, and by the row's two pixels read as a number."""

_NO_DOTS = "(The screen is not drawn: this terminal has no UTF-8. Set a locale such as C.UTF-8 to see it.)"
_NO_ROOM = f"(The screen is not drawn: the window is smaller than {COLUMNS} columns by {ROWS + 1} rows.)"


def braille(picture: Image) -> list[str]:
    """A 1-bit picture, its width a multiple of 8, as lines of Braille dots, one character for 2 x 4 pixels."""
    width, height = picture.size
    packed, stride = picture.tobytes(), width // 8
    rows = [int.from_bytes(packed[i : i + stride], "big") for i in range(0, len(packed), stride)]
    shifts = range(width - 2, -1, -2)
    return ["".join(_cell(rows[y : y + 4], shift) for shift in shifts) for y in range(0, height, 4)]


def _cell(rows: list[int], shift: int) -> str:
    bits = sum(dots[row >> shift & 3] for dots, row in zip(_DOTS, rows, strict=True))
    return chr(_BRAILLE + bits) if bits else " "


def framed(picture: Image) -> str:
    """The picture in its frame, 18 lines, each ended."""
    lines = [f"│{line}│" for line in braille(picture)]
    edge = "─" * (COLUMNS - 2)
    return "\n".join([f"┌{edge}┐", *lines, f"└{edge}┘", ""])


class Terminal:
    """A `Display` on a text stream; may be used by several threads.

    Parameters
    ----------
    stream : where to write, such as `sys.stdout`
    size : columns and rows of the window; asked of the terminal when not given

    Attributes
    ----------
    in_place : True when pictures are redrawn in place as they change
    """

    def __init__(self, stream: TextIO, size: tuple[int, int] | None = None) -> None:
        self._stream = stream
        self._lock = Lock()
        self._shown: bytes | None = None
        self._drawn = ""
        self._refusal = self._why_not(size)
        self._refusal_said = False
        self.in_place = stream.isatty() and not self._refusal

    def show(self, picture: Image, light: Light = Light.BRIGHT) -> None:
        """Redraw the picture in place; nothing where that cannot be. A terminal is never dimmed."""
        with self._lock, contextlib.suppress(OSError):
            if not self._stream.isatty() or picture.tobytes() == self._shown:
                return
            self._shown = picture.tobytes()
            if self._refused():
                return
            new = framed(picture)
            self._write(self._above() + new)
            self._drawn = new

    def say(self, line: str) -> None:
        """Print a line of text; on a terminal it appears above the picture."""
        with self._lock:
            self._write(f"{self._above()}{self._printable(line)}\n{self._drawn}")

    def print_picture(self, picture: Image) -> None:
        """Print a picture once, to stay."""
        with self._lock:
            if not self._refused():
                self._write(f"{self._above()}{framed(picture)}{self._drawn}")

    def close(self) -> None:
        """Leave the last picture where it is."""
        with self._lock:
            self._drawn = ""

    def _above(self) -> str:
        """Go up to the first line of the picture and wipe it away; nothing when none is drawn."""
        return f"\x1b[{ROWS}F\x1b[J" if self._drawn else ""

    def _refused(self) -> bool:
        """True where no picture can be drawn; why is said the first time."""
        if self._refusal and not self._refusal_said:
            self._write(f"{self._refusal}\n")
            self._refusal_said = True
        return bool(self._refusal)

    def _why_not(self, size: tuple[int, int] | None) -> str:
        try:
            "⠿─│".encode(self._stream.encoding or "ascii")
        except (UnicodeEncodeError, LookupError):
            return _NO_DOTS
        columns, rows = size or _window(self._stream)
        return _NO_ROOM if columns < COLUMNS or rows <= ROWS else ""

    def _printable(self, line: str) -> str:
        encoding = self._stream.encoding or "ascii"
        return line.encode(encoding, errors="replace").decode(encoding)

    def _write(self, text: str) -> None:
        self._stream.write(text)
        self._stream.flush()


def _window(stream: TextIO) -> tuple[int, int]:
    """Columns and rows of the terminal; 80 by 24 of what is none, or does not say."""
    try:
        columns, rows = os.get_terminal_size(stream.fileno())
    except (OSError, ValueError):
        return 80, 24
    return (columns or 80, rows or 24)
