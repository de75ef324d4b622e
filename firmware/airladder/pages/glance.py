"""What the log and the coach say, as far as the panel shows it: made outside, by whoever may read the log."""

from __future__ import annotations

from dataclasses import dataclass, field

from airladder.pages.date import Date
from airladder.practice.coach.history import History
from airladder.practice.coach.plan import Plan
from airladder.practice.ease import Limits
from airladder.practice.routine import Routine


@dataclass(frozen=True)
class Offered:
    """A routine to choose.

    Attributes
    ----------
    called : its name
    about : one sentence; or why it cannot be chosen
    routine : None when its file has faults
    """

    called: str
    about: str
    routine: Routine | None


@dataclass(frozen=True)
class Glance:
    """A look into the log and at today.

    Attributes
    ----------
    plan : what the coach leads through today
    days : the days of the horn that is set, the oldest first
    today : the number of today (`datetime.date.toordinal`)
    date : the date and time of the look
    dated : whether that is known, and not only what the last date leaves room for
    routines : what can be chosen instead
    limits : where something kinder is offered
    """

    plan: Plan
    days: History = ()
    today: int = 0
    routines: tuple[Offered, ...] = ()
    limits: Limits = field(default_factory=Limits)
    date: Date = field(default_factory=Date)
    dated: bool = True
