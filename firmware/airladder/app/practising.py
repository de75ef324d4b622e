"""`practice`: one session from the first block to the closed log. The only place where everything meets."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

from airladder import __version__
from airladder.app.capture import Capture
from airladder.app.inbox import ROOM, Inbox
from airladder.app.interrupts import interrupts
from airladder.app.loop import Loop
from airladder.app.program import Program
from airladder.app.showing import Showing
from airladder.app.sources import DEMO, described, opened_by
from airladder.app.wishes import wanted_in
from airladder.config import Settings
from airladder.devices.clock import Clock
from airladder.devices.demo import DemoMicrophone
from airladder.devices.display import Display
from airladder.devices.microphone import Microphone
from airladder.devices.paced import Paced
from airladder.devices.patience import Patient
from airladder.faults import Fault, LogFault
from airladder.journal.records import Head
from airladder.journal.writer import Writer
from airladder.panel.debounce import Edge
from airladder.panel.screens import draw
from airladder.practice.ease import Limits
from airladder.practice.presses import Press
from airladder.practice.routine import Routine
from airladder.practice.session import Kept, Trouble, begin
from airladder.practice.state import Phase, State

_RECORDING_ROOM = 16
"""Blocks that a recording may run ahead (85 ms), so that the demo's player soon hears what is wanted next."""


@dataclass(frozen=True)
class Order:
    """What is to be practised, and how.

    Attributes
    ----------
    settings : what was set
    routine : what is practised
    source : ``demo``, ``alsa:NAME`` or the path of a recording
    log : the log file
    presses : presses to be made at their times on the clock of the sound (replays)
    limits : where something kinder is offered
    cautions : to be read first
    at_once : as fast as it can, instead of at the speed of life
    """

    settings: Settings
    routine: Routine
    source: str
    log: Path
    presses: tuple[Press, ...] = ()
    limits: Limits = field(default_factory=Limits)
    cautions: tuple[str, ...] = ()
    at_once: bool = False


class Hands(Protocol):
    """Buttons or keys that have begun to post."""

    def close(self) -> None:
        """End posting."""


@dataclass(frozen=True)
class Outside:
    """What of the world around takes part.

    Attributes
    ----------
    display : where the panel is shown; the display thread alone uses it
    hands : begins to post presses and edges by the function it is given
    watch : called with every new state by the thread that owns it; must not wait
    clock : the time
    opened_by : gives the source that a word names, not yet open
    """

    display: Display
    hands: Callable[[Callable[[Press | Edge], None]], Hands]
    watch: Callable[[State], None]
    clock: Clock
    opened_by: Callable[[str, Clock], Microphone] = opened_by


@dataclass(frozen=True)
class Done:
    """How it ended.

    Attributes
    ----------
    state : the last one
    faults : by which the sound ended early, or tries could not be kept
    notes : what a person should know of the recording, a sentence each
    """

    state: State
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]


def practise(order: Order, outside: Outside) -> Done:
    """Run one session until the player leaves or the sound ends.

    Raises
    ------
    SoundFault : when the recording cannot be opened.
    """
    program = Program(begin(order.routine, order.limits, order.cautions))
    source = _source(order, outside)
    inbox = Inbox(ROOM if source.live else _RECORDING_ROOM)
    ended = threading.Event()

    def tell(item: Kept | Trouble) -> None:
        inbox.post_while(lambda: not ended.is_set(), item)

    def watch(state: State) -> None:
        if isinstance(source, DemoMicrophone):
            source.want(wanted_in(state), over=state.phase in (Phase.DONE, Phase.OVER))
        showing.show(state)
        outside.watch(state)

    microphone = _as_heard(source, order, lambda sentence: tell(Trouble("microphone", sentence)), outside.clock)
    microphone.open()
    capture = Capture(microphone, inbox, order.presses)
    showing = Showing(outside.display, draw, outside.clock)
    writer = Writer(
        order.log,
        _head(order, outside.clock),
        on_kept=lambda number: tell(Kept(number)),
        on_trouble=lambda sentence: tell(Trouble("log", sentence)),
    )
    loop = Loop(program, inbox, keep=writer.keep, watch=watch, clock=outside.clock)
    faults: list[Fault] = []
    try:
        showing.start()
        hands = outside.hands(inbox.post_by_hand)
        try:
            capture.start()
            with interrupts(loop.leave):
                faults += loop.run()
        finally:
            hands.close()
            capture.close()
    finally:
        ended.set()
        faults += _closed(writer)
        showing.close()
    return Done(program.state, tuple(faults), tuple(source.notes))


def _source(order: Order, outside: Outside) -> Microphone:
    return DemoMicrophone() if order.source == DEMO else outside.opened_by(order.source, outside.clock)


def _as_heard(source: Microphone, order: Order, on_trouble: Callable[[str], None], clock: Clock) -> Microphone:
    """A sound card is waited for; a recording runs at the speed of life unless it is to run at once."""
    if source.live:
        return Patient(source, on_trouble, clock=clock)
    return source if order.at_once else Paced(source, clock)


def _head(order: Order, clock: Clock) -> Head:
    settings = order.settings
    return Head(
        started=clock.wall(),
        source=described(order.source),
        invented=order.source == DEMO,
        horn=settings.horn.name,
        fingering=str(settings.fingering),
        a4_hz=settings.a4,
        against=settings.against.value,
        exercise=order.routine.name,
        version=__version__,
    )


def _closed(writer: Writer) -> list[Fault]:
    try:
        writer.close()
    except LogFault as fault:
        return [fault]
    return []
