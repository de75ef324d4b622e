"""When a drive may be changed under a computer, and when it may be read: never while the computer has it.

There are two drives: the one that goes out, read-only to the computer, and the one that comes in, which it may write.
This is the rule alone, without a device: (state, event) -> (state, what is to be done). Whoever does it answers with
an event. Between the decision and the deed the computer may come back; the kernel then refuses to take the drive away
from it, which is answered by `TAKE_HELD` or `CHANGE_HELD`, and the wish waits until it is told next that nobody has
the drives.

Conventions
-----------
The computer has the drives from the moment at which it could read or write (the cable is in and it has set the box
up) until it has ejected them or the cable is out. `HELD` and `FREE` may be told as often as one likes: whoever looks
every second need not remember. After a start nobody knows what a computer wrote before: it is taken in once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum


class Event(Enum):
    """What has happened."""

    HELD = "the computer has the drives"
    FREE = "no computer has them"
    BUILT = "a newer drive to go out is whole on the disk"
    CHANGED = "the drive that goes out is the newest now"
    CHANGE_HELD = "it could not be changed: the computer has it"
    TAKEN = "what came in is dealt with, and a fresh drive for it is whole on the disk"
    OFFERED = "the fresh drive is in its place"
    TAKE_HELD = "what came in could not be taken away to be read: the computer has it"


class Deed(Enum):
    """What is to be done."""

    CHANGE = "put the newest drive in the place of the one that goes out"
    TAKE = "take the incoming drive away from the computer, read it, and make a fresh one"
    OFFER = "give the fresh incoming drive to the computer"


@dataclass(frozen=True)
class State:
    """How it stands.

    Attributes
    ----------
    held : the computer has the drives
    newer : a drive to go out waits for its turn
    written : the computer had the incoming drive since it was read last
    changing, taking, offering : the deed is under way, and its answer awaited
    """

    held: bool = False
    newer: bool = False
    written: bool = True
    changing: bool = False
    taking: bool = False
    offering: bool = False


_HELD_AFTER_ALL = (Event.CHANGE_HELD, Event.TAKE_HELD)  # to try again at once would be to try for ever


def step(state: State, event: Event) -> tuple[State, tuple[Deed, ...]]:
    """How it stands after an event, and what is to be done now, in this order."""
    after, first = _after(state, event)
    deeds = list(first)
    if not after.held and event not in _HELD_AFTER_ALL:
        if after.written and not after.taking and not after.offering:
            after, deeds = replace(after, taking=True, written=False), [*deeds, Deed.TAKE]
        if after.newer and not after.changing:
            after, deeds = replace(after, changing=True, newer=False), [*deeds, Deed.CHANGE]
    return after, tuple(deeds)


def _after(state: State, event: Event) -> tuple[State, tuple[Deed, ...]]:
    match event:
        case Event.HELD:  # an incoming drive that is being taken was away before the computer came, or is refused
            return replace(state, held=True, written=state.written or not state.taking), ()
        case Event.FREE:
            return replace(state, held=False), ()
        case Event.BUILT:
            return replace(state, newer=True), ()
        case Event.CHANGED:
            return replace(state, changing=False), ()
        case Event.CHANGE_HELD:
            return replace(state, changing=False, newer=True), ()
        case Event.TAKEN:
            return replace(state, taking=False, offering=True, written=state.held), (Deed.OFFER,)
        case Event.OFFERED:
            return replace(state, offering=False), ()
        case Event.TAKE_HELD:
            return replace(state, taking=False, written=True), ()
