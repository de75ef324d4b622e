"""The set-up: one choice at a time, its place among the others as a rung of the ladder."""

from __future__ import annotations

from airladder.music.names import pretty
from airladder.pages.box import Box
from airladder.pages.choices import Item
from airladder.pages.going import items
from airladder.panel import fonts, ladder, page_words
from airladder.panel.canvas import SAFE_WIDTH, Canvas
from airladder.panel.pane import LEFT, lines
from airladder.practice.state import Aloud

_VALUE_Y = 10


def draw(canvas: Canvas, box: Box) -> None:
    """The choice that is shown, and what it means."""
    among = items(box)
    at = among.index(box.item) if box.item in among else 0
    ladder.list_of(canvas, len(among), at)
    canvas.text((LEFT, 0), page_words.ITEMS[box.item], fonts.small())
    canvas.text((SAFE_WIDTH, 0), page_words.of(at + 1, len(among)), fonts.small(), align="right")
    match box.item:
        case Item.HORN:
            _word(canvas, box.choices.horn.name, "", page_words.sounds(box.choices.series))
        case Item.FINGERING:
            _fingering(canvas, box)
        case Item.A4:
            _a4(canvas, box)
        case Item.AGAINST:
            _word(canvas, box.choices.against.value, *page_words.AGAINST[box.choices.against])
        case Item.ALOUD:
            _aloud(canvas, box)


def _word(canvas: Canvas, word: str, *below: str) -> None:
    canvas.text((LEFT, _VALUE_Y + 2), word, fonts.middle())
    lines(canvas, ["", *below])


def _fingering(canvas: Canvas, box: Box) -> None:
    choices = box.choices
    canvas.text((LEFT, _VALUE_Y), pretty(choices.fingering.written), fonts.large())
    below = [page_words.fingering_word(choices.fingering), page_words.sounds(choices.series)]
    lines(canvas, ["", *below])


def _a4(canvas: Canvas, box: Box) -> None:
    canvas.text((LEFT, _VALUE_Y), f"{box.choices.a4:.0f}", fonts.great_numerals())
    canvas.text((SAFE_WIDTH, _VALUE_Y + 12), page_words.HZ, fonts.middle(), align="right")


def _aloud(canvas: Canvas, box: Box) -> None:
    mute = not box.output and box.choices.aloud is not Aloud.SILENT
    _word(canvas, box.choices.aloud.value, *(page_words.NO_OUTPUT if mute else page_words.ALOUD[box.choices.aloud]))
