"""Where the presses lead: every situation of the box that can be reached, found by trying the presses themselves.

Nothing is written down here of what a press does: `pages.step` is asked. So a map that is drawn from this shows what
the box does, and a test that walks it tests the box.

Conventions
-----------
A situation is what a player would call one place: the page, on the set-up page the item, in a practice the phase and
what OK and the foot mean there. What differs in nothing else (another partial, another horn) is the same situation;
the first box that was found in it stands for it. Times in seconds. The notes that are played here are made up.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar

from airladder.hearing.events import Reading, Sung, Tone
from airladder.music.series import Series
from airladder.pages.box import Box
from airladder.pages.choices import Choices, Item
from airladder.pages.date import Part
from airladder.pages.events import Battery, Computer, Event
from airladder.pages.glance import Glance, Offered
from airladder.pages.page import Page
from airladder.pages.step import step
from airladder.practice import aloud
from airladder.practice.ask import Task
from airladder.practice.coach.plan import Plan
from airladder.practice.ease import Limits
from airladder.practice.exercise import Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.presses import Button, Press
from airladder.practice.routine import Routine
from airladder.practice.session import Gap, Tick
from airladder.practice.state import Phase, State

Hand = tuple[Button, bool]
"""A button, and whether it is held."""

HANDS: tuple[Hand, ...] = tuple((button, long) for button in Button for long in (False, True))
"""All that a hand or a foot can do with one button."""

Name = TypeVar("Name")


@dataclass(frozen=True)
class Situation:
    """One place, as a player would name it.

    Attributes
    ----------
    page : the page
    item : what is chosen, on page SETUP or DATE
    phase : where in the practice, on page PRACTICE
    task : what is asked for, in the phases that ask something
    sounds : whether OK makes the box sound, or ends its sound
    free : whether it is plain listening, which has no end
    first : whether the first run goes on, or lies ahead
    """

    page: Page
    item: Item | Part | None = None
    phase: Phase | None = None
    task: Task | None = None
    sounds: bool = False
    free: bool = False
    first: bool = False


@dataclass
class Visit:
    """What was found in a situation.

    Attributes
    ----------
    box : the first one that was found in it
    presses : where each press leads
    happenings : where else it may lead, by what is heard or happens: "right", "silence", ...
    """

    box: Box
    presses: dict[Hand, Situation] = field(default_factory=dict)
    happenings: dict[str, Situation] = field(default_factory=dict)


def situation(box: Box) -> Situation:
    """The place at which the player of this box is."""
    first, state = bool(box.first), box.session
    if box.page is Page.SETUP:
        return Situation(box.page, item=box.item, first=first)
    if box.page is Page.DATE:
        return Situation(box.page, item=box.part, first=first)
    if box.page is not Page.PRACTICE or state is None:
        return Situation(box.page, first=first)
    asks = state.phase in (Phase.WANTED, Phase.SOUNDING)
    return Situation(
        box.page,
        phase=state.phase,
        task=state.ask.task if asks else None,
        sounds=aloud.can_sound(state),
        free=state.phase is Phase.FREE and math.isinf(state.ask.hold),
    )


def explore(*starts: Box) -> dict[Situation, Visit]:
    """All that can be reached from these boxes, nearest first."""
    found: dict[Situation, Visit] = {}
    known: set[Hashable] = set()
    coming = deque(starts)
    while coming:
        box = coming.popleft()
        if likeness(box) in known:
            continue
        known.add(likeness(box))
        presses = {hand: pressed(box, hand) for hand in HANDS}
        happens = {name: told(box, events) for name, events in happenings(box).items()}
        coming.extend([*presses.values(), *happens.values()])
        visit = found.setdefault(situation(box), Visit(box))
        visit.presses = visit.presses or _situations(presses)
        visit.happenings = visit.happenings or _situations(happens)
    return found


def likeness(box: Box) -> Hashable:
    """What tells apart the boxes of one situation that may lead elsewhere."""
    about = (situation(box), box.first, box.item, box.read, box.before, box.computer, box.output)
    state = box.session
    if state is None:
        return about
    return (
        *about,
        state.routine.name,
        state.place,
        state.tries,
        state.instead,
        bool(state.offered),
        state.sounds_until is None,
    )


def _situations(boxes: Mapping[Name, Box]) -> dict[Name, Situation]:
    return {name: situation(box) for name, box in boxes.items()}


def pressed(box: Box, hand: Hand) -> Box:
    """After one press."""
    button, long = hand
    return told(box, [Press(button, long, box.now)])


def told(box: Box, events: Iterable[Event]) -> Box:
    """After these events; somebody is there all the time, so that the screen never sleeps."""
    for event in events:
        box, _ = step(replace(box, stirred=box.now), event)
    return box


def happenings(box: Box) -> dict[str, list[Event]]:
    """What may happen to this box besides presses, by what one would call it."""
    happens: dict[str, list[Event]] = {
        "sound comes": [Tick(box.now + 0.1)],
        "computer": [Computer(there=not box.computer)],
        "battery low": [Battery(low=True)],
        "battery well": [Battery(low=False)],
    }
    if box.session is not None:
        happens |= _heard(box.session)
    return happens


def _heard(state: State) -> dict[str, list[Event]]:
    now, partials = state.now, state.ask.partials or (1,)
    other = 1 if partials[-1] != 1 else 2
    return {
        "right": [_reading(now + 0.1, partials[0]), _tone(now, partials), Tick(now + 3.0)],
        "wrong": [_reading(now + 0.1, other), _tone(now, (other,)), Tick(now + 3.0)],
        "a note begins": [_reading(now + 0.1, partials[-1])],
        "sung": [_reading(now + 0.1, None), Sung(now, now + 1.0, 200.0, 9.0, -30.0, now + 0.3), Tick(now + 1.0)],
        "time": [Tick(now + 5.0)],
        "silence": [Tick(now + max(30.0, state.left if math.isfinite(state.left) else 0.0))],
        "gap": [Gap(now)],
    }


def _reading(t: float, partial: int | None) -> Reading:
    return Reading(t, 140.0 * (partial or 1.4), partial, None if partial is None else 3.0, -20.0, 0.99)


def _tone(t: float, partials: tuple[int, ...]) -> Tone:
    """Three seconds that went over these partials, the same time on each."""
    path = tuple((partial, 3.0 / len(partials)) for partial in partials)
    last = partials[-1]
    return Tone(t, t + 3.0, last, 140.0 * last, 3.0, 1.0, None, None, path, 0.0, -20.0)


def example(series: Series) -> Routine:
    """A routine in which every kind of task occurs."""
    wishes = (
        Wish(Kind.HEAR, series, (3,)),
        Wish(Kind.COMPARE, series, (3,)),
        Wish(Kind.SLURS, series, (2, 3)),
        Wish(Kind.REST, series, hold=20.0),
        Wish(Kind.FREE, series, hold=20.0),
    )
    return Routine("example", tuple(map(built, wishes)))


def examples() -> tuple[Box, Box]:
    """Two boxes from which all can be reached: one that is new, and one on which somebody has practised before."""
    choices = Choices()
    routine = example(choices.series)
    reasons = tuple("because" for _ in routine.exercises)
    offered = (Offered("example", "All that there is.", routine), Offered("faulty", "Its file has faults.", None))
    glance = Glance(Plan(routine, reasons), routines=offered, limits=Limits(in_a_row=2))
    known = Box(choices=choices, glance=glance, output=True)
    return replace(known, first=(Page.SETUP, Page.CAUTIONS, Page.LEVEL)), known
