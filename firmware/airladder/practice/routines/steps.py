"""One `[[step]]` of a routine file: checked, and turned into exercises for the player's horn, fingering and reach."""

from __future__ import annotations

from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from typing import Any

from airladder.faults import BadInput
from airladder.music.series import Series
from airladder.practice.ask import Start
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.feedback import AT_ONCE, Feedback
from airladder.practice.routines.keys import MIXED, READERS, check_key, heeded
from airladder.practice.routines.lines import Place
from airladder.practice.routines.telling import Spot
from airladder.practice.routines.values import shown
from airladder.practice.setting import Setting


@dataclass(frozen=True)
class Step:
    """What a step asks for.

    Attributes
    ----------
    line : where it begins; of an include, where the name stands
    routine : the name of the routine that it includes; empty when it is exercises
    exercises : one for each fingering
    days : the days of practice on which it is played; None: every day
    """

    line: int
    routine: str = ""
    exercises: tuple[Exercise, ...] = ()
    days: frozenset[int] | None = None


@dataclass(frozen=True)
class _Written:
    """A step as it is written: its keys, and where each of them stands."""

    table: dict[str, Any]
    number: int
    lines: dict[Place, int]
    spot: Spot

    def told(self, key: str) -> AbstractContextManager[None]:
        """A `with` in which BadInput is a fault of `key`, or of the step when that is not written."""
        place = ("step", self.number, key) if key in self.table else ("step", self.number)
        return self.spot.of(self.lines[place], key)


def step_of(table: Any, number: int, lines: dict[Place, int], setting: Setting, spot: Spot) -> Step | None:
    """Step `number` (from 0) of a file, for a player.

    Returns
    -------
    The step, or None after its faults have gone to `spot`.
    """
    line = lines["step", number]
    if not isinstance(table, dict):
        spot.add(line, "step", f"{shown(table)} is no table; wanted a step that begins with [[step]].")
        return None
    if ("exercise" in table) == ("routine" in table):
        has = "both 'exercise' and 'routine'" if "exercise" in table else "neither 'exercise' nor 'routine'"
        spot.add(line, "step", f'has {has}; wanted one of them, like exercise = "rising" or routine = "backstage".')
        return None
    found = spot.count
    written = _Written(table, number, lines, spot)
    values = _values(written, setting)
    _check_together(values, written)
    exercises = _exercises(values, setting, written) if "exercise" in values and spot.count == found else ()
    if spot.count > found:
        return None
    line = lines.get(("step", number, "routine"), line)
    return Step(line, values.get("routine", ""), exercises, values.get("days"))


def _values(written: _Written, setting: Setting) -> dict[str, Any]:
    """What the keys say; after a wrong exercise nobody knows which keys it would heed, so that all will do."""
    values: dict[str, Any] = {}
    horn = setting.series.horn
    known = heeded(None)
    if "exercise" in written.table:
        known = tuple(READERS)
        with written.told("exercise"):
            values["exercise"] = READERS["exercise"](written.table["exercise"], horn)
            known = heeded(values["exercise"])
    for key in (key for key in written.table if key != "exercise"):
        with written.told(key):
            check_key(key, known)
            values[key] = READERS[key](written.table[key], horn)
    return values


def _check_together(values: dict[str, Any], written: _Written) -> None:
    """What goes with the exercise, or with another key, and what does not."""
    kind, start = values.get("exercise"), values.get("start")
    with written.told("start"):
        if start == MIXED and kind not in (Kind.STARTS, None):
            raise BadInput(f"'{MIXED}' is for '{Kind.STARTS.value}' alone; wanted any, tongued or air.")
        if start == Start.ANY.value and kind is Kind.STARTS:
            raise BadInput("'any' trains no start; wanted tongued, air or mixed, or leave it out for both in turn.")
    with written.told("within_reach"):
        if "within_reach" in values and "partials" not in written.table:
            raise BadInput("it cuts `partials` down to the reach; name them, or leave it out.")
        if "within_reach" in values and "partials" in values and values["partials"].by_reach:
            raise BadInput("these partials are within reach already; leave it out.")


def _exercises(values: dict[str, Any], setting: Setting, written: _Written) -> tuple[Exercise, ...]:
    """One exercise for each fingering that can give it."""
    exercises = []
    for fingering in values.get("fingering", (setting.series.fingering,)):
        with written.told("partials" if "partials" in values else "exercise"):
            exercises.append(built(_wish(values, setting, setting.on(fingering))))
    return tuple(exercises)


def _wish(values: dict[str, Any], setting: Setting, series: Series) -> Wish:
    kind, start = values["exercise"], values.get("start")
    below = values.get("below", ())
    partials: tuple[int, ...] = ()
    if "partials" in values:
        rungs = replace(values["partials"], by_reach=values.get("within_reach", values["partials"].by_reach))
        partials = rungs.chosen(series, setting.reach_on(series), kind, below)
    return Wish(
        kind,
        series,
        partials,
        repeats=values.get("repeats", 1),
        tries=values.get("tries"),
        start=None if start in (None, MIXED) else Start(start),
        mixed=start == MIXED,
        hold=values.get("hold", values.get("seconds")),
        swell=values.get("swell", False),
        intervals=below,
        guess=values.get("guess"),
        feedback=_feedback(values),
        hush=values.get("hush"),
        against=setting.against,
    )


def _feedback(values: dict[str, Any]) -> Feedback | None:
    if "band" not in values and "every" not in values:
        return None
    return Feedback(values.get("band", AT_ONCE.band_cents), values.get("every", AT_ONCE.every))
