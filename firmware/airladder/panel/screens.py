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
from airladder.panel import fonts, ladder, notices, words
from airladder.panel.canvas import HEIGHT, WIDTH, Canvas
from airladder.panel.heard import heard
from airladder.practice.judge import Attempt, Outcome
from airladder.practice.presses import ROW
from airladder.practice.state import Phase, State

_LEFT, _RIGHT = 40, WIDTH
_PANE_LINE = 17
_LABELS_Y = HEIGHT - 8
_CAPTION_Y, _FOOT_Y = 28, 38


def draw(state: State) -> Image.Image:
    """The picture of a state: 128 x 64, mode "1"."""
    return compose(state).image


def compose(state: State) -> Canvas:
    """The drawn sheet of a state, which can also be asked for its flaws."""
    if state.phase is Phase.OVER:
        return notices.farewell()
    canvas = Canvas()
    _labels(canvas, state.phase)
    if state.trouble and heard(state) is None:
        _troubled(canvas, state)
        return canvas
    ladder.draw(canvas, state)
    _pane(canvas, state)
    return canvas


def _labels(canvas: Canvas, phase: Phase) -> None:
    share = WIDTH // len(ROW)
    for i, button in enumerate(ROW):
        canvas.text((i * share + share // 2, _LABELS_Y), words.label(phase, button), fonts.small(), align="centre")


def _pane(canvas: Canvas, state: State) -> None:
    match state.phase:
        case Phase.WANTED:
            _wanted(canvas, state)
        case Phase.SOUNDING:
            _sounding(canvas, state)
        case Phase.RESULT:
            _result(canvas, state)
        case Phase.DONE:
            _done(canvas, state)
        case Phase.FREE:
            _sounding(canvas, state) if state.reading else _listening(canvas, state)


def _wanted(canvas: Canvas, state: State) -> None:
    wanted = state.exercise.partials[state.rung]
    _partial(canvas, wanted)
    canvas.text((_RIGHT, 2), _name(state, wanted), fonts.large(), align="right")
    _lines(canvas, [_fingering(state), *words.ENCOURAGEMENT])


def _listening(canvas: Canvas, state: State) -> None:
    _partial(canvas, None)
    _lines(canvas, [_fingering(state), words.PLAY])


def _sounding(canvas: Canvas, state: State) -> None:
    sound = heard(state)
    if sound is None:
        return
    _partial(canvas, sound.partial)
    if sound.partial is not None:
        canvas.text((_RIGHT, 0), words.signed(sound.cents), fonts.numerals(), align="right")
        canvas.text((_RIGHT, 20), words.CENTS, fonts.small(), align="right")
    if state.trouble:
        notices.paragraph(canvas, (_LEFT, _CAPTION_Y), state.trouble, _PANE_LINE, 3)
        return
    canvas.text((_LEFT, _CAPTION_Y), _caption(state), fonts.small())
    if sound.partial is not None:
        canvas.text((_LEFT, _FOOT_Y), _name(state, sound.partial), fonts.middle())
        canvas.text((_LEFT + 33, _FOOT_Y + 5), words.HELD, fonts.small())
        canvas.text((_RIGHT, _FOOT_Y), words.seconds(state.held, 1), fonts.middle(), align="right")


def _caption(state: State) -> str:
    sound = heard(state)
    if sound is not None and len(sound.split) > 1:
        return words.split(sound.split)
    if sound is None or sound.partial is None:
        return words.NO_PARTIAL
    if state.wanted not in (None, sound.partial):
        return f"{words.PARTIAL}, {words.not_wanted(state.wanted or 0)}"
    return words.PARTIAL


def _result(canvas: Canvas, state: State) -> None:
    attempt = state.last
    if attempt is None:
        return
    canvas.text((_LEFT, -2), words.OUTCOMES[attempt.outcome], fonts.middle())
    canvas.text((_LEFT, 13), _explained(state, attempt), fonts.small())
    tone = attempt.tone
    if tone is None:
        return
    if tone.cents is not None and attempt.outcome is not Outcome.SPLIT:  # of two at once they are those of neither
        canvas.text((_LEFT, 23), words.signed(tone.cents), fonts.numerals())
        canvas.text((_LEFT + 55, 35), words.CENTS, fonts.small())
        if tone.spread_cents is not None:
            canvas.text((_LEFT + 55, 26), words.spread(tone.spread_cents), fonts.small())
    kind = tone.attack.kind if tone.attack else None
    canvas.text((_LEFT, 46), words.beginning(kind, tone.speak_ms), fonts.small())


def _explained(state: State, attempt: Attempt) -> str:
    tone = attempt.tone
    sounded = tone.partial if tone else None
    match attempt.outcome:
        case Outcome.SPOKE:
            return words.spoke(attempt.wanted, _name(state, attempt.wanted))
        case Outcome.CRACKED if tone is not None:
            return words.cracked(attempt.others)
        case Outcome.SPLIT:
            sound = heard(state)
            return words.split_result(sound.split if sound else ())
        case Outcome.OTHER if sounded is not None:
            return words.another(sounded, attempt.wanted)
        case _:
            return words.nothing(heard=tone is not None)


def _done(canvas: Canvas, state: State) -> None:
    tries = len(state.attempts)
    rungs = set(state.exercise.partials)
    reached = len(rungs & ladder.reached(state))
    rows = [(words.RUNGS, (reached, len(rungs))), (words.TRIES, (tries,)), (words.KEPT, (state.kept, tries))]
    for i, (word, numbers) in enumerate(rows):
        y = i * 18
        canvas.text((_LEFT, y + 5), word, fonts.small())
        _of(canvas, y, [str(number) for number in numbers])


def _of(canvas: Canvas, y: int, numbers: list[str]) -> None:
    """One number, or "this of that", ending at the right edge."""
    canvas.text((_RIGHT, y), numbers[-1], fonts.middle(), align="right")
    if len(numbers) > 1:
        x = _RIGHT - fonts.middle().measure(numbers[-1]) - 3
        canvas.text((x, y + 5), words.OF, fonts.small(), align="right")
        canvas.text((x - 13, y), numbers[0], fonts.middle(), align="right")


def _troubled(canvas: Canvas, state: State) -> None:
    """The whole width for the sentence; what is wanted stays above it, the buttons below."""
    canvas.text((1, -1), _heading(state), fonts.middle())
    notices.paragraph(canvas, (1, 15), state.trouble, notices.LINE, 5)


def _heading(state: State) -> str:
    if state.wanted is not None:
        return words.spoke(state.wanted, _name(state, state.wanted))
    return words.OVER if state.phase is Phase.DONE else words.LISTENING


def _partial(canvas: Canvas, partial: int | None) -> None:
    canvas.text((_LEFT, 0), words.UNKNOWN if partial is None else str(partial), fonts.great_numerals())


def _name(state: State, partial: int) -> str:
    return pretty(state.exercise.series.written_name(partial))


def _fingering(state: State) -> str:
    return f"{words.FINGERING} {pretty(state.exercise.series.fingering.written)}"


def _lines(canvas: Canvas, lines: list[str]) -> None:
    """The fingering, and a little lower what to do."""
    for line, y in zip(lines, (_CAPTION_Y, 38, 46), strict=False):
        canvas.text((_LEFT, y), line, fonts.small())
