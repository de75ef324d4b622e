"""The invented player as a source of sound: for a look at the device without a horn.

Conventions
-----------
Time is counted in blocks, never on a clock: the same calls of `want` between the same blocks give the same sound.
To hear or watch it at the speed of life, read it through `Paced`. Room noise is white, at -70 dBFS (invented).

A note takes a quarter of a second of a desk computer's core to make. It is made in the pause before it, a little with
each block and by whoever reads: a thread of its own would keep the interpreter from all others for 5 ms at a time,
and delay blocks by several of their lengths.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Iterator

import numpy as np

from airladder.devices.microphone import Microphone
from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE, Block, Samples
from airladder.virtualhorn.physical import Performance, performing
from airladder.virtualhorn.player import Player, Wanted

ROOM_DBFS = -70.0

_MAKING_SECONDS = 0.8
_STEPS = 16  # a block: so many ms of sound are made in 5.3 ms, the longest note in 0.77 s

_GIVES_UP = 3  # notes that change nothing in what is wanted: nobody listens


class DemoMicrophone(Microphone):
    """Hears an invented player in a quiet room.

    Parameters
    ----------
    pause_seconds : from the end of one note to the beginning of the next, or longer when what is wanted changes in
        its last 0.8 s; more than a result is shown
    farewell_seconds : how long the sound goes on when all is over, or nobody listens
    seed : chooses the small things
    """

    live = False

    def __init__(self, pause_seconds: float = 3.5, farewell_seconds: float = 5.0, seed: int = 1) -> None:
        self.name = "the invented player"
        self._seed = seed
        self._pause, self._farewell = round(pause_seconds * RATE), round(farewell_seconds * RATE)
        self._lock = threading.Lock()
        self._wanted: Wanted | None = None
        self._over = False
        self._player: Player | None = None

    def want(self, wanted: Wanted | None, *, over: bool = False) -> None:
        """Tell the player what is wanted now, None for nothing, and whether all is over. From any thread."""
        with self._lock:
            self._wanted, self._over = wanted, over

    def open(self) -> None:
        """Begin: a fresh player, who has made no slip yet."""
        self._player = Player(self._seed)
        self._room = np.random.default_rng(self._seed)
        self._making: tuple[Wanted, Iterator[Performance | None]] | None = None
        self._made: Performance | None = None
        self._note: Samples = np.zeros(0, np.float32)
        self._answered: deque[Wanted] = deque(maxlen=_GIVES_UP)
        self._quiet = self._idle = self._sequence = 0

    def read(self) -> Block | None:
        """The next block; None once all has been over, or nobody has listened, for as long as the farewell.

        Raises
        ------
        SoundFault : when it is not open.
        BadInput : when a partial is wanted that cannot be played.
        """
        player = self._player
        if player is None:
            raise SoundFault(f"Sound of {self.name} was asked for before it was opened; open it first.")
        with self._lock:
            wanted, over = self._wanted, self._over
        if len(self._note):
            self._idle = 0
        elif over or (wanted is not None and self._answered.count(wanted) == _GIVES_UP):
            self._idle += HOP
        else:
            self._idle = 0
            if wanted is not None:
                self._make(player, wanted)
        return self._block() if self._idle <= self._farewell else None

    def close(self) -> None:
        """End."""
        self._player = None

    def _make(self, player: Player, wanted: Wanted) -> None:
        """Go on making the note that is wanted, and let it begin when it is ready and due."""
        if self._quiet < self._pause - round(_MAKING_SECONDS * RATE):
            return
        if self._making is None or self._making[0] != wanted:
            self._making = wanted, performing(*player.next_gesture(wanted), seed=self._sequence)
            self._made = None
        for _ in range(_STEPS):
            self._made = next(self._making[1], self._made)
        if self._made is not None and self._quiet >= self._pause:
            player.begins(wanted)
            self._answered.append(wanted)
            self._note, self._making = self._made.samples, None
            self._quiet = 0

    def _block(self) -> Block:
        samples = (10 ** (ROOM_DBFS / 20.0) * self._room.standard_normal(HOP)).astype(np.float32)
        played, self._note = self._note[:HOP], self._note[HOP:]
        samples[: len(played)] += played
        self._quiet += HOP - len(played)
        self._sequence += 1
        return Block(samples, self._sequence - 1, self._sequence * HOP / RATE)
