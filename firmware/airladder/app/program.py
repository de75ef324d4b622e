"""The program without its threads: blocks and presses in, effects out. A replay runs exactly this.

Conventions
-----------
One owner: the thread that calls `take` holds all state and does all signal processing.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from airladder.app.ears import Ears
from airladder.app.metering import Metering
from airladder.hearing.block import Block
from airladder.hearing.events import Event as Heard
from airladder.hearing.own_sound import OwnSound
from airladder.pages.box import Box
from airladder.pages.effects import Effect
from airladder.pages.events import Event, Idle, KeptIn, Looked, OfTheBox
from airladder.pages.step import step
from airladder.practice.effects import Hush, Keep, Sound
from airladder.practice.presses import Press
from airladder.practice.session import Close, Gap, Leak, PlayedOver, Tick, Trouble
from airladder.practice.state import State

Item = Block | Press | Trouble | KeptIn | Idle | Looked | OfTheBox
"""What may be put into the program's inbox."""


@dataclass
class Program:
    """Ears, session and pages together.

    Attributes
    ----------
    box : the box now
    events : what the Ear said of the last block
    """

    box: Box
    events: list[Heard] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._ears: Ears | None = None
        self._own = OwnSound()
        self._known = False, False
        self._metering = Metering()
        self._attune()

    @property
    def last(self) -> State | None:
        """The practice that goes on, or the last one that did."""
        return self.box.session or self.box.last

    def take(self, item: Item) -> list[Effect]:
        """Handle one item; what is to be done about it."""
        match item:
            case Block():
                return self._heard(item)
            case Press():  # a hand knows no sound time: it counts from when it is heard of
                return self._steps(replace(item, t=self.box.now))
            case _:
                return self._steps(item)

    def finish(self) -> list[Effect]:
        """The sound has ended: whatever still sounds is judged as far as it goes."""
        self.events = self._ears.ear.finish() if self._ears else []
        return self._steps(*self.events, Close())

    def _heard(self, block: Block) -> list[Effect]:
        """A practice that begins with this block hears it too."""
        level = self._metering.fed(block)
        effects = self._steps(level) if level else []
        self.events = []
        if self._ears is None:
            effects += self._steps(Tick(block.time))
        own = self._own.feed(block)
        if self._ears is not None:
            if own is not None:
                self.events = self._ears.ear.feed(own)
            gap = [Gap(block.time)] if own is not None and self._ears.ear.broken else []
            effects += self._steps(*self._own_news(), *gap, *self.events, Tick(block.time))
        return effects

    def _own_news(self) -> list[Event]:
        """What was newly found out about our own sound."""
        leaks, over = bool(self._own.leaks), self._own.played_over
        news: list[Event] = []
        if leaks and not self._known[0]:
            news.append(Leak())
        if over and not self._known[1]:
            news.append(PlayedOver())
        self._known = leaks, over
        return news

    def _steps(self, *events: Event) -> list[Effect]:
        effects: list[Effect] = []
        for event in events:
            self.box, wanted = step(self.box, event)
            effects.extend(wanted)
        self._attune()
        for effect in effects:
            self._know(effect)
        return effects

    def _attune(self) -> None:
        """Listen for what the practice wants, or for nothing."""
        listening = self.box.listening
        if listening is None:
            self._ears = None
        elif self._ears is None:
            self._ears = Ears(listening)
        else:
            self._ears.listen(listening)

    def _know(self, effect: Effect) -> None:
        match effect:
            case Keep() if self._ears is not None:
                self._ears.learn(effect.attempt)
            case Sound():
                self._own.begins(self.box.now, self.box.now + effect.seconds, effect.hz)
            case Hush():
                self._own.ends(self.box.now)
