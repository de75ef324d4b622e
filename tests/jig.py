"""Stand-ins for the selftest: a clock with a diary, a bus, a microphone with a crystal, a box of mock pins."""

from __future__ import annotations

import errno
import io
import json
from collections.abc import Callable, Collection, Sequence
from datetime import UTC, datetime
from typing import Any

import numpy as np
from gpiozero.pins.mock import MockFactory, MockPin

from airladder.devices.clock import StillClock
from airladder.devices.display import Display
from airladder.devices.i2c_bus import I2cBus
from airladder.devices.keys import NoKeys
from airladder.devices.microphone import Microphone
from airladder.devices.pins import pin_map
from airladder.faults import Fault, SoundFault
from airladder.hearing.block import HOP, RATE, Block, Samples
from airladder.panel.debounce import Edge
from airladder.practice.presses import Button, Press
from airladder.selftest.hands import Closable, Contacts, Hands
from airladder.selftest.stage import Stage
from airladder.selftest.wire import Wire


class Diary(StillClock):
    """A clock that moves when somebody sleeps, and does what stands in its diary when the time has come."""

    def __init__(self) -> None:
        super().__init__(datetime(2026, 11, 27, 12, 0, tzinfo=UTC))
        self._entries: list[tuple[float, Callable[[], object]]] = []

    def at(self, seconds: float, deed: Callable[[], object]) -> None:
        """Do something at that moment."""
        self._entries.append((seconds, deed))
        self._entries.sort(key=lambda entry: entry[0])

    def sleep(self, seconds: float) -> None:
        """Move on, deed after deed."""
        end = self._seconds + max(0.0, seconds)
        while self._entries and self._entries[0][0] <= end:
            moment, deed = self._entries.pop(0)
            self._seconds = max(self._seconds, moment)
            deed()
        self._seconds = end


class JigBus(I2cBus):
    """A bus that was never opened.

    Attributes
    ----------
    answering, driven : addresses where somebody answers, and where a driver of the kernel sits
    hangs : whether each transfer waits until the controller gives up
    written, read : the addresses that were probed by an empty write, and by a read
    """

    def __init__(self, answering: Collection[int] = (), driven: Collection[int] = (), *, hangs: bool = False) -> None:
        super().__init__()
        self.answering, self.driven, self.hangs = set(answering), set(driven), hangs
        self.written: list[int] = []
        self.read: list[int] = []

    def write_quick(self, i2c_addr: int, force: bool | None = None) -> None:
        """An empty write."""
        self.written.append(i2c_addr)
        self._probed(i2c_addr)

    def read_byte(self, i2c_addr: int, force: bool | None = None) -> int:
        """One byte."""
        self.read.append(i2c_addr)
        self._probed(i2c_addr)
        return 0

    def _probed(self, address: int) -> None:
        if address in self.driven:
            raise OSError(errno.EBUSY, "Device or resource busy")
        if self.hangs:
            raise OSError(errno.ETIMEDOUT, "Connection timed out")
        if address not in self.answering:
            raise OSError(errno.EREMOTEIO, "Remote I/O error")

    @property
    def wire(self) -> Wire:
        """As the checks have it."""
        return Wire(lambda: self)


def no_wire() -> Wire:
    """Of a computer without such a bus."""

    def none() -> I2cBus:
        raise FileNotFoundError(errno.ENOENT, "No such file or directory")

    return Wire(none)


