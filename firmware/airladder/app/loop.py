"""The main loop: takes what lies in the inbox, one thing at a time, and hands on what follows from it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager

from airladder.app.doing import Do
from airladder.app.inbox import Ended, Inbox, Letter
from airladder.app.program import Item, Program
from airladder.app.pulse import AT_EASE
from airladder.devices.clock import Clock
from airladder.faults import SoundFault
from airladder.hearing.block import Block
from airladder.pages.box import Box
from airladder.pages.effects import Effect
from airladder.pages.events import Idle, Leave
from airladder.pages.page import Page
from airladder.panel.debounce import Debouncer, Edge
from airladder.practice.presses import Button
from airladder.practice.session import Trouble

STUCK = "Button {}: down for so long that something must lean on it, or it is stuck. All else works."
"""What is said of a button that does not come up again."""

_LONGEST_WAIT_SECONDS = 0.1  # so soon a long press is told even when no sound comes


class Loop:
    """Runs a program until the player leaves or the sound ends.

    Parameters
    ----------
    program : owned by the thread that calls `run`
    inbox : what it lives on
    do : carries out every effect
    watch : called with every new box; must not wait
    clock : by which long presses are told, and time goes on while no sound comes
    live : whether time goes on without sound: it does not in a recording
    hear : called with every block that comes; must not wait
    at_work : entered for every turn
    """

    def __init__(
        self,
        program: Program,
        inbox: Inbox,
        *,
        do: Do,
        watch: Callable[[Box], None],
        clock: Clock,
        live: bool = True,
        hear: Callable[[Block], None] = lambda block: None,
        at_work: AbstractContextManager[object] = AT_EASE,
    ) -> None:
        self._at_work = at_work
        self._hear = hear
        self._program, self._inbox = program, inbox
        self._do, self._watch, self._clock, self._live = do, watch, clock, live
        self._debouncer = Debouncer()
        self._stuck: frozenset[Button] = frozenset()
        self._leaving = False
        self._sound_at = (clock.monotonic(), 0.0)  # when sound came last, and how late it was by its own clock

    def leave(self) -> None:
        """Let `run` end soon. Fit for a signal handler: it only sets a mark."""
        self._leaving = True

    def run(self) -> list[SoundFault]:
        """Run; the fault by which the sound ended, where it was by one."""
        self._watch(self._program.box)
        while self._program.box.page is not Page.NIGHT:
            if self._leaving:
                self._take(Leave())
                break
            letter = self._inbox.take(_LONGEST_WAIT_SECONDS)
            with self._at_work:
                if isinstance(letter, Ended):
                    self._carry_out(self._program.finish())
                    return [letter.fault] if letter.fault else []
                for item in self._items(letter):
                    self._take(item)
        return []

    @property
    def good_night(self) -> bool:
        """Whether it ended by good night, and not because the program was told to end or the sound did."""
        return self._program.box.page is Page.NIGHT and not self._leaving

    def _items(self, letter: Letter | None) -> Iterable[Item]:
        edges = self._debouncer.edge(letter) if isinstance(letter, Edge) else []
        # As long as something waits in the inbox, edges older than "now" may be among it.
        held = self._debouncer.time(self._clock.monotonic()) if self._inbox.is_empty else []
        rest = [letter] if letter is not None and not isinstance(letter, Edge | Ended) else []
        return [*self._time(letter), *edges, *held, *self._stuck_buttons(), *rest]

    def _stuck_buttons(self) -> Iterable[Trouble]:
        """What there is to say of a button that has been down too long for a hand."""
        before, self._stuck = self._stuck, self._debouncer.stuck
        if before == self._stuck:
            return []
        names = " and ".join(button.value for button in Button if button in self._stuck)
        return [Trouble("button", STUCK.format(names) if names else "")]

    def _time(self, letter: Letter | None) -> Iterable[Idle]:
        """While no sound comes, time goes on by the clock."""
        now = self._clock.monotonic()
        if isinstance(letter, Block):
            self._hear(letter)
            self._sound_at = (now, letter.time)
        elif self._live and letter is None:
            return [Idle(self._sound_at[1] + now - self._sound_at[0])]
        return []

    def _take(self, item: Item) -> None:
        self._carry_out(self._program.take(item))

    def _carry_out(self, effects: Iterable[Effect]) -> None:
        for effect in effects:
            self._do(effect)
        self._watch(self._program.box)
