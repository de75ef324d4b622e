"""A whole session with stand-ins around it, for the replay tests."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import soundfile
from PIL.Image import Image

from additive.note import Note
from additive.voice import sound
from airladder.app.order import Done, Order, Outside
from airladder.app.practising import practise
from airladder.app.sources import opened_by
from airladder.config import Settings
from airladder.devices.clock import Clock
from airladder.devices.keys import NoKeys
from airladder.devices.microphone import Microphone
from airladder.hearing.block import RATE, Samples
from airladder.journal.log import Reader
from airladder.journal.records import Session
from airladder.pages.box import Box
from airladder.pages.light import Light
from airladder.practice.routine import Routine
from airladder.practice.state import State
from climbing import climb


class FixedDate(Clock):
    """The real monotonic clock under an invented date, always the same time after the same switch-on."""

    def wall(self) -> datetime:
        """Always the same moment."""
        return datetime(2001, 2, 3, 4, 5, 6, tzinfo=UTC)

    def boottime(self) -> float:
        """Always a minute."""
        return 60.0

    def boot_key(self) -> str:
        """Always the same."""
        return "invented"


@dataclass
class KeptPictures:
    """A display that keeps what it was shown."""

    pictures: list[Image] = field(default_factory=list)

    def show(self, picture: Image, light: Light = Light.BRIGHT) -> None:
        """Keep it."""
        self.pictures.append(picture)

    def close(self) -> None:
        """Nothing to do."""


@dataclass
class Stage:
    """Runs sessions in one folder and remembers the states that were seen.

    Attributes
    ----------
    folder : where the logs lie
    states : every state that the practice went through, in order
    boxes : every box, those round the practice included
    """

    folder: Path
    states: list[State] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    display: KeptPictures = field(default_factory=KeptPictures)

    def play(
        self,
        source: str,
        log: str = "log.sqlite",
        *,
        settings: Settings | None = None,
        routine: Routine | None = None,
        opened: Callable[[str, Clock], Microphone] = opened_by,
        **order: object,
    ) -> Done:
        """One session from `source` at once: of `routine`, else the fundamental and partials 2 to 6, rising."""
        self.states.clear()
        self.boxes.clear()
        settings = settings or Settings()
        routine = routine or climb(settings.series, against=settings.against)
        wanted = Order(settings, routine, source, self.folder / log, at_once=True, **order)  # type: ignore[arg-type]
        outside = Outside(self.display, lambda post: NoKeys(), self._seen, FixedDate(), opened)
        return practise(wanted, outside)

    def _seen(self, box: Box) -> None:
        self.boxes.append(box)
        if box.session is not None:
            self.states.append(box.session)

    def logged(self, log: str = "log.sqlite") -> list[Session]:
        """All sessions of a log."""
        with Reader(self.folder / log) as reader:
            return [reader.session(summary.id) for summary in reader.sessions()]


def ended(done: Done) -> State:
    """The practice as it ended."""
    assert done.state is not None, "there was no practice"
    return done.state


def take(settings: Settings, *notes: Note, pause: float = 3.0) -> Samples:
    """Notes of the invented player one after the other, silence before, between and after, shape (n,)."""
    silence = np.zeros(round(pause * RATE), np.float32)
    parts = [part for number, note in enumerate(notes) for part in (silence, sound(settings.series, note, number))]
    return np.concatenate([*parts, silence])


def written(path: Path, samples: Samples, rate: int = RATE, subtype: str = "PCM_16") -> Path:
    """Save `samples`, shape (n,), as a WAV file; its path."""
    soundfile.write(path, samples, rate, subtype=subtype)
    return path
