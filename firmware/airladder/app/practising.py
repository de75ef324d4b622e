"""The whole program from the first block to the closed log. The only place where everything meets."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Mapping

from airladder.app.books import Books
from airladder.app.capture import Capture
from airladder.app.clips import Clips
from airladder.app.doing import Doing
from airladder.app.handover import clips_of
from airladder.app.inbox import ROOM, Inbox
from airladder.app.interrupts import interrupts
from airladder.app.logbook import Logbook
from airladder.app.loop import Loop
from airladder.app.moments import settle, tell_by_buttons
from airladder.app.order import Done, Order, Outside, Watch
from airladder.app.planning import glance, save
from airladder.app.program import Item, Program
from airladder.app.pulse import CAPTURE, LONG_S, MAIN, SHORT_S
from airladder.app.showing import Showing
from airladder.app.sources import DEMO
from airladder.devices.microphone import Microphone
from airladder.devices.paced import Paced
from airladder.devices.patience import Patient
from airladder.devices.speaker import SilentSpeaker, Speaker
from airladder.faults import Fault, SoundFault
from airladder.pages.box import Box
from airladder.pages.events import NoOutput
from airladder.pages.page import Page
from airladder.panel.views import picture
from airladder.practice.session import Trouble
from airladder.practice.state import Phase

logger = logging.getLogger(__name__)

_RECORDING_ROOM = 16
"""Blocks that a recording may run ahead (85 ms), so that the demo's player soon hears what is wanted next."""


def practise(order: Order, outside: Outside) -> Done:
    """Run until the player leaves or the sound ends.

    Raises
    ------
    SoundFault : when the recording cannot be opened.
    """
    source = _source(order, outside)
    settle(outside.clock, order.log)
    inbox = Inbox(ROOM if source.live else _RECORDING_ROOM)
    ended = threading.Event()

    def tell(item: Item) -> None:
        inbox.post_while(lambda: not ended.is_set(), item)

    microphone = _as_heard(source, order, lambda sentence: tell(Trouble("microphone", sentence)), outside)
    microphone.open()
    speaker = outside.speaker(lambda sentence: _muted(sentence, tell))
    program = Program(_box(order, output=_opened(speaker), troubles=order.notes))
    capture = Capture(microphone, inbox, order.presses)
    pulses = outside.pulses
    showing = Showing(outside.display, picture, outside.clock, pulses.of("display", LONG_S))
    books = Books(
        lambda choices: glance(order.settings.chosen(choices), order.log, outside.clock),
        lambda values: save(order.settings_file, values),
        lambda date: tell_by_buttons(outside.clock, order.log, date),
        tell,
        pulses.of("books", LONG_S),
    )
    handing = outside.hand_over(tell) if outside.hand_over else None
    clips = _clips(order, tell)
    changed = handing.changed if handing else _nothing
    doing = Doing(
        order, outside.clock, Logbook(order.log, tell, pulses.of("journal", LONG_S)), books, speaker, clips, changed
    )
    watch = _watching(order, source, showing, outside)
    hear = clips.take if clips else _nothing
    at_work = pulses.of(MAIN, SHORT_S)
    loop = Loop(
        program, inbox, do=doing, watch=watch, clock=outside.clock, live=source.live, hear=hear, at_work=at_work
    )
    faults: list[Fault] = []
    watching: Watch | None = None
    try:
        showing.start()
        if order.routine is None:
            books.look(order.settings.choices)
        hands = outside.hands(inbox.post_by_hand)
        try:
            capture.start()
            watching = outside.look_after(tell, changed) if outside.look_after else None
            with interrupts(loop.leave):
                faults += loop.run()
        finally:
            hands.close()
            capture.close()
    finally:
        ended.set()
        if watching is not None:
            watching.close()
        speaker.close()
        books.close()
        faults += doing.logbook.close()
        if clips is not None:
            clips.close()
        if handing is not None:
            handing.close()
        showing.close()
    return Done(program.last, tuple(faults), tuple(source.notes), loop.good_night)


def _muted(sentence: str, tell: Callable[[Item], None]) -> None:
    """What is said of the speaker: without it the practice goes on, and nothing offers to sound any more."""
    if sentence:
        logger.warning("%s; practice goes on without it.", sentence.rstrip("."))
        tell(NoOutput())


def _box(order: Order, *, output: bool, troubles: Mapping[str, str]) -> Box:
    choices = order.settings.choices
    return Box(
        choices=choices,
        first=order.first,
        direct=order.routine,
        limits=order.limits,
        output=output,
        troubles=troubles,
    )


def _clips(order: Order, tell: Callable[[Item], None]) -> Clips | None:
    """Sound is kept only where that was asked for, and never what the demo invented."""
    settings = order.settings
    if not settings.clips or order.source == DEMO:
        return None
    return Clips(clips_of(order.log), settings.clips_mb * 1_000_000, lambda said: tell(Trouble("clips", said)))


def _nothing(*words: object) -> None:
    """Nobody asked for it."""


def _opened(speaker: Speaker) -> bool:
    """Whether there is something to sound a pitch with; without it all else works."""
    try:
        speaker.open()
    except SoundFault:
        return False
    return not isinstance(speaker, SilentSpeaker)


def _watching(order: Order, source: Microphone, showing: Showing, outside: Outside) -> Callable[[Box], None]:
    ask = _asking(order, source)

    def watch(box: Box) -> None:
        ask(box)
        showing.show(box)
        outside.watch(box)

    return watch


def _asking(order: Order, source: Microphone) -> Callable[[Box], None]:
    """Asks the player of the demo for what the box wants; everybody else plays what they like."""
    if order.source != DEMO:
        return _nothing
    from airladder.app.wishes import wanted_in
    from airladder.devices.demo import DemoMicrophone

    assert isinstance(source, DemoMicrophone)
    demo = source

    def ask(box: Box) -> None:
        state = box.session
        over = box.page is Page.NIGHT or (state is not None and state.phase in (Phase.DONE, Phase.OVER))
        demo.want(wanted_in(state) if state else None, over=over)

    return ask


def _source(order: Order, outside: Outside) -> Microphone:
    if order.source != DEMO:
        return outside.opened_by(order.source, outside.clock)
    from airladder.devices.demo import DemoMicrophone  # late: the box has no demo, and need not load a horn

    return DemoMicrophone()


def _as_heard(source: Microphone, order: Order, on_trouble: Callable[[str], None], outside: Outside) -> Microphone:
    """A sound card is waited for; a recording runs at the speed of life unless it is to run at once."""
    clock = outside.clock
    if source.live:
        return Patient(source, on_trouble, clock=clock, at_work=outside.pulses.of(CAPTURE, SHORT_S))
    return source if order.at_once else Paced(source, clock)
