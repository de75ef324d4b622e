"""A microphone on ALSA, the sound system of Linux.

The device is opened non-blocking and waited for with `poll`: a blocking read of a device that delivers nothing
never returns, and a blocking open of a busy one may wait for its owner (ALSA documentation, snd_pcm_open).

Conventions
-----------
A source is written `alsa:NAME`; NAME is any PCM that ALSA knows. 48 kHz is a must; 16 bit is asked for and 32 bit
taken, one channel is asked for and two are mixed; every period size will do.

After an overrun pyalsaaudio 0.11 returns (-EPIPE, b"") and has already prepared the stream again (its manual,
`PCM.read`).
"""

from __future__ import annotations

import errno
import select
import threading
from collections import deque
from dataclasses import dataclass
from typing import Any

import numpy as np

from airladder.devices.alsalib import AT_OPEN, AT_READ, SILENT, capture_devices, fault, load, translated
from airladder.devices.clock import Clock
from airladder.devices.microphone import Microphone, Reblocker
from airladder.hearing.block import HOP, HOP_SECONDS, RATE, Block, Samples

__all__ = ["AlsaMicrophone", "Form", "capture_devices"]

SILENT_SECONDS = 2.0
"""A device that delivers nothing for so long is given up; the sentence SILENT says so."""

_PERIODS = 32  # 171 ms: a long buffer costs no delay when recording, and outlasts a busy moment
_WAIT_MS = 100  # so soon a waiting read notices `close` from another thread
_DEPTHS = {"S16_LE": ("<i2", 2.0**15), "S32_LE": ("<i4", 2.0**31)}


@dataclass(frozen=True)
class Form:
    """What an opened device says of itself.

    Attributes
    ----------
    rate : frames a second
    format : ALSA's name, such as S16_LE
    channels : samples in a frame
    period : frames that the device delivers at a time
    """

    rate: int
    format: str
    channels: int
    period: int

    def complaint(self) -> str:
        """What is wrong with it, to follow the device's name in a sentence; empty when all is well."""
        if self.rate != RATE:
            return f"gives {self.rate} samples a second, {RATE} are wanted"
        if self.format not in _DEPTHS:
            return f"gives samples of the form {self.format}, {' or '.join(_DEPTHS)} is wanted"
        if self.channels not in (1, 2):
            return f"gives {self.channels} channels, 1 or 2 are wanted"
        return ""

    def mono(self, data: bytes) -> Samples:
        """Frames as they came, as float32 in [-1, 1], shape (n,); two channels are averaged."""
        dtype, full = _DEPTHS[self.format]
        frames = np.frombuffer(data, dtype).reshape(-1, self.channels)
        samples: Samples = (frames.mean(axis=1) / full).astype(np.float32)
        return samples


class AlsaMicrophone(Microphone):
    """A sound card or whatever else ALSA records from.

    `close` may be called from another thread; a waiting `read` then returns None within 0.1 s.

    Parameters
    ----------
    device : ALSA's name, what follows `alsa:`
    clock : by it the length of a gap is estimated, and silence is told from a pause

    Attributes
    ----------
    form : what the device said when it was opened last; None before that
    """

    live = True

    def __init__(self, device: str = "default", clock: Clock | None = None) -> None:
        self.name = f"alsa:{device}"
        self.form: Form | None = None
        self._device = device
        self._clock = clock or Clock()
        self._lock = threading.Lock()  # alsa-lib must not close what it reads
        self._closing = threading.Event()
        self._alsa: Any = None
        self._pcm: Any = None

    def open(self) -> None:
        """Open and check; the sound begins with the first `read`."""
        self.close()
        with self._lock:
            self._alsa = load(self.name)
            self._pcm, self.form = self._opened()
            self._descriptors = dict(self._pcm.polldescriptors())
            self._poll = select.poll()
            for descriptor, events in self._descriptors.items():
                self._poll.register(descriptor, events)
            self._reblocker = Reblocker()
            self._ready: deque[Block] = deque()
            self._frames = 0  # delivered or known to be lost
            self._anchor = (0.0, 0)  # a moment of the clock, and the frames that belonged to it
            self._woken = False
            self._closing.clear()

    def read(self) -> Block | None:
        """The next block; None once closed."""
        with self._lock:
            heard = self._clock.monotonic()
            while self._pcm and not self._closing.is_set():
                if self._ready:
                    return self._ready.popleft()
                if self._fetch():
                    heard = self._clock.monotonic()
                elif self._clock.monotonic() - heard > SILENT_SECONDS:
                    raise fault(SILENT, self._device)
            return None

    def close(self) -> None:
        """End; a waiting read returns None."""
        self._closing.set()
        with self._lock:
            if self._pcm:
                self._pcm.close()
            self._pcm = None

    def _opened(self) -> tuple[Any, Form]:
        for depth in _DEPTHS:
            pcm = self._try(depth)
            info = pcm.info()
            form = Form(info["rate"], info["format_name"], info["channels"], info["period_size"])
            if form.format in _DEPTHS:  # ALSA gives what it has when it has not what was asked
                break
            pcm.close()
        if complaint := form.complaint():
            pcm.close()
            raise fault("{name} " + complaint + ": {choose}.", self._device)
        return pcm, form

    def _try(self, depth: str) -> Any:
        try:
            return self._alsa.PCM(
                self._alsa.PCM_CAPTURE,
                self._alsa.PCM_NONBLOCK,
                device=self._device,
                rate=RATE,
                channels=1,
                format=getattr(self._alsa, f"PCM_FORMAT_{depth}"),
                periodsize=HOP,
                periods=_PERIODS,
            )
        except self._alsa.ALSAAudioError as error:
            raise translated(error, self._device, AT_OPEN) from error

    def _fetch(self) -> bool:
        """Take one period if there is one, else wait for it a little; whether one came."""
        if not self._frames:
            self._anchor = (self._clock.monotonic(), 0)
        try:
            frames, data = self._pcm.read()
            if not frames:
                self._wait()
        except self._alsa.ALSAAudioError as error:
            raise translated(error, self._device, AT_READ) from error
        if frames == -errno.EPIPE:
            self._overrun()
        elif frames:
            self._take(frames, data)
        return bool(data)

    def _take(self, frames: int, data: bytes) -> None:
        assert self.form is not None
        self._frames += frames
        if self._woken:  # it was waited for, so its last frame has only just sounded
            self._anchor = (self._clock.monotonic(), self._frames)
            self._woken = False
        self._ready.extend(self._reblocker.blocks(self.form.mono(data)))

    def _wait(self) -> None:
        if self._woken:  # woken for nothing: some plug-ins are always ready; do not run hot
            self._closing.wait(HOP_SECONDS / 4)
        ready = dict(self._poll.poll(_WAIT_MS))
        self._woken = bool(ready)
        if ready:  # some plug-ins clear their wake-up here, and want to see all their descriptors
            self._pcm.polldescriptors_revents([(each, ready.get(each, 0)) for each in self._descriptors])

    def _overrun(self) -> None:
        """The stream starts again now: what the clock says beyond the frames that came is lost."""
        now = self._clock.monotonic()
        since, frames = self._anchor
        lost = max(0.0, now - since - (self._frames - frames) / RATE)
        self._reblocker.gap(lost)
        self._frames += round(lost * RATE)
