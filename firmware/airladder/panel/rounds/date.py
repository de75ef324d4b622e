"""The date and time: one part at a time, and below it the whole."""

from __future__ import annotations

from airladder.pages.box import Box
from airladder.pages.date import PARTS, Date, Part
from airladder.panel import bars, fonts, page_words
from airladder.panel.canvas import SAFE_WIDTH, Canvas
from airladder.panel.pane import LEFT, lines

_VALUE_Y = 9


def draw(canvas: Canvas, box: Box) -> None:
    """The part that is turned, and whether the box knows the date by itself."""
    at = PARTS.index(box.part)
    bars.list_of(canvas, len(PARTS), at)
    canvas.text((LEFT, 0), page_words.PARTS[box.part], fonts.small())
    canvas.text((SAFE_WIDTH, 0), page_words.of(at + 1, len(PARTS)), fonts.small(), align="right")
    canvas.text((LEFT, _VALUE_Y), _value(box.date, box.part), fonts.great_numerals())
    unknown = box.glance is not None and not box.glance.dated
    lines(canvas, ["", page_words.date(box.date), page_words.DATE_UNKNOWN if unknown else ""])


def _value(date: Date, part: Part) -> str:
    value = int(getattr(date, part.value))
    return f"{value:02d}" if part in (Part.HOUR, Part.MINUTE) else str(value)
