"""What was kept of other days, rung by rung: all that the coach knows.

Conventions
-----------
A day is a day on which something was practised; a history holds those of one horn in the order in which they were
played. Dates are labels and may be wrong, jump or repeat (a box without a clock): the order alone is sure. A rung is
a fingering and a partial; only tries at single partials count here (`Task.PLAY`), for those ask one thing.
"""

from __future__ import annotations

from dataclasses import dataclass

from airladder.faults import BadInput

Rung = tuple[str, int]
"""The written name of a fingering, and a partial."""


@dataclass(frozen=True)
class Tally:
    """The tries at one rung on one day.

    Attributes
    ----------
    fingering, partial : the rung
    tries, right : how many there were, and how many of them were right and complete (`Attempt.right`)
    cold, cold_right : those of them that asked what was kept from other days, before any practising

    Raises
    ------
    BadInput : when the counts contradict each other, as those of a damaged log may.
    """

    fingering: str
    partial: int
    tries: int
    right: int
    cold: int = 0
    cold_right: int = 0

    def __post_init__(self) -> None:
        wrong, cold_wrong = self.tries - self.right, self.cold - self.cold_right
        if (
            self.partial < 1
            or self.right < 0
            or not 0 <= self.cold_right <= self.right
            or not 0 <= cold_wrong <= wrong
        ):
            raise BadInput(
                f"{self.right} of {self.tries} tries right, cold {self.cold_right} of {self.cold}, at partial "
                f"{self.partial} on {self.fingering}: wanted no more right than tried, and no more cold than all."
            )

    @property
    def rung(self) -> Rung:
        """What was tried."""
        return self.fingering, self.partial


@dataclass(frozen=True)
class Day:
    """One day of practice.

    Attributes
    ----------
    date : the label that the clock gave it, as the number of a day (`datetime.date.toordinal`)
    tallies : one a rung
    minutes : from the first try to the last, rests and all
    exercises : the kinds of exercise that were practised (`Kind` values)
    relaxed_dbfs : median level of the day's fundamentals that spoke; None without any
    pushed : how many tries were pushed (`ease`)
    """

    date: int
    tallies: tuple[Tally, ...]
    minutes: float = 0.0
    exercises: frozenset[str] = frozenset()
    relaxed_dbfs: float | None = None
    pushed: int = 0


History = tuple[Day, ...]
"""The days of one horn, the oldest first."""
