"""A routine file with the files that it includes, each of them read once."""

from __future__ import annotations

from pathlib import Path

from airladder.faults import BadInput
from airladder.practice.routines.library import called, path_of
from airladder.practice.routines.opening import Document, opened
from airladder.practice.routines.sheet import Part, Sheet, head_of
from airladder.practice.routines.steps import Step, step_of
from airladder.practice.routines.telling import Faults, Spot
from airladder.practice.routines.values import shown
from airladder.practice.setting import Setting

MOST_STEPS = 200
"""The most exercises of a routine, its includes and its several fingerings counted out."""

DEEPEST = 8
"""How many files may stand in a row, each including the next."""

TOO_MANY = f"more than {MOST_STEPS} exercises, includes and fingerings counted out; make the routine shorter."


class Reader:
    """Reads a file and those that it includes, for one player; what is wrong with them goes to `faults`."""

    def __init__(self, setting: Setting, folder: Path, faults: Faults) -> None:
        self.faults = faults
        self._setting = setting
        self._folder = folder
        self._known: dict[Path, Sheet] = {}
        self._built = 0

    def sheet(self, path: Path, above: tuple[Path, ...] = ()) -> Sheet:
        """The file at `path`, included by the last of those `above`; what is faulty in it is left out.

        Raises
        ------
        BadInput : when it cannot be opened.
        """
        spot = Spot(path, self.faults)
        document = opened(path)
        found = spot.count
        head = head_of(document.data, document.lines, spot)
        if head.is_newer:
            return Sheet(head, ())
        above = (*above, path)
        parts = [self._part(step, spot, above) for step in self._steps(document, spot)]
        sheet = Sheet(head, tuple(part for part in parts if part is not None))
        if spot.count == found:
            for day in sheet.idle_days():
                spot.add(0, "days", f"nothing is played on day {day}; give it a step, or count the days without it.")
        return sheet

    def _steps(self, document: Document, spot: Spot) -> list[Step]:
        tables = document.data.get("step", [])
        line = document.lines.get(("step",), 0)
        if not isinstance(tables, list):
            spot.add(
                line,
                "step",
                f"{shown(tables)} is no list of steps; begin each with [[step]], in two brackets.",
            )
            return []
        if not tables:
            spot.add(line, "step", 'no step; wanted at least one: a line [[step]], and below it exercise = "rising".')
        if len(tables) > MOST_STEPS:
            spot.add(line, "step", TOO_MANY)
            return []
        steps = (self._step(number, document, spot) for number in range(len(tables)))
        return [step for step in steps if step is not None]

    def _step(self, number: int, document: Document, spot: Spot) -> Step | None:
        if self._built > MOST_STEPS:  # said already; what comes behind is not built any more
            return None
        step = step_of(document.data["step"][number], number, document.lines, self._setting, spot)
        self._built += len(step.exercises) if step is not None else 0
        if self._built > MOST_STEPS:
            spot.add(document.lines["step", number], "step", TOO_MANY)
        return step

    def _part(self, step: Step, spot: Spot, above: tuple[Path, ...]) -> Part | None:
        if not step.routine:
            return Part(step.exercises, None, step.days)
        with spot.of(step.line, "routine"):
            return Part((), self._included(step.routine, above), step.days)
        return None

    def _included(self, name: str, above: tuple[Path, ...]) -> Sheet:
        path = path_of(name, self._folder)
        if path.resolve() in [one.resolve() for one in above]:
            way = " -> ".join(called(one) for one in (*above, path))
            raise BadInput(f"the routines include one another in a circle ({way}); take one of them out.")
        if path not in self._known and len(above) < DEEPEST:
            self._known[path] = self.sheet(path, above)
        if path not in self._known or len(above) + self._known[path].height > DEEPEST:
            raise BadInput(f"more than {DEEPEST} routines that include one another in a row; wanted fewer.")
        return self._known[path]
