"""The readings of one note, kept as columns: what sounded one after the other, and how long each lasted.

Conventions
-----------
A note may last two minutes, and its end must not take long: everything is put in its place when it comes, and
medians are numpy's.
"""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import HOP_SECONDS
from airladder.hearing.events import Reading

STOOD_SECONDS = 0.12
STOOD_SHARE = 0.15

_SHORTEST_SECONDS = 0.030  # shorter stretches are the tracker changing its mind
_SHORTEST_BETWEEN_SECONDS = 0.060  # "on no partial" for less than this is only the way from one to the next
_MIDDLE = 0.8  # share of the steady readings whose range is the spread

Floats = npt.NDArray[np.float64]


def _column() -> array[float]:
    return array("d")


@dataclass
class Stretch:
    """Readings in a row on the same partial, or on none: columns of one value a reading.

    Attributes
    ----------
    partial : the partial, or None
    t : times, s
    hz : frequencies, Hz
    cents : from the target; nan where there was none
    level : dBFS
    """

    partial: int | None
    t: array[float] = field(default_factory=_column)
    hz: array[float] = field(default_factory=_column)
    cents: array[float] = field(default_factory=_column)
    level: array[float] = field(default_factory=_column)

    @property
    def seconds(self) -> float:
        """How long it lasted, s."""
        return len(self.t) * HOP_SECONDS

    @property
    def columns(self) -> tuple[array[float], ...]:
        """All of them."""
        return self.t, self.hz, self.cents, self.level

    def add(self, reading: Reading) -> None:
        """Take the next reading."""
        self.t.append(reading.t)
        self.hz.append(reading.hz)
        self.cents.append(np.nan if reading.cents is None else reading.cents)
        self.level.append(reading.level_dbfs)

    def until(self, end: float) -> Stretch:
        """The part of it that was told by `end`, s."""
        count = int(np.searchsorted(np.frombuffer(self.t), end, side="right"))
        return Stretch(self.partial, *(column[:count] for column in self.columns))

    def followed_by(self, later: Stretch) -> Stretch:
        """Both as one, on the partial of this."""
        both = zip(self.columns, later.columns, strict=True)
        return Stretch(self.partial, *(first + second for first, second in both))


def path_of(raw: list[Stretch]) -> list[Stretch]:
    """What sounded one after the other, without what was too short to be anything."""
    joined: list[Stretch] = []
    for stretch in filter(_counts, raw):
        if joined and joined[-1].partial == stretch.partial:
            joined[-1] = joined[-1].followed_by(stretch)
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


def spread(values: Floats) -> float:
    """Half the range that holds the middle 80 per cent of the values, shape (n,), n at least 1."""
    cut = round((1.0 - _MIDDLE) / 2.0 * (len(values) - 1))
    ordered = np.partition(values, (cut, len(values) - 1 - cut))
    return float(ordered[-1 - cut] - ordered[cut]) / 2.0
