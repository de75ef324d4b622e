"""What is asked for: a partial, a slur, a usual fingering, a song, a guess, a rest; or only whatever one likes."""

from __future__ import annotations

import math

from airladder.music.names import pretty
from airladder.panel import fonts, words
from airladder.panel.canvas import Canvas
from airladder.panel.ladder import standing
from airladder.panel.pane import LEFT, LINE, MIDDLE_LINE, fingering, great, lines, name_of, note
from airladder.practice.ask import Ask, Start, Task
from airladder.practice.state import State

_MOST_GREAT = 5  # great numerals in a line
_NAMED = 3  # of them beside a note name


def draw(canvas: Canvas, state: State) -> None:
    """What is asked for now, before anything sounds."""
    match state.ask.task:
        case Task.USUAL:
            _usual(canvas, state)
        case Task.SLUR:
            _slur(canvas, state)
        case Task.SING:
            _sing(canvas, state)
        case _ if state.wanted is not None:
            _partial(canvas, state, state.wanted)


def _partial(canvas: Canvas, state: State, wanted: int) -> None:
    great(canvas, str(wanted))
    note(canvas, name_of(state, wanted))
    lines(canvas, [fingering(state), *_what_to_do(state)])


def _what_to_do(state: State) -> list[str]:
    if state.listens:
        return [words.LISTEN, words.fitting(state.exercise.name, LINE)]
    if state.hushed:
        return [words.HEAR, words.fitting(state.exercise.name, LINE)]
    if state.ask.cold:
        return [words.PLAY_IT, words.COLD]
    how = _how(state.ask) or [words.ENCOURAGEMENT]
    return [*how, words.fitting(state.exercise.name, LINE)][:2]


def _is_quiet(state: State) -> bool:
    """Whether the player only listens: to the box, or inwardly."""
    return state.hushed or state.listens


def _how(ask: Ask) -> list[str]:
    """How the note is to begin, and how long it is to last; two lines at most."""
    start = [] if ask.start is Start.ANY else [words.STARTS[ask.start]]
    hold = [words.hold(ask.hold, swell=ask.swell)] if ask.hold else []
    return [*start, *hold]


def _usual(canvas: Canvas, state: State) -> None:
    canvas.text((LEFT, 4), words.USUAL, fonts.middle())
    note(canvas, pretty(state.ask.series.fingering.written))
    below = words.below(state.ask.beside) if state.ask.beside else ""
    to_do = _what_to_do(state)[:1] if _is_quiet(state) else (_how(state.ask) or [words.PLAY_IT])
    lines(canvas, [words.USUAL_FINGERING, below, to_do[-1]])


def _slur(canvas: Canvas, state: State) -> None:
    partials = words.steps(state.ask.partials)
    if len(partials) > _MOST_GREAT:
        canvas.text((LEFT, 4), words.fitting(partials, MIDDLE_LINE), fonts.middle())
    else:
        great(canvas, partials)
    if len(partials) <= _NAMED:
        note(canvas, name_of(state, state.ask.partials[-1]))
    if _is_quiet(state):
        lines(canvas, [fingering(state), *_what_to_do(state)])
        return
    breath, no_start = words.ONE_BREATH
    lines(canvas, [fingering(state), breath, words.STARTS.get(state.ask.start, no_start)])


def _sing(canvas: Canvas, state: State) -> None:
    canvas.text((LEFT, 4), words.SING, fonts.middle())
    note(canvas, name_of(state, state.ask.partials[-1]))
    to_do = (words.LISTEN,) if state.listens else words.IMAGINE
    lines(canvas, [f"{words.PARTIAL} {state.ask.partials[-1]}", *to_do])


def listening(canvas: Canvas, state: State) -> None:
    """Nothing is asked for, and nothing sounds."""
    great(canvas, words.UNKNOWN)
    left = state.left
    lines(canvas, [fingering(state), words.PLAY, *([] if math.isinf(left) else [words.left(left)])])


def rest(canvas: Canvas, state: State) -> None:
    """A rest, and how long it still lasts."""
    great(canvas, str(math.ceil(min(999.0, state.left))))
    canvas.text((LEFT, 26), words.REST[0], fonts.middle())
    for text, y in zip(words.REST[1:], (39, 47), strict=True):
        canvas.text((LEFT, y), text, fonts.small())


def guess(canvas: Canvas, state: State) -> None:
    """Which way was it?"""
    canvas.text((LEFT, 4), words.EAR, fonts.middle())
    asked = standing(state)
    lines(canvas, ["" if asked is None else words.was(asked), *words.GUESS])
