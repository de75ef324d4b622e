"""Gathers the readings of one note and says at its end what the whole tone was.

Conventions
-----------
A partial has stood when it lasted 120 ms and at least 15 per cent of the note: what is shorter was on the way
there, or is the end of the breath.
"""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field

import numpy as np

from airladder.hearing.block import HOP_SECONDS
from airladder.hearing.ease import Level, push_db
from airladder.hearing.events import Attack, Reading, Tone
from airladder.hearing.stretches import Floats, Stretch, final_of, path_of, spread

_EDGE_SECONDS = 0.05  # at either end the tracker's windows also hold something else
_SPLIT_SHARE = 0.2  # of a note must be split before its splits say more than its pitch
_SILENCE_DBFS = -120.0

_SPLIT, _ELSEWHERE, _CLIPPED = 1, 2, 4  # marks of a reading; elsewhere: its partial is none of the split


@dataclass
class NoteUnderWay:
    """One note while it sounds.

    Attributes
    ----------
    began : when it was noticed, s
    attack : how it began, once that is known; for ever None when its beginning was lost
    levels : one a hop, from half a second before it was noticed, or from the end of the note before
    """

    began: float
    attack: Attack | None = None
    levels: list[Level] = field(default_factory=list)
    _stretches: list[Stretch] = field(default_factory=list)
    _marks: array[int] = field(default_factory=lambda: array("B"))

    def add(self, reading: Reading) -> None:
        """Take the next reading."""
        if not self._stretches or self._stretches[-1].partial != reading.partial:
            self._stretches.append(Stretch(reading.partial))
        self._stretches[-1].add(reading)
        elsewhere = reading.split and reading.partial not in reading.split
        self._marks.append(_SPLIT * bool(reading.split) + _ELSEWHERE * bool(elsewhere) + _CLIPPED * reading.clipped)

    def ended(self, end: float) -> Tone:
        """The whole tone, which ended at `end` seconds."""
        raw = [part for part in (stretch.until(end) for stretch in self._stretches) if part.t]
        raw = raw or [Stretch(s.partial, *(column[:1] for column in s.columns)) for s in self._stretches[:1]]
        marks = np.array(self._marks[: sum(len(stretch.t) for stretch in raw)], np.uint8)
        path = path_of(raw)
        final = None if _only_the_spacing_of_a_split(marks) else final_of(path)
        return Tone(
            start=min(self.attack.t if self.attack else self.began, end),
            end=end,
            partial=final.partial if final else None,
            hz=_median(_middle(final.hz)) if final else None,
            cents=_median(_middle(final.cents)) if final else None,
            spread_cents=_spread(_middle(final.cents)) if final else None,
            attack=self.attack,
            speak_ms=self._speak_ms(final),
            path=tuple((stretch.partial, stretch.seconds) for stretch in _up_to(path, final)),
            split=_share(marks, _SPLIT),
            level_dbfs=_median(np.concatenate([s.level for s in raw])) or _SILENCE_DBFS if raw else _SILENCE_DBFS,
            push_db=self._push_db(final),
            unsteady_db=_spread(_middle(final.level)) if final else None,
            clipped=_share(marks, _CLIPPED),
        )

    def _speak_ms(self, final: Stretch | None) -> float | None:
        if self.attack is None or final is None:
            return None
        return max(0.0, 1000.0 * (final.t[0] - self.attack.t))

    def _push_db(self, final: Stretch | None) -> float | None:
        steady = _median(_middle(final.level)) if final else None
        if final is None or steady is None:
            return None
        return push_db(self.levels, self.attack.t if self.attack else None, final.t[0], steady)


def _only_the_spacing_of_a_split(marks: np.ndarray) -> bool:
    """Whether the pitch that was followed is no partial at all, but the spacing of the lines of a split note.

    Pitch trackers call that spacing the fundamental; the split names the partials that really sound.
    """
    if _share(marks, _SPLIT) < _SPLIT_SHARE:
        return False
    return _share(marks, _ELSEWHERE) > _share(marks, _SPLIT) / 2


def _share(marks: np.ndarray, mark: int) -> float:
    return float(np.count_nonzero(marks & mark)) / max(1, len(marks))


def _middle(column: array[float]) -> Floats:
    """The column without its edges, and without what is not known."""
    edge = round(_EDGE_SECONDS / HOP_SECONDS)
    values = np.array(column[edge:-edge] if len(column) >= 4 * edge else column)
    known: Floats = values[~np.isnan(values)]
    return known


def _median(values: Floats) -> float | None:
    return float(np.median(values)) if len(values) else None


def _spread(values: Floats) -> float | None:
    return spread(values) if len(values) else None


def _up_to(path: list[Stretch], final: Stretch | None) -> list[Stretch]:
    if final is None:
        return path
    return path[: next(i for i, stretch in enumerate(path) if stretch is final) + 1]
