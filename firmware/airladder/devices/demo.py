"""The invented player as a source of sound: for a look at the device without a horn.

Conventions
-----------
Time is counted in blocks, never on a clock: the same calls of `want` between the same blocks give the same sound.
To hear or watch it at the speed of life, read it through `Paced`. Room noise is white, at -70 dBFS (invented).
"""

from __future__ import annotations

import threading

import numpy as np

from airladder.devices.microphone import Microphone
from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE, Block, Samples
from airladder.music.series import Series
from airladder.virtualhorn.player import Player
from airladder.virtualhorn.voice import sound

ROOM_DBFS = -70.0


class DemoMicrophone(Microphone):
    """Hears an invented player in a quiet room.

    Parameters
    ----------
    series : the tube that is played
    pause_seconds : from the end of one note to the beginning of the next; more than a result is shown
    farewell_seconds : how long the sound goes on when nothing is wanted any more
    seed : chooses the small things
    """

    live = False

    def __init__(
        self, series: Series, pause_seconds: float = 3.0, farewell_seconds: float = 5.0, seed: int = 1
    ) -> None:
        self.name = "the invented player"
        self._series, self._seed = series, seed
        self._pause, self._farewell = round(pause_seconds * RATE), round(farewell_seconds * RATE)
        self._lock = threading.Lock()
        self._wanted: tuple[int | None, int] = (None, 0)
        self._player: Player | None = None

    def want(self, partial: int | None, tries: int) -> None:
        """Tell the player which partial is wanted, and how often it was tried. May be called from any thread."""
        with self._lock:
            self._wanted = (partial, tries)

    def open(self) -> None:
        """Begin: a fresh player, who has made no slip yet."""
        self._player = Player(self._seed)
        self._room = np.random.default_rng(self._seed)
        self._note: Samples = np.zeros(0, np.float32)
        self._quiet = self._idle = 0
        self._sequence = 0

    def read(self) -> Block | None:
        """The next block; None once nothing has been wanted for as long as the farewell lasts.

        Raises
        ------
        SoundFault : when it is not open.
        """
        player = self._player
        if player is None:
            raise SoundFault(f"Sound of {self.name} was asked for before it was opened; open it first.")
        with self._lock:
            wanted, tries = self._wanted
        if len(self._note) == 0 and wanted is not None and self._quiet >= self._pause:
            self._begin(player, wanted, tries)
        self._idle = self._idle + HOP if len(self._note) == 0 and wanted is None else 0
        if self._idle > self._farewell:
            return None
        return self._block()

    def close(self) -> None:
        """End."""
        self._player = None

    def _begin(self, player: Player, wanted: int, tries: int) -> None:
        self._note = sound(self._series, player.next_note(wanted, tries), seed=self._sequence)
        self._quiet = 0

    def _block(self) -> Block:
        samples = (10 ** (ROOM_DBFS / 20.0) * self._room.standard_normal(HOP)).astype(np.float32)
        played, self._note = self._note[:HOP], self._note[HOP:]
        samples[: len(played)] += played
        self._quiet += HOP - len(played)
        self._sequence += 1
        return Block(samples, self._sequence - 1, self._sequence * HOP / RATE)
