"""How a note began: waits until its first level has held, and then reads the attack from the past.

Conventions
-----------
A note has an attack when it has stood for 43 ms, on a partial of the tube for half of the time since it was noticed,
and has something above 4 kHz: bumps, voices and the neighbour's horn fail in one or the other most often.
"""

from __future__ import annotations

import math

import numpy as np

from airladder.hearing.events import Attack
from airladder.hearing.kinds import Traits, kind_of
from airladder.hearing.levels import SILENCE_DBFS, STRETCH_SECONDS, Levels, dbfs, steps_of
from airladder.hearing.pitch import Pitch
from airladder.hearing.rise import START_DB, Rise, rise_of

_STANDS_HOPS = 8  # 43 ms clear and on one partial: what does less had no attack
_REACHED, _REACHED_STEPS = 1.25, 24  # a level that rose by less than 1 dB in 32 ms has been reached
_DULL = 10.0 ** (-40.0 / 10.0)  # of the power lies above 4 kHz in a bump, a hum, a sung vowel; in reeds more
_DIES_DB = 6.0  # and what has fallen by so much since is no level that held
_GIVEN_UP_SECONDS = 0.8  # who has not found a partial by then slides into one
_LATEST_SECONDS = 0.6  # a note that still grows after this is read as it is
_BEFORE_DIP_STEPS = 7.5  # 10 ms: the new note is soft still when what was before it has gone (median, tuning half)
_BREATH_STEPS, _BREATH_GAP_STEPS = 75, 4  # breath is looked for in 0.1 s, and ends this long before the start
_HELD_STEPS = 12  # 16 ms: a period of the lowest fundamental


class AttackWatch:
    """Waits for the attack of one note after another.

    Parameters
    ----------
    period : of the fingered fundamental, s
    on_partials : whether a note has to be on a partial: one that is on none is the neighbour's, or a voice
    """

    def __init__(self, period: float, *, on_partials: bool = True) -> None:
        self._on_partials = on_partials
        self._partial: int | None = None
        self._loudest = SILENCE_DBFS
        self._stood = self._hops = self._placed = 0
        self._steps = steps_of(period)
        self._noticed: float | None = None
        self._dip: float | None = None

    def expect(self, noticed: float, *, dip: float | None = None) -> None:
        """A note was noticed at `noticed` seconds; it grew from a dip `dip` seconds ago when there was one."""
        self._noticed = noticed
        self._stood = self._hops = self._placed = 0
        self._loudest = SILENCE_DBFS
        self._dip = None if dip is None else noticed - dip

    def feed(self, levels: Levels, now: float, pitch: Pitch) -> Attack | None:
        """The attack, as soon as it can be told; `pitch` is what sounds."""
        if self._noticed is None:
            return None
        self._watch(levels.level_dbfs, pitch)
        if now - self._noticed > _GIVEN_UP_SECONDS:
            self._noticed = None
        if self._noticed is None or not self._stands():
            return None
        if now - self._noticed < _LATEST_SECONDS and self._grows(levels):
            return None
        return self._read(levels, now)

    def _watch(self, level_dbfs: float, pitch: Pitch) -> None:
        self._hops += 1
        self._loudest = max(self._loudest, level_dbfs)
        stands = pitch.clear and pitch.partial == self._partial and level_dbfs > self._loudest - _DIES_DB
        self._stood = self._stood + 1 if stands else 0
        self._placed += pitch.partial is not None
        self._partial = pitch.partial
        if pitch.clear:
            self._steps = steps_of(1.0 / pitch.hz)

    def _stands(self) -> bool:
        return self._stood >= _STANDS_HOPS and (2 * self._placed >= self._hops or not self._on_partials)

    def due(self, levels: Levels, now: float) -> Attack | None:
        """The attack as far as it can be told now, if one is awaited of a note that has stood."""
        if self._noticed is None or not self._stands():
            self._noticed = None
            return None
        return self._read(levels, now)

    def _grows(self, levels: Levels) -> bool:
        """Whether the level still grows."""
        newest = levels.power[-self._steps :]
        before = levels.power[-self._steps - _REACHED_STEPS : -_REACHED_STEPS]
        return bool(newest.sum() > _REACHED * before.sum())

    def _read(self, levels: Levels, now: float) -> Attack | None:
        self._noticed = None
        if levels.breath_power[-_REACHED_STEPS:].sum() < _DULL * levels.power[-_REACHED_STEPS:].sum():
            return None
        dip = None if self._dip is None else (now - self._dip) / STRETCH_SECONDS
        since = len(levels.power) if dip is None else round(dip) + self._steps // 2
        rise = rise_of(levels.power[-since:], self._steps)
        start = rise.start if dip is None or rise.floor_db < -START_DB else dip + _BEFORE_DIP_STEPS
        kind, confidence = kind_of(traits_of(levels, rise, afresh=dip is None))
        return Attack(
            t=max(0.0, now - start * STRETCH_SECONDS),
            known_at=now,
            kind=kind,
            rise_ms=rise.rise_ms,
            confidence=confidence,
        )


def traits_of(levels: Levels, rise: Rise, *, afresh: bool) -> Traits:
    """What tells the kind; `afresh` where the note began out of silence."""
    end = len(levels.power) - round(rise.start) - _BREATH_GAP_STEPS
    before = levels.breath_power[max(0, end - _BREATH_STEPS) : max(1, end)]
    held_dbfs = dbfs(math.sqrt(float(levels.power[-_HELD_STEPS:].mean())))
    return Traits(
        rise_ms=rise.rise_ms,
        breath_db=dbfs(math.sqrt(float(np.median(before)))) - held_dbfs if afresh else None,
        room_breath_db=dbfs(levels.breath_floor) - held_dbfs,
        before_db=levels.floor_dbfs - held_dbfs if afresh else rise.floor_db,
    )
