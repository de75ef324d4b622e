"""The keys of a step: how each is read, and which exercise heeds it.

A key that an exercise would not heed is a fault: whoever wrote it meant something by it.

Conventions
-----------
Seconds for `hold`, `seconds` and `hush`, cents for `band`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from airladder.faults import BadInput, did_you_mean
from airladder.music.fingerings import Fingering, fingering_named, fingerings_of
from airladder.music.horns import Horn
from airladder.music.usual import LOW, Interval
from airladder.practice.ask import Start
from airladder.practice.exercise import Kind
from airladder.practice.exercises.build import LONGEST_SECONDS, MOST_REPEATS, MOST_TRIES
from airladder.practice.routines.partials import rungs
from airladder.practice.routines.values import each, number, numbers, shown, text, whole, word, yes

LAST_DAY = 60
"""The last day of practice that a step can name: two months of a course; then the last day is played again."""

LONGEST_NAME = 40
"""Of the name of another file, in characters."""

MIXED = "mixed"
"""Of the starts: tongued and air in mixed order."""

KINDS = [kind.value for kind in Kind]
_GROUPS = ("long", "short")


def _kind(value: Any) -> Kind:
    return Kind(word(value, KINDS, "exercise"))


def routine_name(value: Any) -> str:
    """The name of another file: a name only, never a way to somewhere else."""
    name = text(value)
    if not name.isprintable() or len(name) > LONGEST_NAME or any(sign in name for sign in "/\\."):
        raise BadInput(
            f"{shown(name)} is no name of a routine; wanted at most {LONGEST_NAME} characters,"
            ' no slashes and no dots, like "five minutes".'
        )
    return name


def fingerings(value: Any, horn: Horn) -> tuple[Fingering, ...]:
    """The fingerings of a horn that a name, a list of names, ``long`` or ``short`` stands for."""
    if isinstance(value, list):
        return each(value, lambda element: fingering_named(horn, text(element)))
    if text(value) in _GROUPS:
        return tuple(one for one in fingerings_of(horn).values() if one.long == (value == "long"))
    return (fingering_named(horn, value),)


def _below(value: Any) -> tuple[Interval, ...]:
    names = [interval.value for interval in LOW]
    listed = value if isinstance(value, list) else [value]
    return each(listed, lambda one: Interval(word(one, names, "interval below")))


def _start(value: Any) -> str:
    return word(value, [*(start.value for start in Start), MIXED], "start")


def _days(value: Any) -> frozenset[int]:
    return frozenset(numbers(value, 1, LAST_DAY))


READERS: dict[str, Callable[[Any, Horn], Any]] = {
    "exercise": lambda value, _: _kind(value),
    "routine": lambda value, _: routine_name(value),
    "fingering": fingerings,
    "partials": lambda value, _: rungs(value),
    "within_reach": lambda value, _: yes(value),
    "repeats": lambda value, _: whole(value, 1, MOST_REPEATS),
    "tries": lambda value, _: whole(value, 1, MOST_TRIES),
    "start": lambda value, _: _start(value),
    "hold": lambda value, _: number(value, 0.5, 60.0, "seconds"),
    "seconds": lambda value, _: number(value, 5.0, LONGEST_SECONDS, "seconds"),
    "swell": lambda value, _: yes(value),
    "below": lambda value, _: _below(value),
    "guess": lambda value, _: yes(value),
    "band": lambda value, _: number(value, 0.0, 50.0, "cents"),
    "every": lambda value, _: whole(value, 1, 10),
    "hush": lambda value, _: number(value, 0.0, 30.0, "seconds"),
    "days": lambda value, _: _days(value),
}
"""Each key of a step, and what makes its value out of TOML for a horn; BadInput when it cannot."""

_SLURRED = ("fingering", "repeats", "tries", "start", "guess", "band", "every", "hush")
_PLAYED = (*_SLURRED, "hold")
_LADDER = ("partials", "within_reach")
_HEEDED: dict[Kind | None, tuple[str, ...]] = {
    None: ("routine",),
    Kind.REST: ("seconds",),
    Kind.FREE: ("fingering", "seconds"),
    Kind.FUNDAMENTAL: _PLAYED,
    Kind.SLURS: (*_LADDER, *_SLURRED),
    Kind.LONG: (*_LADDER, *_PLAYED, "swell"),
    Kind.LOW: (*_LADDER, *_PLAYED, "below"),
}


def heeded(kind: Kind | None) -> tuple[str, ...]:
    """The keys that an exercise heeds; those of an include for None."""
    own = _HEEDED.get(kind, (*_LADDER, *_PLAYED))
    return (*own, "days") if kind is None else ("exercise", *own, "days")


def check_key(key: str, known: tuple[str, ...]) -> None:
    """BadInput when `key` is not among those that are heeded."""
    if key in known:
        return
    if key in READERS:
        raise BadInput(f"it is not heeded here; leave it out. Heeded: {', '.join(known)}.")
    raise BadInput(f"no such key{did_you_mean(key[:LONGEST_NAME], known)}")
