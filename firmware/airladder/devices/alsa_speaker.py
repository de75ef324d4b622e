"""The speaker on ALSA: a thread of its own makes the sound while it sounds.

The card is opened for a sound and let go a second after it, so that other programs have it meanwhile and a card that
was plugged in again is found; within that second the next sound finds it open. Whoever asks for a sound has told the
hearing that it sounds now, and until when: so a sound that cannot begin in time is dropped, and one that begins late
still ends when it was to end.

Conventions
-----------
Times by the clock, s. The newest word counts: a sound takes the place of one that has not begun yet.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from airladder.devices.alsa_out import PIECE, AlsaOut
from airladder.devices.clock import Clock
from airladder.devices.speaker import Speaker
from airladder.faults import BadInput, SoundFault
from airladder.hearing.block import RATE, Samples
from airladder.target.timbre import Sounding

LATEST_SECONDS = 0.2
"""A sound that has not begun so long after it was asked for is dropped."""

HUSH_SECONDS = 0.03
"""How softly a sound ends that is hushed; with the buffer of the output (40 ms) it is silent within 0.1 s."""

_KEPT_FRAMES = RATE
_SILENCE: Samples = np.zeros(PIECE, np.float32)
_AGAIN_SECONDS = 0.02  # between two tries of a card that is busy


@dataclass(frozen=True)
class _Word:
    """What was asked: `hz` for a sound, None for silence; asked at `t`, to end at `until`."""

    t: float
    until: float = 0.0
    hz: float | None = None


class AlsaSpeaker(Speaker):
    """A sound card or whatever else ALSA plays to.

    Parameters
    ----------
    device : ALSA's name, what follows `alsa:`
    on_fault : called by the speaker's thread with the sentence of a new fault, and with "" when it sounds again
    clock : by it a sound begins in time or not at all
    """

    def __init__(
        self,
        device: str = "default",
        on_fault: Callable[[str], None] = lambda sentence: None,
        clock: Clock | None = None,
    ) -> None:
        self.name = f"alsa:{device}"
        self._device = device
        self._on_fault = on_fault
        self._clock = clock or Clock()
        self._changed = threading.Condition()
        self._word: _Word | None = None
        self._closing = False
        self._fault = ""
        self._thread: threading.Thread | None = None

    def open(self) -> None:
        """Look whether the output is there and will do; it is let go until something is to sound."""
        self.close()
        AlsaOut(self._device, self._clock).close()
        self._word, self._closing = None, False
        self._thread = threading.Thread(target=self._run, name="speaker", daemon=True)
        self._thread.start()

    def sound(self, hz: float, seconds: float) -> None:
        """Sound `hz` for `seconds` from now on."""
        now = self._clock.monotonic()
        self._say(_Word(now, now + seconds, hz))

    def hush(self) -> None:
        """Let what sounds end softly, now."""
        self._say(_Word(self._clock.monotonic()))

    def close(self, timeout: float = 3.0) -> None:
        """Let what sounds end softly, and end the thread.

        Raises
        ------
        RuntimeError : when the thread does not end in time.
        """
        with self._changed:
            self._closing = True
            self._changed.notify()
        thread, self._thread = self._thread, None
        if thread is not None:
            thread.join(timeout)
            if thread.is_alive():
                raise RuntimeError(f"The thread of the speaker {self.name} does not end.")

    def _say(self, word: _Word) -> None:
        with self._changed:
            self._word = word
            self._changed.notify()

    def _taken(self) -> _Word | None:
        """The newest word since the last time."""
        with self._changed:
            word, self._word = self._word, None
        return word

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._word is not None or self._closing)
            if self._closing:
                return
            word = self._taken()
            if word is not None and word.hz is not None:
                self._serve(word)

    def _serve(self, word: _Word) -> None:
        """From a word until the card is let go again."""
        try:
            output = self._opened_for(word)
            try:
                self._play(output, word)
            finally:
                output.close()
        except SoundFault as fault:
            self._tell(str(fault))

    def _opened_for(self, word: _Word) -> AlsaOut:
        while True:
            try:
                return AlsaOut(self._device, self._clock)
            except SoundFault:
                if self._closing or self._clock.monotonic() + _AGAIN_SECONDS > word.t + LATEST_SECONDS:
                    raise
            self._clock.sleep(_AGAIN_SECONDS)

    def _play(self, output: AlsaOut, word: _Word | None) -> None:
        """Sound after sound, until nothing has sounded for a second."""
        sounding: Sounding | None = None
        silent = 0
        while silent < (output.buffered if self._closing else _KEPT_FRAMES):
            newest = self._taken()
            word = newest or word
            if sounding is not None and (newest is not None or self._closing):
                sounding.release(HUSH_SECONDS)
            if sounding is None and word is not None and not self._closing:
                sounding, word = self._begun(word), None
            silent = silent + PIECE if sounding is None else 0
            output.write(_SILENCE if sounding is None else sounding.next(PIECE))
            if sounding is not None:
                self._tell("")
                sounding = None if sounding.over else sounding

    def _begun(self, word: _Word) -> Sounding | None:
        """The sound, so long that it ends when it was to end; None for silence, and when it is too late."""
        now = self._clock.monotonic()
        if word.hz is None or now > word.t + LATEST_SECONDS:
            return None
        try:
            return Sounding(word.hz, word.until - now)
        except BadInput as fault:
            self._tell(str(fault))
            return None

    def _tell(self, fault: str) -> None:
        if fault != self._fault:
            self._fault = fault
            self._on_fault(fault)
