"""An output on ALSA, the sound system of Linux: samples in, sentences out.

Opened non-blocking and waited for with `poll`, as the microphone is (`alsa.py`), so that nobody waits for ever for a
card that takes nothing.

Conventions
-----------
48 kHz and 16 bit are musts; one channel is asked for, and two are both given the same. The buffer is short, 40 ms:
what is asked for is heard soon, and a hush as well.

After an underrun pyalsaaudio 0.11 returns -EPIPE and has already prepared the stream again (its manual, `PCM.write`).
"""

from __future__ import annotations

import errno
import select
from contextlib import suppress
from typing import Any

import numpy as np

from airladder.devices.alsalib import AT_OPEN_OUTPUT, AT_WRITE, SILENTLY, STALLED, fault, load, translated
from airladder.devices.clock import Clock
from airladder.faults import SoundFault
from airladder.hearing.block import RATE, Samples

PIECE = 640
"""Samples that are best handed over at a time: a period of the output, 13 ms.

A card of 44.1 kHz takes 588 in that time. ALSA's conversion makes the pitch that of the two periods, whole numbers
both: with 512 it would be 1.5 cents flat (alsa-lib, `pcm_rate_linear.c`, `linear_adjust_pitch`; calculated from it).
"""

STALLED_SECONDS = 1.0
"""An output that takes nothing for so long is given up; the sentence STALLED says so."""

_PERIODS = 3
_WAIT_MS = 20


class AlsaOut:
    """One opened output. For one thread.

    Parameters
    ----------
    device : ALSA's name, what follows `alsa:`
    clock : tells an output that takes nothing from one that is slow

    Attributes
    ----------
    buffered : frames that may be on their way
    underruns : how often it ran dry

    Raises
    ------
    SoundFault : when the output is missing, busy, or not of the wanted form; one sentence.
    """

    def __init__(self, device: str, clock: Clock) -> None:
        self._device = device
        self._clock = clock
        self.underruns = 0
        self._alsa = load(f"alsa:{device}", SILENTLY)
        self._pcm: Any = self._opened(_PERIODS)
        info = self._pcm.info()
        if info["period_size"] > PIECE:  # as many of those would be a long buffer
            self.close()
            self._pcm = self._opened(max(2, _PERIODS * PIECE // int(info["period_size"])))
            info = self._pcm.info()
        self.buffered = int(info["buffer_size"])
        self._channels = int(info["channels"])
        if complaint := _complaint(info):
            self.close()
            raise fault("{name} " + complaint + ": {choose}.", device, output=True)
        self._descriptors = dict(self._pcm.polldescriptors())
        self._poll = select.poll()
        for descriptor, events in self._descriptors.items():
            self._poll.register(descriptor, events)

    def write(self, samples: Samples) -> None:
        """Hand over the samples, shape (n,), [-1, 1], waiting for room where there is none.

        Raises
        ------
        SoundFault : when the output has gone away, or takes nothing.
        """
        data = np.repeat(np.rint(samples * 2.0**15).astype("<i2"), self._channels).tobytes()
        began = self._clock.monotonic()
        while data:
            taken = self._taken(data)
            if taken > 0:
                data = data[taken * 2 * self._channels :]
                began = self._clock.monotonic()
            elif self._clock.monotonic() - began > STALLED_SECONDS:
                raise fault(STALLED, self._device, output=True)
            else:
                self._wait()

    def close(self) -> None:
        """Let the output go; what is still on its way is cut off."""
        pcm, self._pcm = self._pcm, None
        if pcm is not None:
            with suppress(self._alsa.ALSAAudioError):
                pcm.drop()  # else closing waits until all has been played, and a stalled output never plays it
            pcm.close()

    def _opened(self, periods: int) -> Any:
        try:
            return self._alsa.PCM(
                self._alsa.PCM_PLAYBACK,
                self._alsa.PCM_NONBLOCK,
                device=self._device,
                rate=RATE,
                channels=1,
                format=self._alsa.PCM_FORMAT_S16_LE,
                periodsize=PIECE,
                periods=periods,
            )
        except self._alsa.ALSAAudioError as error:
            raise translated(error, self._device, AT_OPEN_OUTPUT, output=True) from error

    def _taken(self, data: bytes) -> int:
        """Frames that were taken; 0 when there is no room, or it has run dry."""
        try:
            taken = int(self._pcm.write(data))
        except self._alsa.ALSAAudioError as error:
            raise self._gone(error) from error
        if taken == -errno.EPIPE:
            self.underruns += 1
        return max(0, taken)

    def _wait(self) -> None:
        began = self._clock.monotonic()
        ready = dict(self._poll.poll(_WAIT_MS))
        try:
            self._pcm.polldescriptors_revents([(each, ready.get(each, 0)) for each in self._descriptors])
        except self._alsa.ALSAAudioError as error:
            raise self._gone(error) from error
        if (
            self._clock.monotonic() - began < PIECE / RATE / 8
        ):  # some are always ready, and have no room: do not run hot
            self._clock.sleep(PIECE / RATE / 8)

    def _gone(self, error: Exception) -> SoundFault:
        return translated(error, self._device, AT_WRITE, output=True)


def _complaint(info: dict[str, Any]) -> str:
    """What is wrong with the form that the output took, to follow its name; empty when all is well."""
    if info["rate"] != RATE:
        return f"takes {info['rate']} samples a second, {RATE} are wanted"
    if info["format_name"] != "S16_LE":
        return f"takes samples of the form {info['format_name']}, S16_LE is wanted"
    if info["channels"] not in (1, 2):
        return f"takes {info['channels']} channels, 1 or 2 are wanted"
    return ""
