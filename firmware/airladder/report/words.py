"""How the record says things: outcomes, note names, dates and numbers, in words that a player and a teacher use."""

from __future__ import annotations

from datetime import date
from functools import cache

from airladder.faults import BadInput
from airladder.journal.dating import Dated
from airladder.journal.records import Head
from airladder.music.fingerings import fingering_named
from airladder.music.horns import horn_named
from airladder.music.names import pretty
from airladder.music.series import HIGHEST_PARTIAL, Series
from airladder.practice.judge import Outcome

EMPTY = "The log is still empty. It begins with the first try; there is no hurry."

NONE = "–"
"""Stands where nothing was measured."""

OUTCOMES = {
    Outcome.SPOKE: "spoke",
    Outcome.CRACKED: "cracked on the way",
    Outcome.RESTARTED: "with a new start",
    Outcome.OTHER: "another partial",
    Outcome.SPLIT: "split",
    Outcome.NOTHING: "nothing stood",
}
"""In the order in which they are told."""

AGAINST = {
    "tempered": "the tempered note",
    "pure": "the pure partial",
    "measured": "the player's own fundamental",
}


class Notes:
    """The written note of each partial of a session's tube; empty where it is not known."""

    def __init__(self, head: Head) -> None:
        self._head = head

    def __getitem__(self, partial: int) -> str:
        return self.on(self._head.fingering, partial)

    def on(self, fingering: str, partial: int) -> str:
        """The same on another fingering of the session's horn."""
        series = _series(self._head.horn, fingering, self._head.a4_hz)
        if series is None or not 1 <= partial <= HIGHEST_PARTIAL:
            return ""
        return pretty(series.written_name(partial))


@cache
def _series(horn_name: str, fingering: str, a4_hz: float) -> Series | None:
    try:
        horn = horn_named(horn_name)
        return Series(horn, fingering_named(horn, fingering), a4_hz)
    except BadInput:  # a horn of another version: the numbers of the partials still say all that counts
        return None


def day(moment: date) -> str:
    """Such as ``4 May 2026``."""
    return f"{moment.day} {moment:%B %Y}"


def dated_day(dated: Dated) -> str:
    """The same; "about" stands before it where nobody told the box the date."""
    return day(dated.when) if dated.known else f"about {day(dated.when)}"


def signed(cents: float | None) -> str:
    """Whole cents with their sign, such as ``+4`` or ``−12``."""
    if cents is None:
        return NONE
    return f"{round(cents):+d}".replace("-", "−") if round(cents) else "0"


def number(value: float | None, digits: int = 0) -> str:
    """A number with so many decimals."""
    return NONE if value is None else f"{value:.{digits}f}"


def counted(count: int, one: str, many: str) -> str:
    """Such as ``1 try`` or ``3 tries``."""
    return f"{count:,} {one if count == 1 else many}"
