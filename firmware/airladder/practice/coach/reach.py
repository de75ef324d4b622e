"""How far the player has come on each fingering: the highest partial to ask for.

It is one above the highest that is known. Stubborn rungs below a known one are forgiven, single ones; rungs of
which little is known, or nothing, do not end the run. A fingering that is new starts a little lower than its
neighbours have come.
"""

from __future__ import annotations

from airladder.music.series import HIGHEST_PARTIAL, MOST_ASKED
from airladder.practice.coach.counts import Counts, counted
from airladder.practice.coach.history import History, Rung
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.standing import Track
from airladder.practice.coach.wording import PRACTISED
from airladder.practice.setting import FIRST_REACH

_PLACES = {name: fingering.written.number for name, fingering in PRACTISED.items()}
_FUNDAMENTAL = 1


class Ladders:
    """All rungs on all fingerings, followed from day to day."""

    def __init__(self, rules: Rules) -> None:
        self._rules = rules
        self._tracks: dict[Rung, Track] = {}
        self._highest: dict[str, int] = {}

    def add(self, tried: dict[Rung, Counts]) -> None:
        """One more day."""
        for rung, counts in tried.items():
            track = self._tracks.setdefault(rung, Track(self._rules))
            before = track.known, track.failing
            track.add(counts)
            if before != (track.known, track.failing):
                self._highest[rung[0]] = self._highest_known(rung[0])

    def known(self, rung: Rung) -> bool:
        """Whether a rung is known."""
        return rung in self._tracks and self._tracks[rung].known

    def highest(self, fingering: str) -> int:
        """The highest known partial of the run from below; 1, the fundamental, when there is none."""
        return self._highest.get(fingering, _FUNDAMENTAL)

    def reach(self, fingering: str) -> int:
        """The highest partial to ask for on a fingering."""
        own = self.highest(fingering) + 1
        return min(MOST_ASKED, max(FIRST_REACH, own, self._presumed(fingering)))

    def _highest_known(self, fingering: str) -> int:
        top, failing = _FUNDAMENTAL, 0
        for partial in range(_FUNDAMENTAL + 1, HIGHEST_PARTIAL + 1):
            track = self._tracks.get((fingering, partial))
            if track is None:
                continue
            if track.known:
                top, failing = partial, 0
            failing += track.failing
            if failing > self._rules.gap:
                break
        return top

    def _presumed(self, fingering: str) -> int:
        """What the neighbours let hope for, up to the lowest rung that surely fails here."""
        place = _PLACES.get(fingering)
        if place is None:
            return 0
        step = self._rules.neighbour_step
        hoped = max(
            (top - step * abs(_PLACES[other] - place) for other, top in self._highest.items() if other in _PLACES),
            default=0,
        )
        for partial in range(self.highest(fingering) + 1, hoped):
            track = self._tracks.get((fingering, partial))
            if track is not None and track.failing:
                return partial
        return hoped


def reach(history: History, rules: Rules | None = None) -> dict[str, int]:
    """The highest partial to ask for on every fingering of the practice, the longest tube first.

    At least `FIRST_REACH`; a tube's own top may lie lower (`Setting.reach_on` heeds it).
    """
    ladders = Ladders(rules or Rules())
    for day in history:
        ladders.add(counted(day))
    return {fingering: ladders.reach(fingering) for fingering in PRACTISED}
