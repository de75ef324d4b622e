"""Boxes on every page, for tests, and what becomes of them: nobody pressed anything."""

from __future__ import annotations

from dataclasses import replace

from airladder.pages.box import Box
from airladder.pages.effects import Effect
from airladder.pages.events import Event
from airladder.pages.page import Page
from airladder.pages.step import step
from airladder.panel.mapping import examples
from airladder.practice.presses import Button, Press
from airladder.practice.session import Tick

NEW, KNOWN = examples()
"""A box on which nobody ever practised, and one on which somebody did: both wait for sound, with a plan."""

BACK, DOWN, UP, OK, FOOT = (Press(button, False, 0.0) for button in Button)
NIGHT, DOWN_HELD, UP_HELD, OK_HELD, FOOT_HELD = (Press(button, True, 0.0) for button in Button)


def after(box: Box, *events: Event) -> Box:
    """The box after these events."""
    return done(box, *events)[0]


def done(box: Box, *events: Event) -> tuple[Box, list[Effect]]:
    """The box after these events, and all that was to be done on the way."""
    effects: list[Effect] = []
    for event in events:
        box, new = step(box, event)
        effects.extend(new)
    return box, effects


def on(page: Page) -> Box:
    """A known box on this page, as presses lead to it."""
    return PAGES[page]


TODAY = after(KNOWN, Tick(1.0))
FIRST = after(NEW, Tick(1.0))
"""The first page of the first run."""

PAGES = {
    Page.WAITING: KNOWN,
    Page.TODAY: TODAY,
    Page.SETUP: after(TODAY, DOWN),
    Page.DAYS: after(TODAY, UP),
    Page.DATE: after(TODAY, UP, OK),
    Page.MORE: after(TODAY, BACK),
    Page.LEVEL: after(TODAY, BACK, OK),
    Page.ROUTINES: after(TODAY, BACK, UP),
    Page.PRACTICE: after(TODAY, OK),
    Page.NIGHT: after(TODAY, NIGHT),
}
LISTENING = after(TODAY, BACK, DOWN)
"""Free playing."""


def held_on(press: Press, times: int = 1) -> list[Press]:
    """The further presses of a button that is held on after `press`."""
    return [replace(press, long=True, again=True)] * times
