"""Who listens: the form in which every listener answers, and ourselves.

Conventions
-----------
Value i of an answer is what a listener that runs live could say when sample (i + 1) * 256 has come in, plus its
`look_ahead_s`: the sound after that sample which it needs. Partials are counted from 1; 0 is null or nothing.
"""

from __future__ import annotations

import gc
import math
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import HOP, HOP_SECONDS, Block, Samples
from airladder.hearing.ear import Ear
from airladder.hearing.events import Attack, Event, Reading, Tone
from bench.clip import Clip, Floats

Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Answer:
    """What a listener said of a clip.

    Attributes
    ----------
    hz : shape (n // 256,), Hz, nan where it heard no pitch
    partial : shape (n // 256,), 0 for null or nothing
    split : shape (n // 256,), the sum of 2 ** partial over the partials heard at once; 0 when it heard no split
    attacks, tones : in order; peers give none
    hop_seconds : shape (n // 256,), CPU seconds that each hop took; empty where it was not measured
    """

    hz: Floats
    partial: Ints
    split: Ints
    attacks: tuple[Attack, ...] = ()
    tones: tuple[Tone, ...] = ()
    hop_seconds: Floats = field(default_factory=lambda: np.empty(0))


class Listener(Protocol):
    """Anyone who can be asked what sounds in a clip."""

    @property
    def name(self) -> str:
        """As it stands in the tables."""
        ...

    @property
    def look_ahead_s(self) -> float:
        """Sound after the end of a hop that it needs before it answers for that hop, s."""
        ...

    @property
    def whole_file(self) -> bool:
        """Whether it decides with the rest of the file in view, so that live it could not run at all."""
        ...

    def listen(self, clip: Clip) -> Answer:
        """What it says of the clip."""
        ...


def ends_s(hops: int) -> Floats:
    """The ends of the first `hops` hops, s."""
    return np.asarray((np.arange(hops) + 1) * HOP_SECONDS, np.float64)


def blocks_of(samples: Samples) -> list[Block]:
    """The whole hops of the samples as the blocks of a source that never lost any."""
    count = len(samples) // HOP
    return [Block(samples[i * HOP : (i + 1) * HOP], i, (i + 1) * HOP_SECONDS) for i in range(count)]


def split_mask(partials: Iterable[int]) -> int:
    """The partials of a split as one number."""
    return sum(1 << partial for partial in partials)


@contextmanager
def only_new_garbage() -> Iterator[None]:
    """Collections inside look through what is made inside, not through all that the benchmark holds."""
    gc.freeze()
    try:
        yield
    finally:
        gc.unfreeze()


@dataclass(frozen=True)
class Ours:
    """The Ear, fed hop by hop: it has no look-ahead."""

    name: str = "airladder"
    look_ahead_s: float = 0.0
    whole_file: bool = False

    def listen(self, clip: Clip) -> Answer:
        """A reading counts for the hop whose block brought it, whatever time it bears."""
        ear, blocks = Ear(clip.series), blocks_of(clip.samples)
        said: list[list[Event]] = []
        spent = np.zeros(len(blocks))
        with only_new_garbage():
            for hop, block in enumerate(blocks):
                before = time.thread_time_ns()
                said.append(ear.feed(block))
                spent[hop] = (time.thread_time_ns() - before) * 1e-9
        return _answer(said, ear.finish(), spent)


def _answer(said: list[list[Event]], last: list[Event], spent: Floats) -> Answer:
    hz, partial, split = np.full(len(said), math.nan), np.zeros(len(said), np.int64), np.zeros(len(said), np.int64)
    for hop, events in enumerate(said):
        for reading in (event for event in events if isinstance(event, Reading)):
            hz[hop] = reading.hz or math.nan
            partial[hop] = reading.partial or 0
            split[hop] = split_mask(reading.split)
    every = [event for events in (*said, last) for event in events]
    return Answer(
        hz=hz,
        partial=partial,
        split=split,
        attacks=tuple(event for event in every if isinstance(event, Attack)),
        tones=tuple(event for event in every if isinstance(event, Tone)),
        hop_seconds=spent,
    )
