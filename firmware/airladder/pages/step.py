"""The box: one pure function from a box and an event to the next box and what is to be done.

The same events always give the same pictures and the same log, so that everything can be replayed.
"""

from __future__ import annotations

from dataclasses import replace

from airladder.hearing.events import Reading
from airladder.pages import going, hands
from airladder.pages.box import Box
from airladder.pages.calm import Calm
from airladder.pages.effects import Effect, Look, Step
from airladder.pages.events import Battery, Brought, Computer, Event, Handless, Idle, KeptIn, Leave, Looked, NoOutput
from airladder.pages.light import Light
from airladder.pages.meter import Level
from airladder.pages.page import Page
from airladder.pages.vitals import Vitals
from airladder.practice import session
from airladder.practice.presses import Button, Press
from airladder.practice.state import Aloud, Phase, State

_QUIET = Calm()

DRIVE = "drive"
"""What a trouble with it is about."""

LOW_BATTERY = "The battery is low: plug in the charger soon, or end for today."


def step(box: Box, event: Event) -> Step:
    """The next box, and what is to be done; after good night nothing more."""
    if box.page is Page.NIGHT:
        return box, ()
    match event:
        case Idle():
            return replace(box, now=max(box.now, event.t)), ()
        case Level():
            woken = box.now if box.meter.wakes(event) and box.page is not Page.PRACTICE else box.stirred
            return replace(box, meter=box.meter.fed(event), stirred=woken), ()
        case Press():
            return _pressed(box, event)
        case Looked():
            return going.by_itself(replace(box, glance=event.glance, row=0)) if _is_of_now(box, event) else (box, ())
        case Computer():
            return _at_computer(replace(_stirred(box), computer=event.there)), ()
        case Brought():
            return _brought(box, event)
        case Battery():
            return _powered(_stirred(box), low=event.low)
        case Vitals():
            return replace(box, vitals=event), ()
        case Handless():
            return going.by_itself(replace(box, handless=event.none))
        case NoOutput():
            return _muted(box), ()
        case Leave():
            return _left(replace(_stirred(box), empty=event.empty))
        case KeptIn():
            return _practised(box, event.kept) if event.practice == box.practices else (box, ())
        case session.Trouble():
            return _practised(_troubled(box, event), event)
        case session.Tick():
            now = max(box.now, event.t)
            return _awake(replace(box, now=now)) if box.page is Page.WAITING else _practised(box, event, now=now)
        case Reading():
            return _practised(box, event, stirred=box.stirred if event.partial is None else box.now)
        case _:
            return _practised(box, event)


def _awake(box: Box) -> Step:
    box, effects = going.awake(box)
    box, more = going.by_itself(box)
    return box, (*effects, *more)


def _is_of_now(box: Box, looked: Looked) -> bool:
    """Whether that look was for the tube that is set; one that is just being turned is not set yet."""
    now, then = box.chosen or box.choices, looked.choices
    return (now.series, now.against) == (then.series, then.against)


def _stirred(box: Box) -> Box:
    return replace(box, stirred=box.now)


def _pressed(box: Box, press: Press) -> Step:
    """On a dark screen a press only wakes it; what it did once it does not go on doing on another page."""
    dark, page = box.light is Light.DARK, box.page
    box = _stirred(box)
    if press.again and press.button is box.spent:
        return box, ()
    if dark:
        return replace(box, spent=press.button), ()
    box, effects = _practised(box, press) if page is Page.PRACTICE else hands.pressed(box, press)
    kept = box.spent if press.again else None
    return replace(box, spent=kept if box.page is page else press.button), effects


def _practised(box: Box, event: session.Event, **besides: float) -> Step:
    """What it means for the practice, if one goes on; `besides` is changed in the same go, 190 times a second."""
    if box.session is None:
        return replace(box, **besides) if besides else box, ()  # type: ignore[arg-type]  # fields that are times
    state, effects = session.step(box.session, event)
    calm = _QUIET if state.reading is None else box.calm.fed(state.reading)
    box = replace(box, session=state, calm=calm, **besides)  # type: ignore[arg-type]
    if state.phase is not Phase.OVER:
        return box, effects
    box, more = going.ended(box)
    return box, (*effects, *more)


def _left(box: Box) -> Step:
    """What waits for a word of the player is settled without it, and kept."""
    kept: tuple[Effect, ...] = ()
    if box.session is not None:
        state, kept = session.step(box.session, Press(Button.BACK, True, box.session.now))
        box = replace(box, session=state)
    box, effects = going.night(box)
    return box, (*kept, *effects)


def _troubled(box: Box, trouble: session.Trouble) -> Box:
    others = {about: sentence for about, sentence in box.troubles.items() if about != trouble.about}
    mine = {trouble.about: trouble.sentence} if trouble.sentence else {}
    return replace(box, troubles={**others, **mine})


def _at_computer(box: Box) -> Box:
    """Nobody is interrupted in a practice: the page comes after it."""
    if box.computer and box.page is not Page.PRACTICE:
        return replace(going.to(box, Page.COMPUTER), before=_resting(box))
    if not box.computer and box.page is Page.COMPUTER:
        return going.to(box, box.before)
    return box


def _brought(box: Box, brought: Brought) -> Step:
    """Routines may be others now, so the log is looked into again."""
    said = session.Trouble(DRIVE, " ".join(brought.sentences))
    box, effects = _practised(_troubled(box, said), said)
    return box, (*effects, *(() if box.glance is None else (Look(box.choices),)))


def _powered(box: Box, *, low: bool) -> Step:
    """In a practice a sentence, and a page after it; elsewhere a page at once."""
    if box.page is Page.BATTERY and not low:
        return going.to(box, box.before), ()
    if low and box.session is None:
        return replace(going.to(box, Page.BATTERY), before=_resting(box)), ()
    if box.session is None:
        return box, ()
    return _practised(box, session.Trouble(going.BATTERY, LOW_BATTERY if low else ""))


def _resting(box: Box) -> Page:
    """Where a notice leads back to: never to another notice."""
    return box.before if box.page in (Page.COMPUTER, Page.BATTERY) else box.page


def _muted(box: Box) -> Box:
    state = box.session
    silent: State | None = None if state is None else replace(state, aloud=Aloud.SILENT, sounds_until=None)
    return replace(box, output=False, session=silent)
