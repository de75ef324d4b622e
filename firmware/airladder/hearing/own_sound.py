"""Keeps the box's own sound from the Ear: what the loudspeaker plays must never be taken for the player.

From the moment it begins to sound, nothing is heard. Then it is looked for in the microphone: at its own frequencies,
for a third of a second, which finds it far below the noise of the room; the level alone would not, as the Ear hears
lines 12 dB below the noise. Where it is not there (earphones), the Ear hears again although it sounds. Else the Ear
stays deaf until it has ended and the room has died away; meanwhile somebody who plays over it can be told by level.

A player who joins in at once on the very pitch is taken for the loudspeaker until the two can be told apart: what the
box sounds is steady, so where it is missing for a moment, it was not the box.

Conventions
-----------
Times in seconds on the clock of the sound (`Block.time`), frequencies in Hz, levels rms in dB re full scale. Powers
are mean squares.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import HOP, HOP_SECONDS, RATE, Block, Samples

LATE_SECONDS = 0.15
"""After the end: what is still on its way to the loudspeaker, and from the microphone to here."""

ECHO_SECONDS = 0.5
"""In which the echo of a room falls by 60 dB (common practice: 0.3 to 0.6 s where people live and practise)."""

SETTLED_SECONDS = 0.37
"""So long a sound may take until it stands: 0.2 s to open a card, a buffer, and the soft start."""

HARMONICS, TOP_HZ = 5, 8000.0
"""What the box sounds: so many harmonics, none above the frequency (`target.timbre`)."""

PLAYED_OVER_DB = 12.0
"""So far above the box and the room is a player."""

_WINDOW = 72  # hops, 0.38 s: lines 3.9 Hz wide (Hann), 38 dB below white noise
_ROOM_SECONDS = 2.0
_SETTLED_HOPS = round(SETTLED_SECONDS / HOP_SECONDS)
_ABOVE_ROOM_DB = 11.0  # chance lifts one of five lines in noise so far above its median once in some hundred times
_MISSING_DB = 3.0  # so far below that again, it is not there
_INAUDIBLE_DBFS = -78.0  # the Ear hears no line softer than this, in whatever noise
_SUSPECT_DBFS = -50.0  # a line as strong as this in the room before was somebody, behind whom ours would hide
_DIED_DBFS, _LIKELY_DBFS = -70.0, -40.0  # an echo this soft is none; a box this loud is taken for granted at first
_LEVEL_HOPS, _OVER_HOPS = 4, 12  # 21 ms, as the Ear's; 64 ms

Powers = npt.NDArray[np.float64]


def _power(dbfs: float) -> float:
    return float(10.0 ** (dbfs / 10.0))


@dataclass
class _Watch:
    """What is known of one sounding.

    Attributes
    ----------
    until : when it ends at the latest, s
    newest : time of the newest block, s
    lines : how its frequencies are measured
    limits : power of each line, above which it is there; shape (n,)
    room : power of the room without it
    own : power of the box in the microphone, as far as it is known; what is more than that was somebody else
    hops : how many blocks there were since it began
    window : the blocks in which it is looked for next
    levels : power of the newest blocks
    over, missing : how many blocks in a row were loud as a player, how many windows without it
    """

    until: float
    newest: float
    lines: _Lines
    limits: Powers
    room: float
    own: float = np.inf
    hops: int = 0
    window: list[Samples] = field(default_factory=list)
    levels: deque[float] = field(default_factory=lambda: deque(maxlen=_LEVEL_HOPS))
    over: int = 0
    missing: int = 0

    @property
    def hears_at(self) -> float:
        """When the room has died away, s: the louder the box was, the later."""
        own = self.own if self.own < np.inf else _power(_LIKELY_DBFS)
        to_die_db = max(0.0, 10.0 * np.log10(own + 1e-12) - _DIED_DBFS)
        return self.until + LATE_SECONDS + ECHO_SECONDS * float(to_die_db) / 60.0


class OwnSound:
    """Told when the box itself sounds; keeps that from the Ear.

    Attributes
    ----------
    leaks : whether the microphone hears the box, as of the newest sounding; None while that is not known
    played_over : whether somebody played over the newest sounding, clearly louder than it came into the microphone
    """

    def __init__(self) -> None:
        self.leaks: bool | None = None
        self.played_over = False
        self._room: deque[Samples] = deque(maxlen=round(_ROOM_SECONDS / HOP_SECONDS))
        self._watch: _Watch | None = None

    def begins(self, t: float, until: float, hz: float) -> None:
        """From `t` on the box sounds `hz`, at most to `until`, instead of what it sounded before."""
        lines = _Lines(hz)
        room = np.concatenate([np.zeros(0, np.float32), *self._room])
        power = float(np.median(np.square(room.reshape(-1, HOP)).mean(axis=1))) if len(room) else 0.0
        self._watch = _Watch(until, t, lines, lines.limits(room), power)
        self.leaks, self.played_over = None, False

    def ends(self, t: float) -> None:
        """It was hushed at `t`; harmless when nothing sounds."""
        if self._watch is not None:
            self._watch.until = min(self._watch.until, t)

    def feed(self, block: Block) -> Block | None:
        """The block for the Ear, or None while it must not hear.

        The first block after a deaf stretch comes with `lost`, so that nothing is judged across it.
        """
        if self._watch is None:
            self._room.append(block.samples)
            return block
        self._look(self._watch, block)
        if block.time < self._watch.hears_at and self.leaks is not False:
            return None
        self._watch = None
        return replace(block, lost=True)

    def _look(self, watch: _Watch, block: Block) -> None:
        watch.until += min(0.0, block.time - watch.newest)  # a source that was opened again may count from 0
        watch.newest = block.time
        watch.hops += 1
        if block.lost:
            watch.window.clear()
        if watch.hops > _SETTLED_HOPS and block.time < watch.until:
            watch.window.append(block.samples)
        if len(watch.window) == _WINDOW:
            self._judge(watch, np.concatenate(watch.window))
            del watch.window[: _WINDOW // 2]
        watch.levels.append(float(np.square(block.samples).mean()))
        level = sum(watch.levels) / _LEVEL_HOPS
        watch.over = watch.over + 1 if level >= max(watch.own, watch.room) * _power(PLAYED_OVER_DB) else 0
        self.played_over = self.played_over or watch.over >= _OVER_HOPS

    def _judge(self, watch: _Watch, window: Samples) -> None:
        """Whether the box is to be heard in the window, shape (18432,)."""
        (lines,) = watch.lines.powers(window[None])
        if self.leaks is None:
            self.leaks = bool((lines > watch.limits).any())
        watch.missing = watch.missing + 1 if bool((lines < watch.limits * _power(-_MISSING_DB)).all()) else 0
        if watch.missing == 2:
            self.leaks = False
        watch.own = min(watch.own, float(lines.sum()))


class _Lines:
    """Measures a sound at the harmonics of one frequency."""

    def __init__(self, hz: float) -> None:
        frequencies = hz * np.arange(1, HARMONICS + 1)
        frequencies = frequencies[frequencies <= TOP_HZ]
        window = np.hanning(_WINDOW * HOP)
        turns = np.outer(np.arange(_WINDOW * HOP), frequencies / RATE) % 1.0
        waves = np.exp(-2j * np.pi * turns) * (window[:, None] * (np.sqrt(2.0) / window.sum()))
        self._waves = np.concatenate([waves.real, waves.imag], axis=1).astype(np.float32)

    def powers(self, windows: Samples) -> Powers:
        """Of each harmonic in each window of 18432 samples, shape (windows, 18432) -> (windows, harmonics)."""
        real, imaginary = np.split((windows @ self._waves).astype(np.float64), 2, axis=1)
        powers: Powers = np.square(real) + np.square(imaginary)
        return powers

    def limits(self, room: Samples) -> Powers:
        """Above which power each harmonic is there, from the sound of the room without it, shape (n,)."""
        starts = range(0, len(room) - _WINDOW * HOP + 1, _WINDOW * HOP // 2)
        windows = np.array([room[start : start + _WINDOW * HOP] for start in starts], np.float32)
        usual = np.median(self.powers(windows.reshape(-1, _WINDOW * HOP)), axis=0) if starts else np.zeros(1)
        limits: Powers = np.clip(usual * _power(_ABOVE_ROOM_DB), _power(_INAUDIBLE_DBFS), _power(_SUSPECT_DBFS))
        return limits
