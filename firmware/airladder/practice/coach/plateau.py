"""Whether a rung makes no headway: by the trend of many days, and by where its newest days surely lie.

Both must say so on several days running: no upward trend over thirty days of practice (Mann-Kendall, on each day's
share), and a share that is surely below what counts as known on the newest days (Wilson). How often that is wrong of
invented players is measured in tests/learners/tuning.py.
"""

from __future__ import annotations

from itertools import islice

from airladder.practice.coach.counts import Counts, Newest, total
from airladder.practice.coach.history import Rung
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.statistics import mann_kendall, wilson
from airladder.practice.coach.wording import about, days, spoken_rung


class Spell:
    """One rung while it is worked at, followed from day to day."""

    def __init__(self, rules: Rules) -> None:
        self._rules = rules
        self._window = Newest(rules.plateau_days, rules.plateau_tries)
        self._agreed = 0

    def add(self, counts: Counts, *, look: bool) -> None:
        """One more day on which it was tried; `look` says whether a plateau may be called at all these days."""
        self._window.add(counts)
        self._agreed = self._agreed + 1 if look and self._stands_still() else 0

    @property
    def stuck(self) -> bool:
        """Whether there is no headway, by the looks of several days running."""
        return self._agreed >= self._rules.agree_days

    @property
    def counts(self) -> Counts:
        """All that was looked at."""
        return total(self._window.days)

    def sentence(self, rung: Rung) -> str:
        """Why it is called a plateau, for a player."""
        seen = self.counts
        told = (
            f"{spoken_rung(rung)} has spoken in {about(seen.right, seen.tries)} over {days(len(self._window.days))} "
            "of practice, with no upward trend; the shorter fingerings may loosen it."
        )
        return told[0].upper() + told[1:]

    def _stands_still(self) -> bool:
        rules, seen = self._rules, self._window.days
        if not self._window.full:
            return False
        newest = total(list(islice(reversed(seen), rules.newest_days)))
        if wilson(newest.right, newest.tries, rules.z).high >= rules.known_share:
            return False
        return mann_kendall([day.share for day in seen]).z <= rules.headway_z
