"""The main loop: takes what lies in the inbox, one thing at a time, and hands on what follows from it."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from airladder.app.inbox import Ended, Inbox
from airladder.app.program import Item, Program
from airladder.devices.clock import Clock
from airladder.faults import SoundFault
from airladder.panel.debounce import Debouncer, Edge
from airladder.practice.attempt import Attempt
from airladder.practice.effects import Effect
from airladder.practice.presses import Button, Press
from airladder.practice.state import Phase, State

_LONGEST_WAIT_SECONDS = 0.1  # so soon a long press is told even when no sound comes


class Loop:
    """Runs a program until the player leaves or the sound ends.

    Parameters
    ----------
    program : owned by the thread that calls `run`
    inbox : what it lives on
    keep : takes every try that is to be kept; must not wait
    watch : called with every new state; must not wait
    clock : by which long presses are told
    """

    def __init__(
        self,
        program: Program,
        inbox: Inbox,
        *,
        keep: Callable[[Attempt], None],
        watch: Callable[[State], None],
        clock: Clock,
    ) -> None:
        self._program, self._inbox = program, inbox
        self._keep, self._watch, self._clock = keep, watch, clock
        self._debouncer = Debouncer()
        self._leaving = False

    def leave(self) -> None:
        """Let `run` end soon, as by a long press of BACK. Fit for a signal handler: it only sets a mark."""
        self._leaving = True

    def run(self) -> list[SoundFault]:
        """Run; the fault by which the sound ended, where it was by one."""
        self._watch(self._program.state)
        while self._program.state.phase is not Phase.OVER:
            if self._leaving:
                self._do(self._program.take(Press(Button.BACK, True, 0.0)))
                break
            letter = self._inbox.take(_LONGEST_WAIT_SECONDS)
            if isinstance(letter, Ended):
                self._do(self._program.finish())
                return [letter.fault] if letter.fault else []
            for item in self._items(letter):
                self._do(self._program.take(item))
        return []

    def _items(self, letter: Item | Edge | None) -> Iterable[Item]:
        edges = self._debouncer.edge(letter) if isinstance(letter, Edge) else []
        # As long as something waits in the inbox, edges older than "now" may be among it.
        held = self._debouncer.time(self._clock.monotonic()) if self._inbox.is_empty else []
        rest = [letter] if letter is not None and not isinstance(letter, Edge) else []
        return [*edges, *held, *rest]

    def _do(self, effects: Iterable[Effect]) -> None:
        for effect in effects:
            self._keep(effect.attempt)
        self._watch(self._program.state)
