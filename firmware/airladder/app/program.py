"""The program without its threads: blocks and presses in, effects out. A replay runs exactly this.

Conventions
-----------
One owner: the thread that calls `take` holds all state and does all signal processing.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from airladder.app.ears import Ears
from airladder.hearing.block import Block
from airladder.hearing.events import Event as Heard
from airladder.practice.effects import Effect
from airladder.practice.presses import Press
from airladder.practice.session import Close, Event, Gap, Kept, Tick, Trouble, step
from airladder.practice.state import State

Item = Block | Press | Kept | Trouble
"""What may be put into the program's inbox."""


@dataclass
class Program:
    """Ears and session together.

    Attributes
    ----------
    state : the session now
    events : what the Ear said of the last block
    """

    state: State
    events: list[Heard] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._ears = Ears(self.state.listening)

    def take(self, item: Item) -> list[Effect]:
        """Handle one item; what is to be done about it."""
        match item:
            case Block():
                ear = self._ears.ear
                self.events = ear.feed(item)
                gap = [Gap(item.time)] if ear.broken else []
                return self._steps(*gap, *self.events, Tick(item.time))
            case Press():  # a hand knows no sound time: it counts from when it is heard of
                return self._steps(replace(item, t=self.state.now))
            case Kept() | Trouble():
                return self._steps(item)

    def finish(self) -> list[Effect]:
        """The sound has ended: whatever still sounds is judged as far as it goes."""
        self.events = self._ears.ear.finish()
        return self._steps(*self.events, Close())

    def _steps(self, *events: Event) -> list[Effect]:
        effects: list[Effect] = []
        for event in events:
            self.state, wanted = step(self.state, event)
            effects.extend(wanted)
        for effect in effects:
            self._ears.learn(effect.attempt)
        self._ears.listen(self.state.listening)
        return effects
