"""How the record says things: outcomes, note names, dates and numbers, in words that a player and a teacher use."""

from __future__ import annotations

from datetime import datetime

from airladder.faults import BadInput
from airladder.journal.records import Head
from airladder.music.fingerings import fingering_named
from airladder.music.horns import horn_named
from airladder.music.names import pretty
from airladder.music.series import HIGHEST_PARTIAL, Series
from airladder.practice.judge import Outcome

NONE = "–"
"""Stands where nothing was measured."""

OUTCOMES = {
    Outcome.SPOKE: "spoke",
    Outcome.CRACKED: "cracked on the way",
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
        self._series: Series | None = None
        try:
            horn = horn_named(head.horn)
            self._series = Series(horn, fingering_named(horn, head.fingering), head.a4_hz)
        except BadInput:  # a horn of another version: the numbers of the partials still say all that counts
            pass

    def __getitem__(self, partial: int) -> str:
        if self._series is None or not 1 <= partial <= HIGHEST_PARTIAL:
            return ""
        return pretty(self._series.written_name(partial))


def day(moment: datetime) -> str:
    """Such as ``4 May 2026``."""
    return f"{moment.day} {moment:%B %Y}"


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
    return f"{count} {one if count == 1 else many}"
