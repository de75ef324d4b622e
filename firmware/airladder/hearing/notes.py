"""Gathers the readings of one note and says at its end what the whole tone was.

Conventions
-----------
A partial has stood when it lasted 120 ms and at least 15 per cent of the note: what is shorter was on the way
there, or is the end of the breath.
"""

from __future__ import annotations

import statistics
from dataclasses import dataclass, field
from itertools import groupby

from airladder.hearing.block import HOP_SECONDS
from airladder.hearing.events import Attack, Reading, Tone

STOOD_SECONDS = 0.12
STOOD_SHARE = 0.15

_SHORTEST_SECONDS = 0.030  # shorter stretches are the tracker changing its mind
_SHORTEST_BETWEEN_SECONDS = 0.060  # "on no partial" for less than this is only the way from one to the next
_EDGE_SECONDS = 0.05  # at either end the tracker's window also holds something else
_SPLIT_SHARE = 0.2  # of a note must be split before its splits say more than its pitch
_MIDDLE = 0.8  # share of the steady readings whose range is the spread


@dataclass
class Stretch:
    """Readings in a row on the same partial."""

    partial: int | None
    readings: list[Reading]

    @property
    def seconds(self) -> float:
        """How long it lasted, s."""
        return len(self.readings) * HOP_SECONDS


@dataclass
class NoteUnderWay:
    """One note while it sounds.

    Attributes
    ----------
    began : when it was noticed, s
    attack : how it began, once that is known; for ever None when its beginning was lost
    """

    began: float
    attack: Attack | None = None
    _readings: list[Reading] = field(default_factory=list)

    def add(self, reading: Reading) -> None:
        """Take the next reading."""
        self._readings.append(reading)

    def ended(self, end: float) -> Tone:
        """The whole tone, which ended at `end` seconds."""
        readings = [reading for reading in self._readings if reading.t <= end] or self._readings[:1]
        stretches = path_of(readings)
        final = None if only_the_spacing_of_a_split(readings) else final_of(stretches)
        steady = _middle_of(final.readings) if final else []
        heard = [reading.cents for reading in steady if reading.cents is not None]
        start = self.attack.t if self.attack else self.began
        return Tone(
            start=min(start, end),
            end=end,
            partial=final.partial if final else None,
            hz=statistics.median(reading.hz for reading in steady) if steady else None,
            cents=statistics.median(heard) if heard else None,
            spread_cents=spread(heard) if heard else None,
            attack=self.attack,
            speak_ms=_speak_ms(self.attack, final),
            path=tuple((stretch.partial, stretch.seconds) for stretch in _up_to(stretches, final)),
            split=sum(1 for reading in readings if reading.split) / max(1, len(readings)),
            level_dbfs=statistics.median(reading.level_dbfs for reading in readings) if readings else -120.0,
        )


def path_of(readings: list[Reading]) -> list[Stretch]:
    """What sounded one after the other, without what was too short to be anything."""
    raw = [Stretch(partial, list(group)) for partial, group in groupby(readings, key=lambda r: r.partial)]
    joined: list[Stretch] = []
    for stretch in (stretch for stretch in raw if _counts(stretch)):
        if joined and joined[-1].partial == stretch.partial:
            joined[-1].readings.extend(stretch.readings)
        else:
            joined.append(stretch)
    return joined


def _counts(stretch: Stretch) -> bool:
    shortest = _SHORTEST_BETWEEN_SECONDS if stretch.partial is None else _SHORTEST_SECONDS
    return stretch.seconds >= shortest


def final_of(stretches: list[Stretch]) -> Stretch | None:
    """The last stretch in which a partial stood; None when none did."""
    total = sum(stretch.seconds for stretch in stretches)
    long_enough = max(STOOD_SECONDS, STOOD_SHARE * total)
    stood = [s for s in stretches if s.partial is not None and s.seconds >= long_enough]
    return stood[-1] if stood else None


def only_the_spacing_of_a_split(readings: list[Reading]) -> bool:
    """Whether the pitch that was followed is no partial at all, but the spacing of the lines of a split note.

    Pitch trackers call that spacing the fundamental; the split names the partials that really sound.
    """
    split = [reading for reading in readings if reading.split]
    if len(split) < _SPLIT_SHARE * len(readings):
        return False
    return sum(reading.partial not in reading.split for reading in split) > len(split) / 2


def spread(values: list[float]) -> float:
    """Half the range that holds the middle 80 per cent of the values."""
    ordered = sorted(values)
    cut = round((1.0 - _MIDDLE) / 2.0 * (len(ordered) - 1))
    return (ordered[-1 - cut] - ordered[cut]) / 2.0


def _middle_of(readings: list[Reading]) -> list[Reading]:
    edge = round(_EDGE_SECONDS / HOP_SECONDS)
    return readings[edge:-edge] if len(readings) >= 4 * edge else readings


def _up_to(stretches: list[Stretch], final: Stretch | None) -> list[Stretch]:
    if final is None:
        return stretches
    return stretches[: next(i for i, stretch in enumerate(stretches) if stretch is final) + 1]


def _speak_ms(attack: Attack | None, final: Stretch | None) -> float | None:
    if attack is None or final is None:
        return None
    return max(0.0, 1000.0 * (final.readings[0].t - attack.t))
