"""The picture of the whole panel, page by page.

Conventions
-----------
Pixels as in `canvas`. Everything is a function of the box alone.
"""

from __future__ import annotations

from PIL import Image

from airladder.pages.box import Box
from airladder.pages.page import Page
from airladder.panel import screens
from airladder.panel.canvas import Canvas
from airladder.panel.rounds import date, days, level, notes, own, setting_up, sheet, today
from airladder.panel.rounds.buttons import chosen, row


def picture(box: Box) -> Image.Image:
    """The picture of a box: 128 x 64, mode "1"."""
    return compose(box).image


def compose(box: Box) -> Canvas:
    """The drawn sheet of a box, which can also be asked for its flaws."""
    if box.page is Page.PRACTICE and box.seen is not None:
        return screens.compose(box.seen)
    canvas = Canvas()
    sheet.labels(canvas, row(box), chosen(box))
    _draw(canvas, box)
    return canvas


def _draw(canvas: Canvas, box: Box) -> None:
    match box.page:
        case Page.WAITING:
            notes.waiting(canvas, box)
        case Page.SETUP:
            setting_up.draw(canvas, box)
        case Page.CAUTIONS:
            notes.cautions(canvas, box)
        case Page.LEVEL:
            level.draw(canvas, box)
        case Page.TODAY:
            today.draw(canvas, box)
        case Page.DAYS:
            days.draw(canvas, box)
        case Page.DATE:
            date.draw(canvas, box)
        case Page.MORE:
            notes.more(canvas)
        case Page.BOX:
            own.draw(canvas, box)
        case Page.ROUTINES:
            today.routines(canvas, box)
        case Page.COMPUTER:
            notes.computer(canvas)
        case Page.BATTERY:
            notes.battery(canvas)
        case Page.NIGHT | Page.PRACTICE:
            notes.night(canvas, box)
