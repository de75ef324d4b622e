"""Pages that say one thing: waiting, cautions, a computer, the battery, what else there is, good night."""

from __future__ import annotations

from airladder.pages.box import Box
from airladder.pages.step import LOW_BATTERY
from airladder.panel import bars, fonts, page_words
from airladder.panel.canvas import SAFE_WIDTH, WIDTH, Canvas
from airladder.panel.pane import LEFT, lines
from airladder.panel.rounds import sheet
from airladder.practice.cautions import FIRST_RUN

_WAITING_RUNGS = 6
_MORE_STEP, _MORE_X, _HELD_Y = 14, 46, 45
_NIGHT_Y = (31, 42, 50)


def waiting(canvas: Canvas, box: Box) -> None:
    """No sound has come yet, and something climbs so that one sees it; or why none comes, where that is known."""
    if box.trouble:
        sheet.sentence(canvas, page_words.NAME, box.trouble, box.now)
        return
    bars.list_of(canvas, _WAITING_RUNGS, _WAITING_RUNGS - 1 - int(box.now) % _WAITING_RUNGS)
    canvas.text((LEFT, 4), page_words.NAME, fonts.middle())
    lines(canvas, [*page_words.WAITING])


def cautions(canvas: Canvas, box: Box) -> None:
    """One of the cautions."""
    read = min(box.read, len(FIRST_RUN) - 1)
    sheet.heading(canvas, page_words.CAUTION_HEADING, page_words.of(read + 1, len(FIRST_RUN)))
    sheet.rows(canvas, sheet.parts(FIRST_RUN[read])[0])


def more(canvas: Canvas) -> None:
    """What else there is."""
    for i, (word, about) in enumerate(page_words.MORE_LINES):
        canvas.text((1, i * _MORE_STEP - 1), word, fonts.middle())
        canvas.text((_MORE_X, i * _MORE_STEP + 4), about, fonts.small())
    canvas.text((1, _HELD_Y), page_words.HELD_BACK, fonts.small())
    canvas.text((SAFE_WIDTH, _HELD_Y), page_words.HELD_LEVEL, fonts.small(), align="right")


def computer(canvas: Canvas) -> None:
    """A computer is at the USB socket."""
    sheet.sentence(canvas, *page_words.COMPUTER)


def battery(canvas: Canvas) -> None:
    """The battery is low."""
    sheet.sentence(canvas, page_words.BATTERY, LOW_BATTERY)


def night(canvas: Canvas, box: Box) -> None:
    """The last picture before the box is switched off; it says that all is kept only where that is so."""
    state = box.session
    tries = len(state.attempts) if state else 0
    lost = tries - state.kept if state else 0
    head = page_words.EMPTY if box.empty else page_words.WELL_PLAYED if tries else page_words.GOOD_NIGHT
    below = page_words.not_kept(lost) if lost > 0 else page_words.ALL_KEPT
    canvas.text((WIDTH // 2, 9), head, fonts.middle(), align="centre")
    for text, y in zip(below, _NIGHT_Y, strict=False):
        canvas.text((WIDTH // 2, y), text, fonts.small(), align="centre")
