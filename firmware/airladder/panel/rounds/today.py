"""Today's plan, and other routines to choose from."""

from __future__ import annotations

from airladder.music.names import pretty
from airladder.pages.box import Box
from airladder.pages.glance import Glance
from airladder.panel import bars, fonts, ladder, page_words, words
from airladder.panel.canvas import SAFE_WIDTH, Canvas
from airladder.panel.pane import CAPTION_Y, LEFT, great, lines, note
from airladder.panel.rounds import sheet
from airladder.practice.exercise import Exercise
from airladder.practice.exercises.length import minutes_of
from airladder.practice.routine import Routine

_ASIDE_Y, _ABOUT_LINES = 14, 4


def draw(canvas: Canvas, box: Box) -> None:
    """Troubles, what the coach has to say, and what is planned, by turns; most often there is only the plan."""
    glance = box.glance
    remarks = " ".join(glance.plan.remarks) if glance else ""
    said = [*sheet.parts(box.trouble), *sheet.parts(remarks)]
    at = sheet.due(len(said) + 1, box.now)
    if at < len(said):
        sheet.heading(canvas, page_words.TODAY, _minutes(glance.plan.routine) if glance else "")
        sheet.rows(canvas, said[at])
    elif glance is not None:
        _planned(canvas, glance)
    else:
        bars.rails(canvas)
        canvas.text((LEFT, 8), page_words.TODAY, fonts.middle())
        lines(canvas, [*page_words.LOOKING])


def _planned(canvas: Canvas, glance: Glance) -> None:
    routine = glance.plan.routine
    exercise = main_exercise(routine)
    fingering, rungs = exercise.series.fingering, exercise.rungs
    if rungs:
        ladder.plain(canvas, exercise.series, rungs, _sounded(glance, str(fingering)), max(rungs))
    else:
        bars.rails(canvas)
    great(canvas, page_words.minutes(minutes_of(routine)))
    note(canvas, pretty(fingering.written))
    canvas.text((LEFT, CAPTION_Y), page_words.LONG_MINUTES, fonts.small())
    canvas.text((SAFE_WIDTH, CAPTION_Y), words.FINGERING, fonts.small(), align="right")
    lines(canvas, ["", page_words.exercises(len(routine.exercises)), page_words.up_to(max(rungs)) if rungs else ""])


def main_exercise(routine: Routine) -> Exercise:
    """The exercise with the highest rung."""
    return max(routine.exercises, key=lambda exercise: max(exercise.rungs, default=0))


def _sounded(glance: Glance, fingering: str) -> frozenset[int]:
    tallies = (tally for day in glance.days for tally in day.tallies)
    return frozenset(tally.partial for tally in tallies if tally.fingering == fingering and tally.right)


def _minutes(routine: Routine) -> str:
    return f"{page_words.minutes(minutes_of(routine))} {page_words.MINUTES}"


def routines(canvas: Canvas, box: Box) -> None:
    """One of the routines: how long it takes, and what it is for."""
    offered = box.glance.routines if box.glance else ()
    if not offered:
        sheet.heading(canvas, page_words.NO_ROUTINES)
        return
    row = box.row % len(offered)
    one = offered[row]
    sheet.heading(canvas, one.called)
    aside = page_words.NOT_USABLE if one.routine is None else _minutes(one.routine)
    canvas.text((1, _ASIDE_Y), aside, fonts.small())
    canvas.text((SAFE_WIDTH, _ASIDE_Y), page_words.of(row + 1, len(offered)), fonts.small(), align="right")
    about = sheet.parts(one.about, _ABOUT_LINES) or [[]]
    sheet.rows(canvas, about[sheet.due(len(about), box.now)], _ASIDE_Y + 8)
