"""The type and the sheet: what is read from the font files, what the sheet tells of itself, how sentences wrap."""

from __future__ import annotations

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from airladder.panel import fonts, notices, words
from airladder.panel.canvas import Canvas
from airladder.panel.fonts import Font

ALL = {
    "small": (fonts.small, 5, 8),
    "middle": (fonts.middle, 8, 16),
    "large": (fonts.large, 11, 19),
    "great": (fonts.great_numerals, 15, 26),
}


@pytest.mark.parametrize("name", ALL)
def test_every_glyph_fills_its_cell(name: str) -> None:
    make, width, height = ALL[name]
    font = make()
    assert (font.width, font.height) == (width, height)
    for character in font.rows:
        assert font.glyph(character).bitmap.size == (width, height)


@pytest.mark.parametrize("font", [fonts.small(), fonts.middle()])
def test_text_sizes_have_all_letters_and_the_signs_of_music(font: Font) -> None:
    assert set(string.printable[:95] + "♭♯−±…–") <= set(font.rows)


@pytest.mark.parametrize("font", [fonts.large(), fonts.great_numerals()])
def test_no_two_numerals_are_alike(font: Font) -> None:
    assert len({font.glyph(digit).bitmap.tobytes() for digit in string.digits}) == 10


def test_a_character_that_the_font_lacks_is_an_empty_box_and_not_nothing() -> None:
    font = fonts.small()
    assert font.glyph("漢").bitmap.tobytes() == font.glyph(fonts.UNKNOWN).bitmap.tobytes()
    assert font.glyph("漢").ink is not None


def test_a_font_file_is_read_as_it_is_written() -> None:
    """A glyph of two rows in the form of the BDF 2.1 specification (Adobe, 1993)."""
    head = "STARTFONT 2.1\nFONTBOUNDINGBOX 9 2 0 0\nCHARS 1\n"
    glyph = "STARTCHAR A\nENCODING 65\nDWIDTH 10 0\nBBX 9 2 0 0\nBITMAP\n8080\n4000\nENDCHAR\nENDFONT\n"
    font = fonts.parsed(head + glyph)
    lit = {(x, y) for x in range(9) for y in range(2) if font.glyph("A").bitmap.getpixel((x, y))}
    assert (font.width, font.height, font.glyph("A").advance, lit) == (9, 2, 10, {(0, 0), (8, 0), (1, 1)})


def test_a_narrow_sign_takes_less_room_and_the_line_is_measured_with_it() -> None:
    """A flat is 9 pixels wide, every other sign 11; the gap is 2."""
    font = fonts.large()
    assert [font.measure(text) for text in ("", "♭", "B5", "B♭5", "B♭")] == [0, 11, 24, 35, 24]
    canvas = Canvas()
    canvas.text((100, 0), "B♭5", font, align="right")
    box = canvas.image.getbbox()
    assert box is not None
    assert (box[0], box[2]) == (65, 100)


def test_the_sheet_tells_what_leaves_it() -> None:
    canvas = Canvas()
    canvas.text((120, 0), "up we go", fonts.small())
    assert canvas.flaws() == ["'up we go' leaves the screen"]


@pytest.mark.parametrize(("box", "flaws"), [((1, 1, 127, 63), 0), ((1, 1, 128, 63), 1), ((1, 1, 127, 64), 1)])
def test_the_last_column_and_the_last_row_are_outside(box: tuple[int, int, int, int], flaws: int) -> None:
    canvas = Canvas()
    canvas.claim("a drawing", box)
    assert len(canvas.flaws()) == flaws


def test_the_sheet_tells_what_lies_on_top_of_another() -> None:
    canvas = Canvas()
    canvas.text((0, 0), "held", fonts.small())
    canvas.text((10, 3), "2.4", fonts.middle())
    assert canvas.flaws() == ["'2.4' lies on 'held'"]


@pytest.mark.parametrize(("align", "left"), [("left", 40), ("centre", 31), ("right", 21)])
def test_text_stands_where_it_is_aligned(align: str, left: int) -> None:
    canvas = Canvas()
    canvas.text((40, 0), "mmHm", fonts.small(), align=align)  # type: ignore[arg-type]
    box = canvas.image.getbbox()
    assert box is not None
    assert box[0] == pytest.approx(left, abs=1)


@given(st.text(max_size=500), st.integers(5, 25), st.integers(1, 7))
def test_a_sentence_is_whole_or_ends_in_an_ellipsis(sentence: str, width: int, lines: int) -> None:
    wrapped = notices.wrapped(sentence, width, lines)
    assert len(wrapped) <= lines
    assert all(len(line) <= width for line in wrapped)
    whole = "".join("".join(wrapped).split()) == "".join(sentence.split())
    assert whole or wrapped[-1].endswith("…")


def test_a_fault_shows_seven_lines_of_25_characters() -> None:
    sentence = " ".join(["abcd"] * 35)
    lines = notices.wrapped(sentence, notices.LINE, notices.FAULT_LINES)
    assert (len(lines), max(map(len, lines))) == (7, 24)
    assert not lines[-1].endswith("…")
    assert notices.fault(sentence).flaws() == []


def test_the_fault_and_the_farewell_are_pictures_of_the_screen() -> None:
    for picture in (notices.draw_fault("No."), notices.draw_farewell()):
        assert (picture.mode, picture.size) == ("1", (128, 64))
        assert isinstance(picture, Image.Image)
    assert len(words.FAULT_HEADING) <= notices.LINE
