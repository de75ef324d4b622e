"""The screen: one picture for every state of the session.

The ladder stands on the left; beside it, large, what must be read from the music stand: the partial and the cents,
in the same place on every screen. Below, what each button does, above the button.

Conventions
-----------
Every note name is the written one. Pixels as in `canvas`.
"""

from __future__ import annotations

from PIL import Image

from airladder.music.names import pretty
from airladder.panel import asking, fonts, ladder, notices, resulting, sounding, words
from airladder.panel.canvas import Canvas
from airladder.panel.heard import heard
from airladder.panel.pane import LEFT, RIGHT
from airladder.panel.rounds import sheet
from airladder.practice.state import Phase, State


def draw(state: State) -> Image.Image:
    """The picture of a state: 128 x 64, mode "1"."""
    return compose(state).image


def compose(state: State) -> Canvas:
    """The drawn sheet of a state, which can also be asked for its flaws."""
    if state.phase is Phase.OVER:
        return notices.farewell()
    canvas = Canvas()
    sheet.labels(canvas, words.row(state))
    sentence = _sentence(state)
    if sentence is not None:
        canvas.text((1, -1), sentence[0], fonts.middle())
        notices.paragraph(canvas, (1, 14), sentence[1], notices.LINE, 5)
        return canvas
    ladder.draw(canvas, state)
    _pane(canvas, state)
    return canvas


def _sentence(state: State) -> tuple[str, str] | None:
    """A heading and a sentence that take the whole width; None where the ladder is drawn."""
    if state.phase is Phase.OFFER and state.offer is not None:
        return words.OFFER_HEADING, state.offer.sentence
    if state.trouble and heard(state) is None:
        return _heading(state), state.trouble
    return None


def _heading(state: State) -> str:
    partial = ladder.standing(state)
    if state.ask.beside is not None and partial is not None:
        return f"{words.USUAL} {pretty(state.ask.series.fingering.written)}"
    if partial is not None:
        return words.spoke(partial, pretty(state.exercise.series.written_name(partial)))
    return words.OVER if state.phase is Phase.DONE else words.LISTENING


def _pane(canvas: Canvas, state: State) -> None:
    match state.phase:
        case Phase.WANTED:
            asking.draw(canvas, state)
        case Phase.REST:
            asking.rest(canvas, state)
        case Phase.GUESS:
            asking.guess(canvas, state)
        case Phase.SOUNDING:
            sounding.draw(canvas, state)
        case Phase.FREE:
            sounding.draw(canvas, state) if state.reading else asking.listening(canvas, state)
        case Phase.RESULT:
            resulting.draw(canvas, state)
        case Phase.SUNG:
            resulting.sung(canvas, state)
        case Phase.DONE:
            _done(canvas, state)


def _done(canvas: Canvas, state: State) -> None:
    tries, asked = len(state.attempts), ladder.all_rungs(state.routine)
    rows = [
        (words.RUNGS, (len(asked & ladder.all_reached(state.attempts)), len(asked))),
        (words.TRIES, (tries,)),
        (words.KEPT, (state.kept, tries)),
    ]
    for i, (word, numbers) in enumerate(rows if asked else rows[1:]):
        y = i * 18
        canvas.text((LEFT, y + 5), word, fonts.small())
        _of(canvas, y, [str(number) for number in numbers])


def _of(canvas: Canvas, y: int, numbers: list[str]) -> None:
    """One number, or "this of that", ending at the right edge."""
    canvas.text((RIGHT, y), numbers[-1], fonts.middle(), align="right")
    if len(numbers) > 1:
        x = RIGHT - fonts.middle().measure(numbers[-1]) - 3
        canvas.text((x, y + 5), words.OF, fonts.small(), align="right")
        canvas.text((x - 13, y), numbers[0], fonts.middle(), align="right")
