"""Today's plan, and other routines to choose from."""

from __future__ import annotations

from airladder.music.names import pretty
from airladder.pages.box import Box
from airladder.pages.glance import Glance
from airladder.panel import fonts, ladder, page_words
from airladder.panel.canvas import SAFE_WIDTH, Canvas
from airladder.panel.pane import LEFT, lines
from airladder.panel.rounds import sheet
from airladder.practice.exercise import Exercise
from airladder.practice.exercises.length import seconds_of
from airladder.practice.routine import Routine


def draw(canvas: Canvas, box: Box) -> None:
    """What is planned; what the coach has to say of it, and troubles, come first."""
    glance = box.glance
    said = box.trouble or (" ".join(glance.plan.remarks) if glance else "")
    if said:
        sheet.heading(canvas, page_words.TODAY, _minutes(glance))
        sheet.sentence(canvas, said, box.now)
        return
    if glance is None:
        ladder.rails(canvas)
        lines(canvas, [*page_words.LOOKING])
        return
    _planned(canvas, glance)


def _planned(canvas: Canvas, glance: Glance) -> None:
    routine = glance.plan.routine
    exercise = main_exercise(routine)
    fingering, rungs = exercise.series.fingering, exercise.rungs
    if rungs:
        ladder.plain(canvas, exercise.series, rungs, _sounded(glance, str(fingering)), max(rungs))
    canvas.text((LEFT, 0), page_words.TODAY, fonts.small())
    canvas.text((SAFE_WIDTH, 0), _minutes(glance), fonts.small(), align="right")
    canvas.text((LEFT, 10), pretty(fingering.written), fonts.large())
    up_to = [page_words.up_to(max(rungs))] if rungs else []
    lines(canvas, ["", page_words.exercises(len(routine.exercises)), *up_to])


def main_exercise(routine: Routine) -> Exercise:
    """The exercise with the highest rung."""
    return max(routine.exercises, key=lambda exercise: max(exercise.rungs, default=0))


def _sounded(glance: Glance, fingering: str) -> frozenset[int]:
    tallies = (tally for day in glance.days for tally in day.tallies)
    return frozenset(tally.partial for tally in tallies if tally.fingering == fingering and tally.right)


def _minutes(glance: Glance | None) -> str:
    if glance is None:
        return ""
    return f"{page_words.minutes(_seconds(glance.plan.routine) / 60.0)} {page_words.MINUTES}"


def _seconds(routine: Routine) -> float:
    return sum(seconds_of(exercise) for exercise in routine.exercises)


def routines(canvas: Canvas, box: Box) -> None:
    """One of the routines: how long it takes, and what it is for."""
    offered = box.glance.routines if box.glance else ()
    if not offered:
        sheet.heading(canvas, page_words.NO_ROUTINES)
        return
    row = min(box.row, len(offered) - 1)
    one = offered[row]
    sheet.heading(canvas, one.called)
    aside = "" if one.routine is None else f"{page_words.minutes(_seconds(one.routine) / 60.0)} {page_words.MINUTES}"
    canvas.text((1, 13), aside, fonts.small())
    canvas.text((SAFE_WIDTH, 13), page_words.of(row + 1, len(offered)), fonts.small(), align="right")
    sheet.rows(canvas, sheet.wrapped(one.about)[:4], 22)
