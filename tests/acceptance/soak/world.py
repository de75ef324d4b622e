"""The world of the soak: a clock that goes by the sound, and a microphone that gives it as fast as it is taken."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from airladder.devices.clock import Clock
from airladder.devices.microphone import Microphone
from airladder.faults import SoundFault
from airladder.hearing.block import HOP_SECONDS, Block, Samples

BEGAN = datetime(2026, 11, 2, 9, 0, tzinfo=UTC)
AHEAD = 66
"""Blocks that may wait for the program before the microphone gives more; its inbox holds 128."""

_TRY_SECONDS = 30.0  # of an outage pass with each try to open
_GIVES_UP_SECONDS = 120.0  # of real time: the program is stuck


class SoundClock(Clock):
    """A clock that a microphone moves: all time is that of the sound, whatever the computer takes for it."""

    def __init__(self, began: datetime = BEGAN) -> None:
        self._began, self._now = began, 0.0

    def monotonic(self) -> float:
        """Seconds of sound so far, and of the outages between."""
        return self._now

    def boottime(self) -> float:
        """The same."""
        return self._now

    def boot_key(self) -> str:
        """One switch-on."""
        return "soak"

    def wall(self) -> datetime:
        """The date at which it began, and as much later."""
        return self._began + timedelta(seconds=self._now) + self._ahead

    @property
    def kept(self) -> bool:
        """A box with a battery clock."""
        return True

    def carry_on(self, when: datetime) -> None:
        """Go on from `when`."""
        self._ahead = when - self._began - timedelta(seconds=self._now)

    def sleep(self, seconds: float) -> None:
        """Let the others work; it is the sound alone that moves time."""
        time.sleep(min(max(seconds, 0.0), 0.01))

    def go_on(self, seconds: float) -> None:
        """So much later."""
        self._now += seconds


class FastMicrophone(Microphone):
    """A live microphone whose sound comes as fast as the program takes it, and that can be unplugged.

    Parameters
    ----------
    clock : moved by what is read
    sound : gives the next 256 samples
    waiting : how many blocks wait for the program
    """

    live = True

    def __init__(self, clock: SoundClock, sound: Callable[[], Samples], waiting: Callable[[], int]) -> None:
        self.name = "the microphone of the soak"
        self._clock, self._sound, self._waiting = clock, sound, waiting
        self._is_open = False
        self._outage = 0.0
        self._closing = threading.Event()

    def unplug(self, seconds: float) -> None:
        """Be away from now on, for so long."""
        self._outage = seconds

    def open(self) -> None:
        """Begin, or find nothing. `Patient` waits for seconds of real time after it, so few tries make an outage."""
        if self._outage > 0.0:
            gone = min(self._outage, _TRY_SECONDS)
            self._outage -= gone
            self._clock.go_on(gone)
            raise SoundFault(f"there is no microphone {self.name}: plug it in.")
        self._sequence, self._is_open = 0, True
        self._closing.clear()

    def read(self) -> Block | None:
        """The next block, as soon as the program is near enough behind."""
        if not self._is_open:
            return None
        if self._outage > 0.0:
            self._is_open = False
            raise SoundFault(f"{self.name} has been unplugged: plug it in again.")
        self._wait_for_the_program()
        samples = self._sound()
        self._sequence += 1
        self._clock.go_on(HOP_SECONDS)
        return Block(samples, self._sequence - 1, self._sequence * HOP_SECONDS)

    def close(self) -> None:
        """End."""
        self._is_open = False
        self._closing.set()

    def _wait_for_the_program(self) -> None:
        until = time.monotonic() + _GIVES_UP_SECONDS
        while self._waiting() >= AHEAD and not self._closing.is_set():
            if time.monotonic() > until:
                raise RuntimeError("The program takes no sound any more.")
            time.sleep(0.0005)
