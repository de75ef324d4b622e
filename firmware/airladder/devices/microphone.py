"""What every source of sound has in common: a sound card, a recording, an invented player.

Conventions
-----------
`read` gives blocks of the form of `hearing.block`: mono float32 in [-1, 1], 48 kHz, 256 samples. Times count
seconds of sound since the source was opened; after a gap they go on from the sound card's clock as well as it
can be known.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence

import numpy as np

from airladder.hearing.block import HOP, RATE, Block, Samples


class Microphone(ABC):
    """A source of sound.

    Attributes
    ----------
    name : what a sentence to the player calls it
    live : True when sound that is not fetched in time is lost; False when it waits (a recording)
    notes : once it has ended, a sentence for each oddity of the sound that a person should know of
    """

    name: str
    live: bool
    notes: Sequence[str] = ()

    @abstractmethod
    def open(self) -> None:
        """Begin. May be called again after `close`.

        Raises
        ------
        SoundFault : when the source is missing, busy, or not of the wanted form; one sentence.
        """

    @abstractmethod
    def read(self) -> Block | None:
        """The next block, waiting for it if need be; None after the end of a recording.

        Raises
        ------
        SoundFault : when the source has gone away.
        """

    @abstractmethod
    def close(self) -> None:
        """End. Harmless when already closed."""


class Reblocker:
    """Cuts chunks of any length into blocks of 256 samples.

    A gap throws away the unfinished block, so that no block ever holds samples from both sides of it.
    """

    def __init__(self) -> None:
        self._rest: Samples = np.zeros(0, np.float32)
        self._sequence = 0
        self._frames = 0
        self._lost = False

    def gap(self, seconds: float = 0.0) -> None:
        """Samples were lost here, `seconds` of them if that is known."""
        self._frames += len(self._rest) + round(seconds * RATE)
        self._rest = self._rest[:0]
        self._lost = True

    def blocks(self, chunk: Samples) -> Iterator[Block]:
        """The blocks that `chunk` completes, shape of `chunk` (n,)."""
        samples = np.concatenate([self._rest, chunk])
        whole = len(samples) // HOP * HOP
        self._rest = samples[whole:]
        for hop in samples[:whole].reshape(-1, HOP):
            self._frames += HOP
            yield Block(hop, self._sequence, self._frames / RATE, self._lost)
            self._sequence += 1
            self._lost = False

    def last(self) -> Iterator[Block]:
        """The unfinished block at the end of a recording, filled up with silence."""
        if len(self._rest):
            yield from self.blocks(np.zeros(HOP - len(self._rest), np.float32))
