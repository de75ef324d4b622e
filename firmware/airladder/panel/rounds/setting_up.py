"""The set-up: one choice at a time, its place among the others as a rung of the ladder."""

from __future__ import annotations

from airladder.music.names import parse, pretty
from airladder.pages.box import Box
from airladder.pages.choices import Choices, Item
from airladder.pages.going import items
from airladder.panel import bars, fonts, page_words
from airladder.panel.canvas import SAFE_WIDTH, Canvas
from airladder.panel.pane import LEFT, lines
from airladder.practice.state import Aloud

_C4 = parse("C4").number
_VALUE_Y, _WORD_Y = 9, 10


def draw(canvas: Canvas, box: Box) -> None:
    """The choice that is shown, and what it means."""
    among = items(box)
    at = among.index(box.item) if box.item in among else 0
    bars.list_of(canvas, len(among), at)
    canvas.text((LEFT, 0), page_words.ITEMS[box.item], fonts.small())
    canvas.text((SAFE_WIDTH, 0), page_words.of(at + 1, len(among)), fonts.small(), align="right")
    hint = "" if box.is_first_run else page_words.HOLD_NEXT
    match box.item:
        case Item.HORN:
            horn = box.choices.horn
            _word(canvas, horn.name, page_words.CONCERT, page_words.sounds(horn.sounding(_C4)), hint)
        case Item.FINGERING:
            _fingering(canvas, box.choices)
        case Item.A4:
            _a4(canvas, round(box.choices.a4), hint)
        case Item.AGAINST:
            _word(canvas, box.choices.against.value, *page_words.AGAINST[box.choices.against])
        case Item.ALOUD:
            _aloud(canvas, box)


def _word(canvas: Canvas, word: str, *below: str) -> None:
    canvas.text((LEFT, _WORD_Y), word, fonts.middle())
    lines(canvas, [*below])


def _fingering(canvas: Canvas, choices: Choices) -> None:
    canvas.text((LEFT, _VALUE_Y), pretty(choices.fingering.written), fonts.large())
    sounding = page_words.sounds(choices.series.fundamental_number)
    lines(canvas, ["", page_words.fingering_word(choices.fingering), sounding])


def _a4(canvas: Canvas, hz: int, hint: str) -> None:
    canvas.text((LEFT, _VALUE_Y), str(hz), fonts.great_numerals())
    canvas.text((LEFT + 50, _VALUE_Y + 12), page_words.HZ, fonts.middle())
    lines(canvas, ["", page_words.a4(hz), hint])


def _aloud(canvas: Canvas, box: Box) -> None:
    mute = not box.output and box.choices.aloud is not Aloud.SILENT
    _word(canvas, box.choices.aloud.value, *(page_words.NO_OUTPUT if mute else page_words.ALOUD[box.choices.aloud]))
