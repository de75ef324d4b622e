"""A recording as a source of sound: a WAV or FLAC file of 8 to 192 kHz, of any depth and any channels.

What comes out is a pure function of the samples in the file: the same file gives the same blocks, however
fast it is read. A file of any length is read in chunks and never held whole. A file of several channels is
gone through once before, to see whether they cancel (`mixdown`).

The constant offset is left in: the Ear takes it out of every source alike. What lies beyond full scale (float
files can) is cut off, for blocks are in [-1, 1].
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

from airladder.devices.microphone import Microphone, Reblocker
from airladder.devices.mixdown import cancelled, mono
from airladder.devices.soundfiles import CHUNK, SoundReader
from airladder.devices.soundnotes import Remarks, broken_off
from airladder.faults import SoundFault
from airladder.hearing.block import RATE, Block, Samples


class Recording(Microphone):
    """Reads a file as fast as it is asked to.

    Parameters
    ----------
    path : of a WAV or FLAC file
    chunk : frames read at a time; the blocks are the same for any

    Attributes
    ----------
    notes : after the end, one sentence for each oddity (offset, clipping, silence, breaking off); else empty
    """

    live = False

    def __init__(self, path: Path | str, chunk: int = CHUNK) -> None:
        self.name = Path(path).name
        self.notes: list[str] = []
        self._path, self._chunk = path, chunk
        self._reader: SoundReader | None = None
        self._blocks: Iterator[Block] = iter(())

    def open(self) -> None:
        """Begin at the start of the file.

        Raises
        ------
        SoundFault : see `SoundReader`; also when the rate is not 48 kHz and soxr is not installed.
        """
        self.close()
        self.notes = []
        self._reader = SoundReader(self._path, self._chunk)
        alone = self._cancelled() if self._reader.channels > 1 else None
        self._blocks = self._stream(self._reader, Resampler(self._reader.rate), alone)

    def read(self) -> Block | None:
        """The next block, the last one filled up with silence; None after the end.

        Raises
        ------
        SoundFault : at a sample that is not a finite number, when the blocks before it have been read.
        """
        return next(self._blocks, None)

    def close(self) -> None:
        """Let the file go; `notes` stay."""
        if self._reader is not None:
            self._reader.close()
        self._reader, self._blocks = None, iter(())

    def _cancelled(self) -> int | None:
        scout = SoundReader(self._path, self._chunk)
        try:
            return cancelled(scout.chunks())
        finally:
            scout.close()

    def _stream(self, reader: SoundReader, resampler: Resampler, alone: int | None) -> Iterator[Block]:
        reblocker, remarks = Reblocker(), Remarks(reader.step, reader.channels)
        fault: SoundFault | None = None
        try:
            for frames in reader.chunks():
                heard = mono(frames, alone)
                remarks.feed(frames, heard)
                yield from reblocker.blocks(resampler.push(heard))
        except SoundFault as bad:
            fault = bad
        yield from reblocker.blocks(resampler.rest())
        yield from reblocker.last()
        self.notes = [*_one_channel(alone), *remarks.sentences()]
        if fault:
            raise fault
        self.notes += broken_off(reader)


class Resampler:
    """Brings mono sound to 48 kHz, chunk by chunk; sound that has that rate goes through untouched.

    soxr's HQ recipe: linear phase, its delay taken out, errors below 20 bits.

    Parameters
    ----------
    rate : of what is pushed, samples a second

    Raises
    ------
    SoundFault : when soxr is wanted and not installed.
    """

    def __init__(self, rate: int) -> None:
        self._stream = None if rate == RATE else _soxr_stream(rate)

    def push(self, sound: Samples) -> Samples:
        """What can be told so far, shape (n,), in [-1, 1]; soxr keeps the newest few milliseconds back."""
        if self._stream is None:
            return _limited(sound)
        return _limited(self._stream.resample_chunk(np.ascontiguousarray(sound)))

    def rest(self) -> Samples:
        """What was kept back; once, at the end."""
        nothing = np.zeros(0, np.float32)
        return nothing if self._stream is None else _limited(self._stream.resample_chunk(nothing, last=True))


def _limited(sound: Samples) -> Samples:
    limited: Samples = np.clip(sound, np.float32(-1.0), np.float32(1.0))
    return limited


def _soxr_stream(rate: int) -> Any:
    try:
        import soxr
    except ImportError as missing:
        raise SoundFault(
            f"The recording has {rate} samples a second and {RATE} are wanted; to convert them the Python"
            f" package soxr cannot be used here ({missing}), install it with: pip install soxr"
        ) from missing
    return soxr.ResampleStream(rate, RATE, 1, dtype="float32", quality="HQ")


def _one_channel(alone: int | None) -> list[str]:
    if alone is None:
        return []
    return [f"The channels cancel when mixed (opposite phase), so channel {alone + 1} was heard alone."]
