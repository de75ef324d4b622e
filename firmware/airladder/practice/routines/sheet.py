"""A routine file once it is read: its head, and its steps with the files that they include.

Conventions
-----------
Days of practice count from 1. A file has a course of its own: the days up to the last one that its steps name; later
days are like the last.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from airladder.faults import BadInput, did_you_mean
from airladder.practice.exercise import Exercise
from airladder.practice.routines.lines import Place
from airladder.practice.routines.telling import Spot
from airladder.practice.routines.values import line_of_text, number, shown

VERSION = 1
"""The form of the file that this program knows."""

LONGEST_NAME = 20
"""Of the routine's name: it stands on the screen, in characters."""

LONGEST_ABOUT = 120
"""Of what is said about it, in characters."""

MOST_MINUTES = 60.0
"""The longest routine: overtone work is short and daily (common practice), and lips are no machines."""

_KEYS = ("version", "name", "about", "minutes", "step")


@dataclass(frozen=True)
class Head:
    """What stands above the steps, as far as it is well.

    Attributes
    ----------
    name, about : as the file says
    minutes : what the routine is meant to take; None where that is not said
    is_newer : whether the file is of a form that this program does not know
    """

    name: str = ""
    about: str = ""
    minutes: float | None = None
    is_newer: bool = False


@dataclass(frozen=True, eq=False)
class Part:
    """A step: exercises, or another sheet; `days` on which it is played, None for every day."""

    exercises: tuple[Exercise, ...]
    included: Sheet | None
    days: frozenset[int] | None


@dataclass(frozen=True, eq=False)
class Sheet:
    """A whole file, with those that it includes."""

    head: Head
    parts: tuple[Part, ...]

    @cached_property
    def course(self) -> int:
        """How many days differ from each other in this file; 1 when all are alike."""
        return max((day for part in self.parts for day in part.days or ()), default=1)

    @cached_property
    def days(self) -> int:
        """How many days differ from each other, those of the included files counted too."""
        return max(self.course, *(sheet.days for sheet in self._included), 1)

    @cached_property
    def height(self) -> int:
        """How many files stand in a row, each including the next; 1 for a file that includes none."""
        return 1 + max((sheet.height for sheet in self._included), default=0)

    @property
    def _included(self) -> list[Sheet]:
        return [part.included for part in self.parts if part.included is not None]

    def played(self, day: int) -> Iterator[Exercise]:
        """What is played on a day, in order."""
        own = min(day, self.course)
        for part in self.parts:
            if part.days is None or own in part.days:
                yield from part.exercises
                if part.included is not None:
                    yield from part.included.played(day)

    def idle_days(self) -> list[int]:
        """The days of the course on which nothing is played."""
        return [day for day in range(1, self.course + 1) if next(self.played(day), None) is None]


def head_of(data: dict[str, Any], lines: dict[Place, int], spot: Spot) -> Head:
    """The head of a file; its faults go to `spot`.

    A file of a newer version has that one fault only: this program cannot know what else is right in it.
    """
    version, name, about, minutes = VERSION, "", "", None
    with spot.of(lines.get(("version",), 0), "version"):
        version = _version(_present(data, "version"))
    if version > VERSION:
        spot.add(lines["version",], "version", _newer(version))
        return Head(is_newer=True)
    for key in data:
        if key not in _KEYS:
            spot.add(lines[key,], key, f"no such key{did_you_mean(key[:LONGEST_ABOUT], _KEYS)}")
    with spot.of(lines.get(("name",), 0), "name"):
        name = line_of_text(_present(data, "name"), LONGEST_NAME)
    with spot.of(lines.get(("about",), 0), "about"):
        about = line_of_text(_present(data, "about"), LONGEST_ABOUT)
    if "minutes" in data:
        with spot.of(lines["minutes",], "minutes"):
            minutes = number(data["minutes"], 0.5, MOST_MINUTES, "minutes")
    return Head(name, about, minutes)


def _version(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise BadInput(f"{shown(value)} is no version; wanted: version = {VERSION}.")
    return value


def _newer(version: int) -> str:
    return (
        f"written for version {shown(version)}; this program knows {VERSION}:"
        f" update it, or write the file in the form of version {VERSION}."
    )


def _present(data: dict[str, Any], key: str) -> Any:
    if key not in data:
        wanted = {"version": f"version = {VERSION}", "name": 'name = "my warm-up"', "about": 'about = "before class"'}
        raise BadInput(f"is missing; wanted a line like: {wanted[key]}.")
    return data[key]
