"""The microphone for a check: opened, read for a while, and closed whatever happens."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import numpy as np

from airladder.devices.microphone import Microphone
from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE, Block, Samples
from airladder.selftest.result import Result, missing, taken_by_the_service


@contextmanager
def opened(microphone: Microphone, settle_s: float) -> Iterator[Microphone]:
    """The microphone, open, its first `settle_s` seconds heard and thrown away: a codec needs a moment.

    Raises
    ------
    SoundFault : when it cannot be had, or ends.
    """
    try:
        microphone.open()
        taken(microphone, settle_s)
        yield microphone
    finally:
        microphone.close()


def taken(microphone: Microphone, seconds: float) -> tuple[Samples, int]:
    """So many seconds of sound, shape (n,), and in how many places some of it is lost.

    Raises
    ------
    SoundFault : when the sound ends before that.
    """
    blocks = [next_block(microphone) for _ in range(round(seconds * RATE / HOP))]
    samples = np.concatenate([block.samples for block in blocks]) if blocks else np.zeros(0, np.float32)
    return samples, sum(block.lost for block in blocks)


def next_block(microphone: Microphone) -> Block:
    """The next block.

    Raises
    ------
    SoundFault : when there is none.
    """
    block = microphone.read()
    if block is None:
        raise SoundFault(f"{microphone.name} ended in the middle of the check; wanted a microphone that goes on.")
    return block


def no_sound(fault: SoundFault, *, on_board: bool) -> Result:
    """The result of a microphone that cannot be had."""
    return missing(taken_by_the_service(f"No sound: {fault}"), on_board=on_board)
