"""What the log holds, as plain values."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from airladder.practice.attempt import Attempt

KNOWN = "known"
CARRIED = "carried"
"""How far `Head.started` may be trusted: kept by a clock that goes on without us, or the last date carried on."""


@dataclass(frozen=True)
class Moment:
    """A time that no wrong clock can move.

    Attributes
    ----------
    boot_key : the kernel's boot_id of this switch-on
    boottime_s : s since the switch-on, suspended or not (CLOCK_BOOTTIME of clock_gettime(2))
    trust : of the date at that time, `KNOWN` or `CARRIED`
    boot : the number that the log gave the switch-on; None before it is in the log
    """

    boot_key: str
    boottime_s: float
    trust: str
    boot: int | None = field(default=None, compare=False)


@dataclass(frozen=True)
class Planned:
    """An exercise of the routine, and why it was chosen; `reason` is empty where nobody chose."""

    exercise: str
    reason: str = ""


@dataclass(frozen=True)
class Head:
    """What is true of a whole session.

    Attributes
    ----------
    started : wall clock with offset; a label, nothing is ordered by it (`dating` says what it is worth)
    source : where the sound came from: "microphone NAME", "recording NAME", or "demo"
    invented : True when the player is the demo's, so that no report takes it for practice
    horn, fingering : their names
    a4_hz, against : the tuning, Hz, and what the cents are measured from ("tempered", "pure", "measured")
    exercise : its name
    version : of this program
    moment : when it began, whatever the clock said; None in logs of before
    plan : the exercises of its routine in order, with the reasons
    remarks : what the coach said that day

    The plan and the remarks come back from `Reader.session` alone, not with the long lists of all sessions.
    """

    started: datetime
    source: str
    invented: bool
    horn: str
    fingering: str
    a4_hz: float
    against: str
    exercise: str
    version: str
    moment: Moment | None = None
    plan: tuple[Planned, ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Session:
    """One session as read back from the log; `attempts` in the order in which they were made."""

    id: int
    head: Head
    attempts: tuple[Attempt, ...]
