"""The screen in the terminal: readable in 80 columns, redrawn in place only where there is a terminal."""

from __future__ import annotations

import io
import os
import re

import pytest
from PIL import Image

from airladder.devices.terminal import COLUMNS, ROWS, Terminal, braille, framed
from airladder.panel import gallery

FIRST, SECOND = (gallery.picture(gallery.samples()[name]) for name in ("wanted", "sounding-sharp"))


class Window(io.StringIO):
    """A terminal of some rows: a stream that says it is one and has an encoding."""

    encoding = "utf-8"

    def isatty(self) -> bool:
        """Yes."""
        return True


def looked_at(written: str) -> list[str]:
    """The lines that a terminal shows after this text: it knows "go up n lines" and "wipe from here" (ECMA-48)."""
    lines, row = [""], 0
    for up, wipe, end, text in re.findall(r"\x1b\[(\d+)F|(\x1b\[J)|(\n)|([^\x1b\n]+)", written):
        if up:
            row -= int(up)
            assert row >= 0
        elif wipe:
            lines[row:] = [""]
        elif end:
            row += 1
            lines += [""] * (row + 1 - len(lines))
        else:
            lines[row] += text
    return lines[:-1]


def undotted(lines: list[str]) -> Image.Image:
    """The picture from its Braille: dots 1 to 8 by the numbering of Unicode 15, block 2800."""
    places = ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))
    picture = Image.new("1", (len(lines[0]) * 2, len(lines) * 4))
    for row, line in enumerate(lines):
        for column, sign in enumerate(line):
            bits = 0 if sign == " " else ord(sign) - 0x2800
            for dot, (dx, dy) in enumerate(places):
                if bits >> dot & 1:
                    picture.putpixel((column * 2 + dx, row * 4 + dy), 255)
    return picture


@pytest.mark.parametrize("name", gallery.samples())
def test_every_pixel_is_a_dot(name: str) -> None:
    picture = gallery.picture(gallery.samples()[name])
    assert undotted(braille(picture)).tobytes() == picture.tobytes()


def test_the_framed_picture_fits_80_columns() -> None:
    lines = framed(FIRST).splitlines()
    assert len(lines) == ROWS <= 23
    assert {len(line) for line in lines} == {COLUMNS}
    assert COLUMNS <= 80


def test_on_a_terminal_the_picture_is_redrawn_in_place() -> None:
    window = Window()
    terminal = Terminal(window, size=(80, 24))
    terminal.show(FIRST)
    terminal.show(SECOND)
    assert looked_at(window.getvalue()) == framed(SECOND).splitlines()


def test_an_unchanged_picture_writes_nothing() -> None:
    window = Window()
    terminal = Terminal(window, size=(80, 24))
    terminal.show(FIRST)
    written = window.getvalue()
    terminal.show(FIRST.copy())
    assert window.getvalue() == written


def test_lines_are_said_above_the_picture_which_stays() -> None:
    window = Window()
    terminal = Terminal(window, size=(80, 24))
    terminal.say("one")
    terminal.show(FIRST)
    terminal.say("two")
    terminal.show(SECOND)
    terminal.say("three")
    assert looked_at(window.getvalue()) == ["one", "two", "three", *framed(SECOND).splitlines()]


def test_a_printed_picture_stays_and_the_live_one_goes_on_below() -> None:
    window = Window()
    terminal = Terminal(window, size=(80, 24))
    terminal.show(FIRST)
    terminal.print_picture(SECOND)
    assert looked_at(window.getvalue()) == [*framed(SECOND).splitlines(), *framed(FIRST).splitlines()]


def test_closing_leaves_the_picture_and_what_is_said_later_comes_below() -> None:
    window = Window()
    terminal = Terminal(window, size=(80, 24))
    terminal.show(FIRST)
    terminal.close()
    terminal.close()
    terminal.say("the log lies here")
    assert looked_at(window.getvalue()) == [*framed(FIRST).splitlines(), "the log lies here"]


def test_without_a_terminal_nothing_is_redrawn_but_lines_are_said_and_pictures_printed_when_asked_for() -> None:
    stream = io.TextIOWrapper(io.BytesIO(), "utf-8")
    terminal = Terminal(stream)
    terminal.show(FIRST)
    terminal.say("partial 3, F♯5")
    terminal.print_picture(SECOND)
    terminal.show(FIRST)
    stream.seek(0)
    assert stream.read() == "partial 3, F♯5\n" + framed(SECOND)
    assert not terminal.in_place


def test_without_utf8_the_screen_is_not_drawn_and_that_is_said_once() -> None:
    stream = io.TextIOWrapper(io.BytesIO(), "ascii")
    terminal = Terminal(stream)
    terminal.say("B♭3")
    terminal.print_picture(FIRST)
    terminal.print_picture(SECOND)
    stream.seek(0)
    assert stream.read() == (
        "B?3\n(The screen is not drawn: this terminal has no UTF-8. Set a locale such as C.UTF-8 to see it.)\n"
    )


@pytest.mark.parametrize("size", [(65, 24), (80, 18)])
def test_in_a_small_window_the_screen_is_not_drawn_and_that_is_said_once(size: tuple[int, int]) -> None:
    window = Window()
    terminal = Terminal(window, size=size)
    terminal.show(FIRST)
    terminal.show(SECOND)
    assert window.getvalue() == "(The screen is not drawn: the window is smaller than 66 columns by 19 rows.)\n"


def test_on_a_real_pseudo_terminal_the_picture_arrives() -> None:
    """A pair of the kernel's own terminals: the size is asked of it, and it gives none, so 80 by 24 is taken."""
    ours, theirs = os.openpty()
    with os.fdopen(theirs, "w", encoding="utf-8") as stream:
        terminal = Terminal(stream)
        assert terminal.in_place
        terminal.show(FIRST)
        arrived = b""
        while arrived.count(b"\n") < ROWS:
            arrived += os.read(ours, 65536)
    os.close(ours)
    assert arrived.decode().replace("\r\n", "\n") == framed(FIRST)


def test_a_terminal_that_has_gone_stops_nothing() -> None:
    read, write = os.pipe()
    stream = os.fdopen(write, "w", encoding="utf-8")

    class Gone(Window):
        def flush(self) -> None:
            """Meet the broken pipe."""
            stream.write("x")
            stream.flush()

    os.close(read)
    Terminal(Gone(), size=(80, 24)).show(FIRST)
    with pytest.raises(BrokenPipeError):
        stream.close()
