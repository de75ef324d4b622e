"""What there is to work with on a fingering: the rungs that speak, the one above them, and how likely each comes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from airladder.music.series import Series
from airladder.practice.coach.aims import Aims
from airladder.practice.coach.history import History, Rung
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.standing import Stage, Standing, standings
from airladder.practice.feedback import AT_ONCE, Feedback
from airladder.practice.setting import Setting

_UNSEEN_TRIES, _UNSEEN_RIGHT = 2.0, 1.0  # a rung starts as if one of two tries had been right (Laplace's rule)


@dataclass(frozen=True)
class Material:
    """One tube, and how the player stands on it.

    Attributes
    ----------
    series : the tube
    top : the highest rung to be asked for; it is the new one
    standings : of all rungs that were tried, on any fingering
    aims : what the plan aims at
    """

    series: Series
    top: int
    standings: dict[Rung, Standing]
    aims: Aims

    def standing(self, partial: int) -> Standing:
        """How a rung stands."""
        rung = str(self.series.fingering), partial
        return self.standings.get(rung, Standing(rung))

    @property
    def steady(self) -> tuple[int, ...]:
        """The rungs below the new one, the fundamental left out, rising."""
        return tuple(range(2, self.top))

    @property
    def known(self) -> tuple[int, ...]:
        """Those of them that are known; where none is, those that are being learnt."""
        known = tuple(n for n in self.steady if self.standing(n).stage is Stage.KNOWN)
        return known or self.steady or (1,)

    def share(self, partial: int) -> float:
        """How likely a try at a rung comes out right, 0 to 1."""
        found = self.standing(partial)
        return (found.right + _UNSEEN_RIGHT) / (found.tries + _UNSEEN_TRIES)

    def feedback(self, partial: int) -> Feedback:
        """How much is said after a try: the less, the surer the rung."""
        found = self.standing(partial)
        if found.stage is not Stage.KNOWN:
            return AT_ONCE
        if found.share.low > self.aims.sure_share:
            return Feedback(every=self.aims.every)
        return Feedback(band_cents=self.aims.band)


@dataclass(frozen=True)
class Player:
    """All that a plan is made from: what was kept, whose horn it is, what is aimed at, by what it is judged."""

    history: History
    setting: Setting
    aims: Aims
    rules: Rules

    @cached_property
    def standings(self) -> dict[Rung, Standing]:
        """How every rung stands that was tried."""
        return standings(self.history, self.rules)

    def on(self, series: Series) -> Material:
        """What there is to work with on a tube."""
        return Material(series, self.setting.reach_on(series), self.standings, self.aims)


def asked_last(history: History, fingering: str) -> dict[int, int]:
    """How many days ago each partial of a fingering was last asked for cold; those never asked are not in it."""
    found: dict[int, int] = {}
    for ago, day in enumerate(reversed(history), start=1):
        for tally in day.tallies:
            if tally.fingering == fingering and tally.cold:
                found.setdefault(tally.partial, ago)
    return found
