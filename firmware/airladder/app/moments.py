"""The time of a practice for the log, and the date where no clock keeps it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from airladder.devices.clock import Clock
from airladder.faults import LogFault
from airladder.journal.dating import now
from airladder.journal.log import Log, Reader
from airladder.journal.records import CARRIED, KNOWN, Moment
from airladder.pages.date import Date


def moment(clock: Clock) -> Moment:
    """This moment, as the log orders it."""
    return Moment(clock.boot_key(), clock.boottime(), KNOWN if clock.kept else CARRIED)


def settle(clock: Clock, log: Path) -> None:
    """Where nobody keeps the date, go on from what the log leaves room for; a log in trouble hinders nobody."""
    if clock.kept or not log.exists():
        return
    try:
        with Reader(log) as reader:
            clock.carry_on(now(reader, moment(clock), clock.wall()).when)
    except LogFault:
        return


def tell_by_buttons(clock: Clock, log: Path, date: Date) -> None:
    """The player has set the date, by the time zone of this computer.

    Raises
    ------
    LogFault : when the log cannot take it; the clock goes by it all the same.
    """
    when = datetime(date.year, date.month, date.day, date.hour, date.minute).astimezone()
    tell(clock, log, when, "buttons")


def tell(clock: Clock, log: Path, when: datetime, told_by: str) -> None:
    """Somebody says that it is `when`: the clock goes by it, and the log writes down that it was said.

    Raises
    ------
    LogFault : when the log cannot take it.
    """
    at = moment(clock)
    clock.tell(when)
    with Log(log) as writer:
        writer.tell_date(at, when, told_by)
