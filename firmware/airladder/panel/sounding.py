"""What sounds now: the partial, the cents where they are told, the note, and how long it has held."""

from __future__ import annotations

import math

from airladder.music.names import pretty
from airladder.panel import fonts, notices, words
from airladder.panel.canvas import Canvas
from airladder.panel.heard import Heard, heard
from airladder.panel.pane import CAPTION_Y, FOOT_Y, LEFT, LINE, RIGHT, great, name_of
from airladder.practice.ask import Ask, Task
from airladder.practice.state import Phase, State


def draw(canvas: Canvas, state: State) -> None:
    """The pane while something sounds."""
    sound = heard(state)
    if sound is None:
        return
    _above(canvas, state, sound)
    if state.trouble:
        notices.paragraph(canvas, (LEFT, CAPTION_Y), state.trouble, LINE, 3)
        return
    canvas.text((LEFT, CAPTION_Y), _caption(state, sound), fonts.small())
    if sound.partial is not None:
        canvas.text((LEFT, FOOT_Y), _note(state, sound.partial), fonts.middle())
        canvas.text((LEFT + 33, FOOT_Y + 5), words.HELD, fonts.small())
        canvas.text((RIGHT, FOOT_Y), words.seconds(state.held, 1), fonts.middle(), align="right")


def _above(canvas: Canvas, state: State, sound: Heard) -> None:
    if state.ask.beside is not None and sound.partial is not None:
        canvas.text((LEFT, 4), words.USUAL, fonts.middle())
    else:
        great(canvas, words.UNKNOWN if sound.partial is None else str(sound.partial))
    if sound.partial is not None and sound.cents is not None:
        canvas.text((RIGHT, 0), words.signed(sound.cents), fonts.large(), align="right")
        canvas.text((RIGHT, 20), words.CENTS, fonts.small(), align="right")


def _note(state: State, partial: int) -> str:
    return name_of(state, partial) if state.ask.beside is None else pretty(state.ask.series.fingering.written)


def _caption(state: State, sound: Heard) -> str:
    reading = state.reading
    if reading is not None and len(reading.split) > 1:
        return words.split(reading.split)
    beside = state.ask.beside
    if beside is not None and sound.partial is not None:
        name = pretty(state.ask.series.fingering.written)
        return words.below(beside) if sound.cents is None else words.than(sound.cents, beside.partial, name)
    if reading is None or reading.partial is None:
        return words.NO_PARTIAL
    if sound.partial is None:
        return words.of_usual(reading.partial, pretty(state.ask.series.fingering.written))
    if state.phase is Phase.FREE or state.wanted is None:
        return words.PARTIAL if math.isinf(state.left) else words.left(state.left)
    return _of_wanted(state.ask, state.wanted, sound.partial)


def _of_wanted(ask: Ask, wanted: int, partial: int) -> str:
    if ask.task is Task.SLUR:
        return words.fitting(words.slur(ask.partials), LINE)
    if partial != wanted:
        return f"{words.PARTIAL}, {words.not_wanted(wanted)}"
    return words.hold(ask.hold, swell=ask.swell) if ask.hold else words.PARTIAL
