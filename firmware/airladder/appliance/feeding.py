"""The watchdog is fed by progress alone: a thread that merely still runs says nothing of the sound."""

from __future__ import annotations

import logging

from airladder.app.pulse import CAPTURE, MAIN, Pulses
from airladder.devices.notify import Notifier

logger = logging.getLogger(__name__)

VITAL = (MAIN, CAPTURE)
"""The threads that must not be stuck. The others may be: with a bus that hangs one can still practise."""


class Feeding:
    """Feeds once each time it is called, if there is something to feed with.

    Parameters
    ----------
    pulses : how the threads get on
    notifier : by which systemd is told
    """

    def __init__(self, pulses: Pulses, notifier: Notifier) -> None:
        self._pulses, self._notifier = pulses, notifier
        self._turns = pulses.turns(MAIN)
        self._stuck: tuple[str, ...] = ()
        self._died = False
        self.fed = 0

    def __call__(self) -> None:
        """Feed, if the main loop has gone on since the last time and nothing vital is stuck or dead."""
        turns, stuck = self._pulses.turns(MAIN), self._pulses.stuck
        if stuck != self._stuck:
            logger.warning("threads that are stuck: %s", ", ".join(stuck) or "none any more")
        going = turns != self._turns and not self._died and not set(stuck) & set(VITAL)
        self._turns, self._stuck = turns, stuck
        if going:
            self.fed += 1
            self._notifier.alive()

    def died(self) -> None:
        """A thread has ended by an error of ours: only a new start brings it back."""
        self._died = True

    @property
    def stuck(self) -> tuple[str, ...]:
        """The threads that were stuck when it was called last."""
        return self._stuck
