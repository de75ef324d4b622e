"""What stands above each button on each page: nothing above one that does nothing there."""

from __future__ import annotations

from airladder.pages.box import Box
from airladder.pages.choices import Place
from airladder.pages.date import PARTS
from airladder.pages.going import items
from airladder.pages.hands import WEEKS
from airladder.pages.page import Page
from airladder.panel import page_words, words
from airladder.panel.words import Row
from airladder.practice.presses import ROW, Button

NOTHING: Row = ("", "", "", "")


def row(box: Box) -> Row:
    """The labels, in the order of `presses.ROW`."""
    if box.page is Page.PRACTICE:
        return NOTHING if box.session is None else words.row(box.session)
    back, down, up, ok = page_words.ROWS[box.page]
    if box.is_first_run:
        back, ok = page_words.FIRST_BACK, page_words.FIRST_NEXT
    if box.page is Page.DATE and box.part is PARTS[-1]:
        ok = page_words.DATE_LAST
    still = _still(box)
    said = zip(ROW, (back, down, up, ok), strict=True)
    back, down, up, ok = ("" if button in still else label for button, label in said)
    return back, down, up, ok


def chosen(box: Box) -> Button | None:
    """The button whose choice holds now, on the page that sets the place of the microphone."""
    if box.page is not Page.LEVEL:
        return None
    return Button.DOWN if box.choices.place is Place.BELL else Button.UP


def _still(box: Box) -> set[Button]:
    """The buttons that do nothing now, though they do on this page."""
    match box.page:
        case Page.SETUP:
            return {Button.BACK} if box.is_first_run and box.item is items(box)[0] else set()
        case Page.CAUTIONS:
            return set() if box.read else {Button.BACK}
        case Page.LEVEL:
            return {Button.BACK} if box.is_first_run else set()
        case Page.TODAY:
            return {Button.OK} if box.glance is None else set()
        case Page.DAYS:
            ends = {Button.UP: box.back <= 0, Button.DOWN: box.back >= WEEKS, Button.OK: box.glance is None}
            return {button for button, at_end in ends.items() if at_end}
        case Page.ROUTINES:
            return _without_routines(box)
        case _:
            return set()


def _without_routines(box: Box) -> set[Button]:
    offered = box.glance.routines if box.glance else ()
    few = {Button.DOWN, Button.UP} if len(offered) < 2 else set()
    return few | (set() if offered and offered[box.row % len(offered)].routine else {Button.OK})
