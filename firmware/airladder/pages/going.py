"""Where the player goes from a page to another, whatever made it so."""

from __future__ import annotations

from dataclasses import fields, replace

from airladder.pages.box import Box
from airladder.pages.calm import Calm
from airladder.pages.choices import FIRST_ITEMS, ITEMS, Item
from airladder.pages.effects import Effect, Look, Open, Save, Shut, Step
from airladder.pages.page import Page
from airladder.practice import aloud
from airladder.practice.ease import Limits
from airladder.practice.routine import Routine
from airladder.practice.session import begin, listening
from airladder.practice.state import State

BATTERY = "battery"
"""What a trouble with it is about."""


def to(box: Box, page: Page) -> Box:
    """On another page, as it looks when it is entered."""
    chosen = box.chosen or box.choices
    return replace(box, page=page, item=Item.HORN, chosen=chosen, read=0, row=0, back=0, session=None)


def home(box: Box) -> Step:
    """To today's plan; what was chosen anew is kept first."""
    box, effects = saved(box)
    return to(box, Page.TODAY), effects


def saved(box: Box, *, all_of_it: bool = False) -> Step:
    """Keep what was chosen anew, or all of it; another tube has another plan."""
    before, now = box.chosen or box.choices, box.choices
    names = tuple(
        item.name for item in fields(now) if all_of_it or getattr(before, item.name) != getattr(now, item.name)
    )
    box = replace(box, chosen=None)
    saves: tuple[Effect, ...] = (Save(now, names),) if names else ()
    if before.series == now.series and before.against == now.against:
        return box, saves
    return replace(box, glance=None), (*saves, Look(now))


def awake(box: Box) -> Step:
    """Sound has come, or is no longer waited for."""
    if box.first and not box.handless:
        return to(box, box.first[0]), ()
    if box.direct is not None:
        return practice(box, box.direct, box.limits)
    return home(box)


def by_itself(box: Box) -> Step:
    """Without a button nobody can begin; so today's plan does, once."""
    if box.handless and box.page is Page.TODAY and box.glance is not None and box.practices == 0:
        return practice(box, box.glance.plan.routine, box.glance.limits)
    return box, ()


def onward(box: Box) -> Step:
    """The next page of the first run; after the last one, today's plan."""
    box, effects = saved(box, all_of_it=box.page is Page.SETUP)
    box = replace(box, first=box.first[1:])
    box, more = awake(box)
    return box, (*effects, *more)


def items(box: Box) -> tuple[Item, ...]:
    """The choices that are gone through: in the first run only those that are needed."""
    return FIRST_ITEMS if box.is_first_run else ITEMS


def practice(box: Box, routine: Routine, limits: Limits) -> Step:
    """Begin to practise."""
    box, effects = saved(box)
    number = box.practices + 1
    state, sounds = aloud.begun(begin(routine, limits, t=box.now, sounds=box.aloud))
    plan = box.glance.plan if box.glance is not None and box.glance.plan.routine is routine else None
    why = (plan.reasons, plan.remarks) if plan is not None else ((), ())
    return replace(_with(box, state), practices=number), (*effects, Open(number, routine, box.choices, *why), *sounds)


def free(box: Box) -> Step:
    """Only listen: nothing is judged, nothing is kept; it has a number, so that no late word of a try reaches it."""
    box, effects = saved(box)
    choices = box.choices
    state = listening(choices.series, choices.against, t=box.now)
    return replace(_with(box, state), practices=box.practices + 1), effects


def _with(box: Box, state: State) -> Box:
    state = replace(state, troubles=tuple(box.troubles.items()))
    return replace(to(box, Page.PRACTICE), session=state, calm=Calm())


def ended(box: Box) -> Step:
    """The practice is over: back to today's plan, made anew; a box with no other page says good night."""
    state = box.session
    box = replace(box, last=state)
    if box.direct is not None:
        return replace(box, page=Page.NIGHT), (Shut(),)
    looks: tuple[Effect, ...] = (Look(box.choices),) if state is not None and state.attempts else ()
    box, effects = home(box)
    if box.computer:
        box = replace(to(box, Page.COMPUTER), before=Page.TODAY)
    elif state is not None and BATTERY in dict(state.troubles):
        box = replace(to(box, Page.BATTERY), before=Page.TODAY)
    return box, (*effects, Shut(), *looks)


def night(box: Box) -> Step:
    """All that is chosen is kept; good night. A first run that is broken off is asked for again another day."""
    box, effects = (box, ()) if box.is_first_run else saved(box)
    return replace(box, page=Page.NIGHT), (*effects, Shut())
