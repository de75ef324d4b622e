"""What sounds the wanted pitch: a sound card, nothing at all, or a list of what was asked for.

Conventions
-----------
Frequencies in Hz, lengths in seconds. A sound begins at once and ends when it was asked to, in place of whatever
sounded before. No output is no fault of the practice: all else goes on without it.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass

from airladder.devices.clock import Clock
from airladder.faults import SoundFault


class Speaker(ABC):
    """A place where a pitch is sounded.

    Attributes
    ----------
    name : what a sentence to the player calls it
    """

    name: str

    @abstractmethod
    def open(self) -> None:
        """Begin. May be called again after `close`.

        Raises
        ------
        SoundFault : when there is no such output, or none that will do; one sentence.
        """

    @abstractmethod
    def sound(self, hz: float, seconds: float) -> None:
        """Sound `hz` for `seconds` from now on, in place of what sounds. Never waits, never raises."""

    @abstractmethod
    def hush(self) -> None:
        """Let what sounds end softly, now. Never waits, never raises."""

    @abstractmethod
    def close(self) -> None:
        """End, softly. Harmless when already closed."""


class SilentSpeaker(Speaker):
    """Where there is no output: nothing sounds."""

    name = "no sound output"

    def open(self) -> None:
        """Nothing to open."""

    def sound(self, hz: float, seconds: float) -> None:
        """Nothing sounds."""

    def hush(self) -> None:
        """Nothing has sounded."""

    def close(self) -> None:
        """Nothing to close."""


@dataclass(frozen=True)
class Asked:
    """One word to a speaker: at `t` of the clock it was to sound `hz` for `seconds`, or with hz 0 to be silent."""

    t: float
    hz: float = 0.0
    seconds: float = 0.0


class RecordedSpeaker(Speaker):
    """A speaker for tests: keeps what it was asked and when, and fails on cue.

    Parameters
    ----------
    clock : tells when
    on_fault : told when a sound fails
    fails_to_open : how many times `open` finds nothing before it succeeds
    fails_to_sound : how many sounds fail, and are told, before one succeeds

    Attributes
    ----------
    asked : what it did, in order; a sound that failed is not among it
    is_open : whether it is open now
    """

    def __init__(
        self,
        clock: Clock,
        on_fault: Callable[[str], None] = lambda sentence: None,
        *,
        fails_to_open: int = 0,
        fails_to_sound: int = 0,
    ) -> None:
        self.name = "the recorded speaker"
        self.asked: list[Asked] = []
        self.is_open = False
        self._clock = clock
        self._on_fault = on_fault
        self._fails_to_open = fails_to_open
        self._fails_to_sound = fails_to_sound

    def open(self) -> None:
        """Begin, or fail as often as told."""
        if self._fails_to_open > 0:
            self._fails_to_open -= 1
            raise SoundFault(f"there is no sound output {self.name}: plug it in.")
        self.is_open = True

    def sound(self, hz: float, seconds: float) -> None:
        """Keep the word; closed, there is nobody to keep it."""
        if self._fails_to_sound > 0:
            self._fails_to_sound -= 1
            self._on_fault(f"{self.name} has been unplugged: plug it in again.")
        elif self.is_open:
            self.asked.append(Asked(self._clock.monotonic(), hz, seconds))

    def hush(self) -> None:
        """Keep the word."""
        if self.is_open:
            self.asked.append(Asked(self._clock.monotonic()))

    def close(self) -> None:
        """End."""
        self.is_open = False
