"""Pages that say one thing: waiting, cautions, a computer, the battery, what else there is, good night."""

from __future__ import annotations

from airladder.pages.box import Box
from airladder.pages.step import LOW_BATTERY
from airladder.panel import fonts, ladder, notices, page_words
from airladder.panel.canvas import Canvas
from airladder.panel.pane import LEFT, lines
from airladder.panel.rounds import sheet
from airladder.practice.cautions import FIRST_RUN

_WAITING_RUNGS = 6


def waiting(canvas: Canvas, box: Box) -> None:
    """No sound has come yet; why, where that is known."""
    if box.trouble:
        sheet.heading(canvas, page_words.NAME)
        sheet.sentence(canvas, box.trouble, box.now)
        return
    ladder.list_of(canvas, _WAITING_RUNGS, None)
    canvas.text((LEFT, 4), page_words.NAME, fonts.middle())
    lines(canvas, ["", *page_words.WAITING])


def cautions(canvas: Canvas, box: Box) -> None:
    """One of the cautions."""
    read = min(box.read, len(FIRST_RUN) - 1)
    sheet.heading(canvas, page_words.CAUTION_HEADING)
    sheet.sentence(canvas, FIRST_RUN[read])


def more(canvas: Canvas) -> None:
    """What else there is."""
    sheet.heading(canvas, page_words.MORE)
    sheet.rows(canvas, page_words.MORE_LINES, 18)


def computer(canvas: Canvas) -> None:
    """A computer is at the USB socket."""
    head, text = page_words.COMPUTER
    sheet.heading(canvas, head)
    sheet.sentence(canvas, text)


def battery(canvas: Canvas) -> None:
    """The battery is low."""
    sheet.heading(canvas, page_words.BATTERY)
    sheet.sentence(canvas, LOW_BATTERY)


def night(box: Box) -> Canvas:
    """The last picture before the screen goes dark."""
    return notices.farewell() if box.practices else notices.two_lines(*page_words.NIGHT)
