"""What is practised today: the coach's plan from the log, or a routine that was named."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from airladder.config import Settings
from airladder.config_file import write_values
from airladder.devices.clock import Clock
from airladder.faults import BadInput, LogFault
from airladder.journal.days import history
from airladder.journal.log import Reader
from airladder.pages.date import Date
from airladder.pages.glance import Glance, Offered
from airladder.pages.page import Page
from airladder.places import settings_path
from airladder.practice.coach.history import History
from airladder.practice.coach.plan import Plan, plan
from airladder.practice.coach.reach import reach
from airladder.practice.ease import Limits
from airladder.practice.routine import Routine
from airladder.practice.routines.reading import Listed, named, names, read
from airladder.practice.setting import Setting

WITHOUT_A_LOG = "five minutes"
"""What is practised while the log cannot be read: practice goes on, and the journal says what is wrong."""


@dataclass(frozen=True)
class Choice:
    """What is practised, and where something kinder is offered."""

    routine: Routine
    limits: Limits


def chosen(word: str | None, settings: Settings, log: Path, clock: Clock) -> Choice:
    """The routine that `word` names; the coach's plan when it is None.

    A log that cannot be read hinders nobody: then it is the shipped routine `WITHOUT_A_LOG`.

    Raises
    ------
    BadInput : when no routine is called so, or its file has faults.
    """
    try:
        days = known_of(settings, log)
    except LogFault:
        word, days = word or WITHOUT_A_LOG, ()
    routine = routine_called(word, settings, days) if word else todays(settings, days, clock).routine
    return Choice(routine, limits_of(settings, days))


def known_of(settings: Settings, log: Path) -> History:
    """The days of the horn that is set; none where there is no log yet.

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    if not log.exists():
        return ()
    with Reader(log) as reader:
        return history(reader, settings.horn.name)


def setting_of(settings: Settings, days: History) -> Setting:
    """The player's horn, and how far the player has come on it."""
    return Setting(settings.series, settings.against, reach(days, settings.rules), len(days) + 1)


def todays(settings: Settings, days: History, clock: Clock) -> Plan:
    """What the coach leads through today, and why."""
    setting = setting_of(settings, days)
    return plan(days, setting, clock.wall().date().toordinal(), settings.aims, settings.rules)


def routine_called(word: str, settings: Settings, days: History) -> Routine:
    """A routine file by its path, or a routine by its name: the player's own, or a shipped one.

    Raises
    ------
    BadInput : when there is none, or it has faults: all of them.
    """
    setting = setting_of(settings, days)
    path = Path(word)
    if path.suffix == ".toml" or path.exists():
        return read(path, setting)
    return named(word, setting, folder=settings.routines)


def limits_of(settings: Settings, days: History) -> Limits:
    """Where something kinder is offered: by the player's own relaxed level, where that is known."""
    levels = sorted(day.relaxed_dbfs for day in days[-10:] if day.relaxed_dbfs is not None)
    return replace(settings.limits, relaxed_dbfs=levels[len(levels) // 2]) if levels else settings.limits


def first_pages(settings_file: Path | None, settings: Settings, log: Path) -> tuple[Page, ...]:
    """What is gone through before the first practice of all: what was never chosen, and what was never read."""
    chosen = (settings_file or settings_path()).exists()
    try:
        played = bool(known_of(settings, log))
    except LogFault:
        played = True
    return (*(() if chosen else (Page.SETUP,)), *(() if played else (Page.CAUTIONS, Page.LEVEL)))


def glance(settings: Settings, log: Path, clock: Clock) -> Glance:
    """A look into the log, and today's plan; a log that cannot be read hinders nobody."""
    try:
        days = known_of(settings, log)
    except LogFault:
        days = ()
        plan = Plan(routine_called(WITHOUT_A_LOG, settings, days), ())
    else:
        plan = todays(settings, days, clock)
    now = clock.wall()
    return Glance(
        plan,
        days,
        now.date().toordinal(),
        _offered(settings, days),
        limits_of(settings, days),
        Date(now.year, now.month, now.day, now.hour, now.minute),
        clock.kept,
    )


def _offered(settings: Settings, days: History) -> tuple[Offered, ...]:
    return tuple(_one_offered(listed, settings, days) for listed in names(settings.routines))


def _one_offered(listed: Listed, settings: Settings, days: History) -> Offered:
    try:
        return Offered(listed.called, listed.about, routine_called(listed.called, settings, days))
    except BadInput as fault:
        return Offered(listed.called, listed.fault or str(fault), None)


def save(settings_file: Path | None, values: Mapping[str, object]) -> None:
    """Keep what was chosen on the box in the settings, by the names of `config.Settings`.

    Raises
    ------
    BadInput : when the file cannot be written.
    """
    write_values(values, settings_file or settings_path())
