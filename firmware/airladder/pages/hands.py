"""What a press does on each page.

Conventions
-----------
As in a practice: BACK goes back, and held says good night; DOWN and UP turn what can be turned, and go on turning
while they are held; OK does the one thing that is offered. The foot switch does as OK, and held as UP.
"""

from __future__ import annotations

from dataclasses import replace

from airladder.pages import date, going
from airladder.pages.box import Box
from airladder.pages.choices import Place, turned
from airladder.pages.date import PARTS
from airladder.pages.effects import Look, Step, Tell
from airladder.pages.page import Page
from airladder.practice.cautions import FIRST_RUN
from airladder.practice.presses import Button, Press

WEEKS = 520
"""Ten years: further back no look goes."""

_TURNS = {Button.DOWN: -1, Button.UP: 1}
_TURNED = (Page.SETUP, Page.DAYS, Page.DATE, Page.ROUTINES)


def pressed(box: Box, press: Press) -> Step:
    """The next box after a press on a page other than PRACTICE."""
    button = press.meant
    if press.again and not (button in _TURNS and box.page in _TURNED):
        return box, ()
    if button is Button.BACK and press.long:
        return going.night(box)
    match box.page:
        case Page.WAITING:
            return _waiting(box, button)
        case Page.SETUP:
            return _set_up(box, button, long=press.long)
        case Page.CAUTIONS:
            return _cautions(box, button)
        case Page.LEVEL:
            return _level(box, button)
        case Page.TODAY:
            return _today(box, button)
        case Page.DAYS:
            return _days(box, button)
        case Page.DATE:
            return _date(box, button, long=press.long)
        case Page.MORE:
            return _more(box, press)
        case Page.BOX if button is Button.BACK:
            return going.to(box, Page.MORE), ()
        case Page.ROUTINES:
            return _routines(box, button)
        case Page.COMPUTER | Page.BATTERY if button is Button.OK:
            return going.to(box, box.before), ()
    return box, ()


def _waiting(box: Box, button: Button) -> Step:
    if button is Button.BACK:
        return going.night(box)
    return going.awake(box) if button is Button.OK else (box, ())


def _set_up(box: Box, button: Button, *, long: bool) -> Step:
    if button in _TURNS:
        return replace(box, choices=turned(box.choices, box.item, _TURNS[button])), ()
    items = going.items(box)
    at = items.index(box.item)
    if button is Button.BACK and not box.is_first_run:
        return going.home(box)
    if button is Button.OK and box.is_first_run and at == len(items) - 1 and not long:
        return going.onward(box)
    at += -1 if button is Button.BACK or long else 1
    if box.is_first_run:
        at = max(0, at)
    return replace(box, item=items[at % len(items)]), ()


def _cautions(box: Box, button: Button) -> Step:
    if button is Button.BACK:
        return replace(box, read=max(0, box.read - 1)), ()
    if button is not Button.OK:
        return box, ()
    if box.read + 1 < len(FIRST_RUN):
        return replace(box, read=box.read + 1), ()
    return going.onward(box)


def _level(box: Box, button: Button) -> Step:
    match button:
        case Button.DOWN:
            return replace(box, choices=replace(box.choices, place=Place.BELL)), ()
        case Button.UP:
            return replace(box, choices=replace(box.choices, place=Place.STAND)), ()
        case Button.OK:
            return going.onward(box) if box.is_first_run else going.home(box)
    if box.is_first_run:
        return box, ()
    box, effects = going.saved(box)
    return going.to(box, Page.MORE), effects


def _today(box: Box, button: Button) -> Step:
    match button:
        case Button.BACK:
            return going.to(box, Page.MORE), ()
        case Button.DOWN:
            return going.to(box, Page.SETUP), ()
        case Button.UP:
            return going.to(box, Page.DAYS), ()
    if box.glance is None:
        return box, ()
    return going.practice(box, box.glance.plan.routine, box.glance.limits)


def _days(box: Box, button: Button) -> Step:
    match button:
        case Button.BACK:
            return going.home(box)
        case Button.DOWN | Button.UP:
            return replace(box, back=min(WEEKS, max(0, box.back - _TURNS[button]))), ()
    if box.glance is None:
        return box, ()
    return replace(going.to(box, Page.DATE), date=box.glance.date, part=PARTS[0]), ()


def _date(box: Box, button: Button, *, long: bool) -> Step:
    """BACK from the first part leaves all as it was; OK after the last one says that it is so."""
    if button in _TURNS:
        return replace(box, date=date.turned(box.date, box.part, _TURNS[button])), ()
    at = PARTS.index(box.part) + (-1 if button is Button.BACK or long else 1)
    if at < 0:
        return going.to(box, Page.DAYS), ()
    if at < len(PARTS):
        return replace(box, part=PARTS[at]), ()
    return going.to(box, Page.TODAY), (Tell(box.date), Look(box.choices))


def _more(box: Box, press: Press) -> Step:
    match press.meant:
        case Button.BACK:
            return going.home(box)
        case Button.DOWN:
            return going.free(box)
        case Button.UP:
            return going.to(box, Page.ROUTINES), ()
    return going.to(box, Page.BOX if press.long else Page.LEVEL), ()


def _routines(box: Box, button: Button) -> Step:
    if button is Button.BACK:
        return going.to(box, Page.MORE), ()
    offered = box.glance.routines if box.glance else ()
    if not offered:
        return box, ()
    if button in _TURNS:
        return replace(box, row=(box.row - _TURNS[button]) % len(offered)), ()
    routine = offered[box.row].routine
    if routine is None or box.glance is None:
        return box, ()
    return going.practice(box, routine, box.glance.limits)