class JigMicrophone(Microphone):
    """Plays an array, at the pace of a crystal.

    Parameters
    ----------
    samples : played from the beginning, again and again
    clock : moved by each block
    fast_ppm : how much too fast its crystal is
    late_s : how late the blocks are taken, in turn
    gaps : numbers of blocks before which sound is lost
    ends_at : the number of the block that does not come any more
    refuses : the sentence with which it does not open
    """

    live = True
    name = "the microphone of the jig"

    def __init__(
        self,
        samples: Samples,
        clock: Diary,
        *,
        fast_ppm: float = 0.0,
        late_s: Sequence[float] = (0.0,),
        gaps: Collection[int] = (),
        ends_at: int | None = None,
        refuses: str = "",
    ) -> None:
        self._samples, self._clock = np.asarray(samples, np.float32), clock
        self._second = 1.0 / (1.0 + fast_ppm / 1e6)
        self._late, self._gaps, self._ends_at, self._refuses = late_s, gaps, ends_at, refuses
        self.is_open = False

    def open(self) -> None:
        """Begin."""
        if self._refuses:
            raise SoundFault(self._refuses)
        self.is_open, self._count, self._begun = True, 0, self._clock.monotonic()

    def read(self) -> Block | None:
        """The next block."""
        if self._count == self._ends_at:
            return None
        self._count += 1
        sounded = self._begun + self._count * HOP / RATE * self._second
        self._clock.sleep(sounded + self._late[self._count % len(self._late)] - self._clock.monotonic())
        place = (self._count - 1) * HOP
        hop = np.take(self._samples, np.arange(place, place + HOP), mode="wrap")
        return Block(hop, self._count - 1, self._count * HOP / RATE, self._count - 1 in self._gaps)

    def close(self) -> None:
        """End."""
        self.is_open = False


class KeysThatPress(NoKeys):
    """A terminal at which a key is pressed as soon as it listens."""

    def __init__(self, post: Callable[[Press], None], button: Button) -> None:
        self._post, self._button = post, button

    def start(self) -> None:
        """Press it."""
        self._post(Press(self._button, long=False, t=0.0))


class BridgedPin(MockPin):  # type: ignore[misc]  # gpiozero ships no types
    """A pin with a bridge of solder to ground: no pull-up lifts it."""

    def _set_pull(self, value: str) -> None:
        super()._set_pull(value)
        self.drive_low()


class Jig:
    """A box of mock pins with a maker before it, and what the terminal says."""

    def __init__(self, factory: MockFactory, *, as_json: bool = False, display: Display | None = None) -> None:
        self.clock = Diary()
        self.factory = factory
        self.pins = pin_map()
        self.out = io.StringIO()
        self.stage = Stage(self.out, self.clock, as_json=as_json, display=display)
        self.closed = 0
        self.hands = Hands(self._contacts, lambda post: NoKeys(), self.clock)

    def _contacts(self, post: Callable[[Edge], None]) -> Closable:
        return Contacts(self.pins.buttons, post, self.clock, self.factory)

    def turn(self, button: Button, down: bool, at: float) -> None:
        """Move a contact at that moment."""
        pin = self.factory.pin(f"GPIO{self.pins.buttons[button]}")
        self.clock.at(at, pin.drive_low if down else pin.drive_high)

    def press(self, button: Button, at: float, held: float = 0.15, chatter: Sequence[float] = ()) -> None:
        """Press a button: it closes at once, opens and closes in turn after so many seconds, and opens at the end."""
        for down, moment in [(True, at), *((n % 2 == 1, at + after) for n, after in enumerate(chatter))]:
            self.turn(button, down, moment)
        self.turn(button, False, at + held)

    def close(self) -> None:
        """Give the pins back."""
        self.hands.close()

    @property
    def said(self) -> list[dict[str, Any]]:
        """What was said in JSON."""
        return [json.loads(line) for line in self.out.getvalue().splitlines()]


def no_contacts(sentence: str) -> Callable[[Callable[[Edge], None]], Closable]:
    """Buttons that cannot be had."""

    def opened(post: Callable[[Edge], None]) -> Closable:
        raise Fault(sentence)

    return opened


def noise(seconds: float, dbfs: float, seed: int = 1) -> Samples:
    """White noise of 16 bits, with that rms."""
    made = np.random.default_rng(seed).normal(0.0, 10.0 ** (dbfs / 20.0), round(seconds * RATE))
    return rounded(made)


def sine(seconds: float, hz: float, dbfs: float) -> Samples:
    """A sine of 16 bits, with that rms."""
    t = np.arange(round(seconds * RATE)) / RATE
    return rounded(np.sqrt(2.0) * 10.0 ** (dbfs / 20.0) * np.sin(2.0 * np.pi * hz * t))


def rounded(samples: Any) -> Samples:
    """To 16 bits."""
    clipped: Samples = (np.clip(np.round(samples * 32768.0), -32768, 32767) / 32768.0).astype(np.float32)
    return clipped
