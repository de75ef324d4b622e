"""Whether a rung is new, being learnt or known: judged by an interval over several days, never by one day.

What makes a rung known and what loses it again are the same test, turned round: surely above the share that is asked
for, or surely below it, each on at least three separate days of the newest tries. In between all stays as it was.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from airladder.practice.coach.counts import Counts, Newest, counted, total
from airladder.practice.coach.history import History, Rung
from airladder.practice.coach.rules import Rules
from airladder.practice.coach.statistics import Interval, wilson
from airladder.practice.coach.wording import about, days, spoken_rung

_ANY = Interval(0.0, 1.0)


class Stage(Enum):
    """How far a rung has come; the value is its name in lists."""

    NEW = "new"
    LEARNING = "learning"
    KNOWN = "known"


@dataclass(frozen=True)
class Standing:
    """How a rung stands.

    Attributes
    ----------
    rung : which
    stage : new, learning or known
    tries, right : the newest ones, which were looked at
    days : on how many days those were
    share : where the true share lies, cold tries weighing more; 0 to 1 when there were no tries
    sentence : the same for a player
    """

    rung: Rung
    stage: Stage = Stage.NEW
    tries: int = 0
    right: int = 0
    days: int = 0
    share: Interval = _ANY
    sentence: str = ""


def weighed(counts: Counts, rules: Rules) -> Interval:
    """The interval of a share in which cold tries weigh more than others.

    Weights make fewer tries of many: Wilson's interval is taken at their effective number, the square of the sum of
    the weights over the sum of their squares (L. Kish, Survey Sampling (1965)).
    """
    extra = rules.cold_weight - 1.0
    weight = counts.tries + extra * counts.cold
    if weight <= 0.0:
        return _ANY
    share = (counts.right + extra * counts.cold_right) / weight
    tries = weight**2 / (counts.tries + (rules.cold_weight**2 - 1.0) * counts.cold)
    return wilson(share * tries, tries, rules.z)


class Track:
    """One rung, followed from day to day.

    Attributes
    ----------
    known : whether it is
    failing : whether it is surely below what is asked for, at the moment
    """

    def __init__(self, rules: Rules) -> None:
        self._rules = rules
        self._newest = Newest(rules.known_days, rules.newest_tries)
        self.known = False
        self.failing = False

    def add(self, counts: Counts) -> None:
        """One more day on which it was tried."""
        rules = self._rules
        self._newest.add(counts)
        newest = total(self._newest.days)
        share = weighed(newest, rules)
        good = sum(day.share >= rules.known_share for day in self._newest.days)
        bad = len(self._newest.days) - good
        enough = newest.tries >= rules.known_tries
        self.failing = enough and bad >= rules.known_days and share.high < rules.known_share
        passing = enough and good >= rules.known_days and share.low > rules.known_share
        self.known = passing or (self.known and not self.failing)

    def standing(self, rung: Rung) -> Standing:
        """How it stands after the days so far."""
        newest = total(self._newest.days)
        stage = Stage.KNOWN if self.known else Stage.LEARNING
        count = len(self._newest.days)
        on = days(count) if count == 1 else f"the last {days(count)}"
        told = f"{spoken_rung(rung)} spoke in {about(newest.right, newest.tries)} on {on}: {stage.value}."
        share = weighed(newest, self._rules)
        return Standing(rung, stage, newest.tries, newest.right, count, share, told[0].upper() + told[1:])


def standings(history: History, rules: Rules | None = None) -> dict[Rung, Standing]:
    """How every rung stands that was ever tried, after all the days of `history`."""
    rules = rules or Rules()
    tracks: dict[Rung, Track] = {}
    for day in history:
        for rung, counts in counted(day).items():
            tracks.setdefault(rung, Track(rules)).add(counts)
    return {rung: track.standing(rung) for rung, track in tracks.items()}


def standing(history: History, rung: Rung, rules: Rules | None = None) -> Standing:
    """How one rung stands after all the days of `history`."""
    track = Track(rules or Rules())
    tried = [found[rung] for found in map(counted, history) if rung in found]
    for counts in tried:
        track.add(counts)
    return track.standing(rung) if tried else untried(rung)


def untried(rung: Rung) -> Standing:
    """How a rung stands that was never tried."""
    told = f"{spoken_rung(rung)} was not tried yet: new."
    return Standing(rung, sentence=told[0].upper() + told[1:])
