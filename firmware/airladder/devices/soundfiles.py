"""Opens a recording and gives its samples as they stand in the file, in order.

What cannot be read is told in one sentence as a SoundFault.

Conventions
-----------
Chunks are float32 arrays of shape (n, channels) at the file's own rate; 1.0 is full scale. Times are seconds
from the start of the file.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from airladder.devices.riff import promised_frames
from airladder.devices.sndfile import library
from airladder.faults import SoundFault

Frames = npt.NDArray[np.float32]
"""Samples of all channels at once, shape (n, channels)."""

CHUNK = 16_384
"""Frames read at a time: 1 MB at most with 16 channels, whatever the length of the file."""

SLOWEST, FASTEST = 8_000, 192_000
"""The rates that are taken, samples a second."""

_WANTED = "a WAV or FLAC recording"
_BITS = {"PCM_S8": 8, "PCM_U8": 8, "PCM_16": 16}


class SoundReader:
    """A recording, opened and looked at as far as its first samples.

    Parameters
    ----------
    path : of the file, as the player typed it
    chunk : frames read at a time

    Attributes
    ----------
    rate : samples a second
    channels : how many
    promised : frames that the header says there are, or None when it does not say
    delivered : frames given so far
    step : the smallest step between two samples; taken as 2**-23 for all that is finer than 16 bits

    Raises
    ------
    SoundFault : no such file, a folder, not to be read, empty, no samples, not sound, a rate out of range,
        or soundfile is not installed.
    """

    def __init__(self, path: Path | str, chunk: int = CHUNK) -> None:
        self._path, self._chunk = Path(path), chunk
        self._file = _refusals_told(self._path)
        try:
            self._look()
        except SoundFault:
            self._file.close()
            raise

    def chunks(self) -> Iterator[Frames]:
        """The samples; once only.

        Raises
        ------
        SoundFault : at the first sample that is not a finite number, after all before it were given.
        """
        chunk = self._first
        while len(chunk):
            sound = np.isfinite(chunk)
            good = len(chunk) if sound.all() else int(np.argmin(sound.all(axis=1)))
            self.delivered += good
            if good:
                yield chunk[:good]
            if good < len(chunk):
                raise SoundFault(self._not_a_number(chunk[good]))
            # After damage there may be more, but it would stand at the wrong time.
            chunk = self._read() if len(chunk) == self._chunk else chunk[:0]

    def close(self) -> None:
        """Let the file go. Harmless when already closed."""
        self._file.close()

    def _look(self) -> None:
        self.rate: int = self._file.samplerate
        self.channels: int = self._file.channels
        self.step = 2.0 ** (1 - _BITS.get(self._file.subtype, 24))
        self.delivered = 0
        if not SLOWEST <= self.rate <= FASTEST:
            raise SoundFault(
                f"{self._path} has {self.rate} samples a second, but {SLOWEST} to {FASTEST} are wanted;"
                " convert it to 48000."
            )
        said = promised_frames(self._path)
        self.promised = said if said is not None else _or_none(self._file.frames)
        self._first = self._read()
        if not len(self._first):
            raise SoundFault(
                f"{self._path} has a header but not one sample, and {_WANTED} is wanted; record or copy it again."
            )

    def _read(self) -> Frames:
        """The next chunk; a short one, or none, is the last: the file ends there, or is damaged."""
        # FLAC that breaks off makes libsndfile fail after it has filled in what it could decode; how much
        # that is can only be told by what was there before. Whole numbers never decode to NaN.
        chunk = np.full((self._chunk, self.channels), np.nan, np.float32)
        try:
            return chunk[: len(self._file.read(out=chunk))]
        except library().LibsndfileError:
            untouched = np.isnan(chunk[:, 0])
            return chunk[: int(np.argmax(untouched)) if untouched.any() else None]

    def _not_a_number(self, frame: Frames) -> str:
        what = "not a number (NaN)" if np.isnan(frame).any() else "infinite or far too large"
        return (
            f"{self._path} has a sample that is {what} at {self.delivered / self.rate:.4f} s, and numbers"
            " from -1 to 1 are wanted; all before it was heard, export the recording again."
        )


def _refusals_told(path: Path) -> Any:
    """What `_opened` gives; the system's refusals as one sentence."""
    try:
        _check_file(path)
        return _opened(path)
    except SoundFault:
        raise
    except PermissionError as refused:
        raise SoundFault(
            f"{path} may not be read by this user, and {_WANTED} is wanted; allow it with: chmod a+r {path}"
        ) from refused
    except OSError as refused:
        why = refused.strerror
        raise SoundFault(f"{path} cannot be read ({why}), and {_WANTED} is wanted; copy it again.") from refused


def _check_file(path: Path) -> None:
    """Raises unless `path` is an ordinary file with something in it."""
    try:
        found = path.stat()
    except (FileNotFoundError, NotADirectoryError) as missing:
        raise SoundFault(f"There is no file {path}, and {_WANTED} is wanted; check how it is spelt.") from missing
    if stat.S_ISDIR(found.st_mode):
        raise SoundFault(f"{path} is a folder, and {_WANTED} is wanted; name one file in it.")
    if not stat.S_ISREG(found.st_mode):
        raise SoundFault(f"{path} is a device or a pipe, and {_WANTED} is wanted; save the sound first.")
    if found.st_size == 0:
        raise SoundFault(f"{path} is empty (0 bytes), and {_WANTED} is wanted; record or copy it again.")


def _opened(path: Path) -> Any:
    """The file as a soundfile.SoundFile."""
    try:
        soundfile = library()
    except (ImportError, OSError) as missing:
        raise SoundFault(
            f"Recordings are read with the Python package soundfile, which cannot be used here ({missing});"
            " install it with: pip install soundfile soxr"
        ) from missing

    try:
        # By number, so that the form is told from what is in the file, never from its name.
        return soundfile.SoundFile(os.open(path, os.O_RDONLY), closefd=True)
    except soundfile.LibsndfileError as strange:
        raise SoundFault(_unknown_form(path)) from strange


def _unknown_form(path: Path) -> str:
    with path.open("rb") as file:
        head = file.read(12)
    riff = head[:4] in (b"RIFF", b"RIFX", b"RF64") and b"WAVE".startswith(head[8:])
    if riff or head[:4] == b"fLaC":
        return (
            f"{path} has a header that breaks off, is damaged or of a kind that we do not know,"
            f" and {_WANTED} is wanted; record or copy it again."
        )
    return f"{path} is no sound in any form that we know, and {_WANTED} is wanted; convert it or name another."


def _or_none(frames: int) -> int | None:
    """The length that libsndfile tells; it calls an unknown one by the largest number there is."""
    return frames if frames < 2**62 else None
