"""Every number of the coach's judgement, each with its bounds, a sentence of why, and how strong the evidence is.

Conventions
-----------
A day is a day of practice, whatever the calendar says. Shares are 0 to 1.

Sources, as far as they bear on the numbers (volumes and pages in part from memory): right complete tries went with
retention in 17 pianists, time did not (R. Duke, A. Simmons, C. Cash, J. Res. Music Educ. 56 (2009) 310-321); 15.87 %
errors are best for simple gradient learners (R. Wilson et al., Nat. Commun. 10 (2019) 4646); massed practice serves
learning worse than spaced (N. Cepeda et al., Psychol. Bull. 132 (2006) 354-380); a drop follows each step to what is
new (Y. Donner, J. Hardy, Psychon. Bull. Rev. 22 (2015) 1308-1319).
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from enum import Enum
from functools import cached_property
from statistics import NormalDist
from typing import Any, NamedTuple

from airladder.faults import BadInput


class Evidence(Enum):
    """How much is known about a number; the value is what is printed."""

    FAIR = "fair"
    """Studies agree, some of them on musicians, none of them on overtones."""
    WEAK = "weak"
    """A few studies, or studies of something else."""
    COMMON = "common practice"
    """What teachers hold."""
    MEASURED = "invented players"
    """Chosen where invented players came out best."""
    OURS = "ours"
    """A choice that had to be made."""


class Reason(NamedTuple):
    """One number, and what stands behind it."""

    name: str
    value: float
    low: float
    high: float
    evidence: Evidence
    why: str


def rule(default: Any, low: float, high: float, evidence: Evidence, why: str) -> Any:
    """A field for a number of a coach's judgement: its default, its bounds, and what stands behind it."""
    return field(default=default, metadata={"low": low, "high": high, "evidence": evidence, "why": why})


def reasons(rules: Any) -> list[Reason]:
    """All the numbers of `rules` in order, with what stands behind each: for printing."""
    return [Reason(item.name, getattr(rules, item.name), **item.metadata) for item in fields(rules)]


def check(rules: Any) -> None:
    """Whether every number lies within its bounds.

    Raises
    ------
    BadInput : with one sentence for each that does not.
    """
    faults = []
    for item in fields(rules):
        value, low, high = getattr(rules, item.name), item.metadata["low"], item.metadata["high"]
        whole = isinstance(item.default, int)
        if isinstance(value, bool) or not isinstance(value, int if whole else (int, float)):
            faults.append(f"{item.name} is {value!r}; wanted a {'whole ' if whole else ''}number.")
        elif not low <= value <= high:
            faults.append(f"{item.name} is {value:g}; wanted {low:g} to {high:g}.")
    if faults:
        raise BadInput(" ".join(faults))


@dataclass(frozen=True)
class Rules:
    """The numbers; the sentence beside each says what it does and why.

    Raises
    ------
    BadInput : when a number is out of bounds, or contradicts another.
    """

    surety: float = rule(
        0.95, 0.8, 0.999, Evidence.OURS, "How sure every interval is: the usual choice; 17 of 20 is 64 to 95 %."
    )
    known_share: float = rule(
        0.6,
        0.3,
        0.95,
        Evidence.WEAK,
        "A rung is known when its share is surely above this: 17 of 20 is, 16 of 20 is not, near the 85 % at which "
        "simple learners gain most; it is learnt again only when surely below.",
    )
    known_days: int = rule(
        3, 2, 14, Evidence.FAIR, "On so many separate days at least: one session shows what it gave, not what stays."
    )
    known_tries: int = rule(10, 3, 100, Evidence.OURS, "In so many tries at least: a lucky handful proves nothing.")
    newest_tries: int = rule(
        20, 5, 200, Evidence.OURS, "So many of the newest tries are looked at, in whole days: older ones are history."
    )
    cold_weight: float = rule(
        2.0,
        1.0,
        5.0,
        Evidence.FAIR,
        "A cold try weighs so many others: what was kept from other days is the result that counts; days apart "
        "serve learning better than hours together.",
    )
    gap: int = rule(
        1,
        0,
        4,
        Evidence.OURS,
        "So many rungs in a row may fail below a known one without ending the run: some are stubborn.",
    )
    neighbour_step: int = rule(
        1,
        1,
        12,
        Evidence.COMMON,
        "A new fingering starts so many rungs lower for each semitone from one that is known.",
    )
    plateau_days: int = rule(
        30,
        7,
        120,
        Evidence.MEASURED,
        "A plateau lasts so many days at least: in fewer, slow headway looks like none.",
    )
    plateau_tries: int = rule(
        100, 20, 1000, Evidence.MEASURED, "And so many tries: with one or two a day it takes longer to see headway."
    )
    newest_days: int = rule(
        10, 3, 60, Evidence.MEASURED, "So many of its newest days must be surely below what counts as known."
    )
    headway_z: float = rule(
        0.0, -1.0, 2.0, Evidence.MEASURED, "A trend steeper than this, in standard deviations, counts as headway."
    )
    agree_days: int = rule(
        3, 1, 14, Evidence.MEASURED, "So many days running must say the same: a look every day finds chance dips."
    )
    detour_days: int = rule(
        5, 1, 30, Evidence.COMMON, "So many days on the shorter fingerings: a few notes there can loosen a rung."
    )
    detour_patience: int = rule(
        10, 1, 60, Evidence.OURS, "After so many days the detour is over, taken or not: nobody is held on it."
    )
    back_days: int = rule(
        7, 3, 30, Evidence.MEASURED, "So many days back at the rung before it is said whether the detour helped."
    )
    back_patience: int = rule(
        21, 3, 90, Evidence.OURS, "After so many days it is said all the same: the player may have gone elsewhere."
    )
    worth_gain: float = rule(
        0.2, 0.05, 0.5, Evidence.OURS, "A detour did not help when the gain is surely smaller than this share."
    )
    rest_days: int = rule(
        28, 0, 365, Evidence.OURS, "So many days after a detour before a plateau is called again, anywhere."
    )
    rest_growth: float = rule(
        2.0, 1.0, 4.0, Evidence.OURS, "So many times longer after each detour that did not help or was not taken."
    )
    rest_most: int = rule(112, 0, 730, Evidence.OURS, "But no longer than this.")

    def __post_init__(self) -> None:
        check(self)
        for less, more in (
            ("known_tries", "newest_tries"),
            ("newest_days", "plateau_days"),
            ("detour_days", "detour_patience"),
            ("back_days", "back_patience"),
            ("rest_days", "rest_most"),
        ):
            low, high = getattr(self, less), getattr(self, more)
            if low > high:
                raise BadInput(f"{less} is {low} and {more} is {high}; wanted {less} to be no more than {more}.")

    @cached_property
    def z(self) -> float:
        """The half-width of the intervals, in standard deviations."""
        return NormalDist().inv_cdf(0.5 + self.surety / 2.0)
