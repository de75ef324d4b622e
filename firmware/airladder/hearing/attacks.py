"""How a note began: where it starts in the envelope, how fast it rose, with the tongue or with the air alone.

Conventions
-----------
The rise is the time from 10 to 90 per cent of the first level that held; its logarithm is the log attack time of
the timbre literature (ISO/IEC 15938-4; G. Peeters et al., J. Acoust. Soc. Am. 130 (2011) 2902-2916).

The kind is a first guess. Rise time alone hardly tells a soft tongue from a quick breath; breath noise before the
tone tells more. What lies between is called unsure. The confidence is a plain rule, not yet a measured frequency.
"""

from __future__ import annotations

import math

import numpy as np

from airladder.hearing.block import Samples
from airladder.hearing.events import Attack, Kind
from airladder.hearing.levels import STRETCH_SECONDS, Levels, highest_of_last, steps_of

_LOW, _HIGH = 0.10, 0.90
_REACHED, _REACHED_SECONDS = 1.12, 0.032  # a level that rose by less than 1 dB in 32 ms has been reached
_LATEST_SECONDS = 0.6  # a note that still grows after this is read as it is
_FAST_MS, _SLOW_MS = 50.0, 90.0  # tongued notes rise below, air starts above; between: unsure
_BREATH_SECONDS = 0.12  # where breath is looked for: this long before the note
_BREATH_DB = 8.0  # breath this far above the room before the tone is a start with the air
_BREATH_SHARE = 0.5  # and for this share of that time


class AttackWatch:
    """Waits until the first level of a note has held, and then reads its attack from the past.

    Parameters
    ----------
    period : of the fingered fundamental, s: the envelope is the highest peak of one period
    """

    def __init__(self, period: float) -> None:
        self._steps = steps_of(period)
        self._noticed: float | None = None
        self._dip: float | None = None

    def expect(self, noticed: float, *, dip: float | None = None) -> None:
        """A note was noticed at `noticed` seconds; it grew from a dip `dip` seconds ago when there was one."""
        self._noticed = noticed
        self._dip = None if dip is None else noticed - dip

    def feed(self, levels: Levels, now: float) -> Attack | None:
        """The attack, as soon as it can be told."""
        if self._noticed is None:
            return None
        held = highest_of_last(levels.envelope(), self._steps)
        before = held[-1 - min(len(held) - 1, round(_REACHED_SECONDS / STRETCH_SECONDS))]
        if held[-1] > _REACHED * before and now - self._noticed < _LATEST_SECONDS:
            return None
        return self.due(levels, now)

    def due(self, levels: Levels, now: float) -> Attack | None:
        """The attack as far as it can be told now, if one is still awaited."""
        if self._noticed is None:
            return None
        self._noticed = None
        envelope, breath = levels.envelope(), levels.breath()
        if self._dip is not None:
            since = max(2, round((now - self._dip) / STRETCH_SECONDS))
            envelope, breath = envelope[-since:], breath[-since:]
        return attack_of(highest_of_last(envelope, self._steps), breath, now=now, floor=levels.breath_floor)


def attack_of(held: Samples, breath: Samples, *, now: float, floor: float) -> Attack:
    """Reads an attack from the past.

    Parameters
    ----------
    held, breath : envelope and breath amplitudes on one grid of 1.33 ms, newest last, shape (n,)
    now : time of the newest sample, s
    floor : amplitude of the room above 4 kHz

    Returns
    -------
    The attack, decided at `now`.
    """
    plateau = float(held[-1])
    ninety = _last_below(held, _HIGH * plateau)
    ten = _last_below(held[: ninety + 1], _LOW * plateau)
    rise = (ninety - ten) * STRETCH_SECONDS
    start = now - (len(held) - 1 - ten) * STRETCH_SECONDS
    kind, confidence = kind_of(1000.0 * rise, _breathed(breath[: ten + 1], floor))
    return Attack(t=max(0.0, start), known_at=now, kind=kind, rise_ms=1000.0 * rise, confidence=confidence)


def kind_of(rise_ms: float, breathed: bool) -> tuple[Kind, float]:
    """How a note that rose in `rise_ms` was started, and how sure that is, 0 to 1."""
    if breathed and rise_ms > _FAST_MS:
        return "air", 0.9
    if breathed:
        return "unsure", 0.5
    octaves = math.log2(max(rise_ms, 1.0) / math.sqrt(_FAST_MS * _SLOW_MS))
    confidence = 0.5 + 0.45 * math.tanh(abs(octaves))
    if rise_ms <= _FAST_MS:
        return "tongued", confidence
    return ("air", confidence) if rise_ms >= _SLOW_MS else ("unsure", 0.5)


def _last_below(values: Samples, limit: float) -> int:
    """Index of the newest value below `limit`; 0 when there is none."""
    below = np.flatnonzero(values < limit)
    return int(below[-1]) if len(below) else 0


def _breathed(before: Samples, floor: float) -> bool:
    steps = round(_BREATH_SECONDS / STRETCH_SECONDS)
    heard = before[-steps:]
    if len(heard) < steps:
        return False
    loud = heard > max(floor, 1e-6) * 10 ** (_BREATH_DB / 20)
    return bool(np.mean(loud) >= _BREATH_SHARE)
