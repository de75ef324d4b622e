"""What a try was, each thing by itself: reached or not, cents, how it began, how long it took, what was guessed."""

from __future__ import annotations

from airladder.hearing.events import Tone
from airladder.music.names import pretty
from airladder.panel import fonts, notices, words
from airladder.panel.canvas import Canvas
from airladder.panel.heard import heard, off, tells
from airladder.panel.pane import LEFT, LINE, MIDDLE_LINE, name_of, note
from airladder.practice.ask import Task
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome, steps
from airladder.practice.state import State

_CENTS_Y, _FOOT_Y, _SUNG_Y = 23, 46, 31
_UNITS_X = LEFT + 55


def draw(canvas: Canvas, state: State) -> None:
    """The result of the newest try."""
    attempt = state.last
    if attempt is None:
        return
    if attempt.difference_cents is not None and tells(state, attempt):
        _compared(canvas, state, attempt, attempt.difference_cents)
        return
    canvas.text((LEFT, -2), words.OUTCOMES[attempt.outcome], fonts.middle())
    canvas.text((LEFT, 13), _explained(state, attempt), fonts.small())
    if attempt.tone is not None:
        _cents(canvas, state, attempt)
        canvas.text((LEFT, _FOOT_Y), _foot(state, attempt), fonts.small())


def _compared(canvas: Canvas, state: State, attempt: Attempt, cents: float) -> None:
    """How far the overtone was from the usual fingering: now, or as the last tries were."""
    canvas.text((LEFT, -2), words.APART, fonts.middle())
    _told(canvas, state, attempt, cents)
    name = pretty(state.ask.series.fingering.written)
    partial = attempt.wanted if state.ask.beside is None else state.ask.beside.partial
    canvas.text((LEFT, 13), words.than(cents, partial, name), fonts.small())
    if attempt.guess is not None:
        canvas.text((LEFT, _FOOT_Y), words.guessed(attempt.guess, cents), fonts.small())
    elif attempt.outcome is Outcome.CRACKED:
        canvas.text((LEFT, _FOOT_Y), words.cracked(attempt.others), fonts.small())
    elif state.ask.beside is not None:
        canvas.text((LEFT, _FOOT_Y), words.below(state.ask.beside), fonts.small())


def _number(canvas: Canvas, cents: float | None) -> None:
    canvas.text((LEFT, _CENTS_Y), words.signed(cents), fonts.large())
    canvas.text((_UNITS_X, 35), words.CENTS, fonts.small())


def _cents(canvas: Canvas, state: State, attempt: Attempt) -> None:
    tone, cents = attempt.tone, off(attempt)
    if tone is None or cents is None or not tells(state, attempt):
        return
    _told(canvas, state, attempt, cents)
    if tone.spread_cents is not None and state.ask.feedback.every == 1:
        canvas.text((_UNITS_X, 26), words.spread(tone.spread_cents), fonts.small())


def _told(canvas: Canvas, state: State, attempt: Attempt, cents: float) -> None:
    """The cents of this try, or of the last ones together; a try that has none keeps its place."""
    every = state.ask.feedback.every
    if every == 1:
        _number(canvas, cents)
        return
    newest = " ".join(words.signed(off(one)) for one in _alike(state, attempt)[-every:])
    if len(newest) <= MIDDLE_LINE:
        canvas.text((LEFT, _CENTS_Y), newest, fonts.middle())
    else:
        notices.paragraph(canvas, (LEFT, _CENTS_Y + 2), newest, LINE, 2)


def _alike(state: State, attempt: Attempt) -> list[Attempt]:
    """The tries of the exercise whose cents are measured from the same as those of `attempt`."""
    against = attempt.asked and attempt.asked.interval
    return [one for one in state.here if (one.asked and one.asked.interval) == against]


def _foot(state: State, attempt: Attempt) -> str:
    """The start, where another was asked for; else what was guessed, how it was held, or how it began and spoke."""
    asked, tone = attempt.asked, attempt.tone
    kind = tone.attack.kind if tone is not None and tone.attack else None
    if kind is not None and asked is not None and attempt.begun_as_asked is False:
        return f"{words.BEGINNINGS[kind]}, {words.not_begun(asked.start)}"
    if attempt.guess is not None:
        return words.guessed(attempt.guess, off(attempt) if tells(state, attempt) else None)
    if asked is not None and asked.swell:
        return words.swelled(attempt.held, attempt.swell_db)
    if asked is not None and asked.hold:
        return words.held_of(attempt.held, asked.hold)
    return words.beginning(kind, tone.speak_ms if tone else None)


def _explained(state: State, attempt: Attempt) -> str:
    tone, asked = attempt.tone, attempt.asked
    sounded = tone.partial if tone else None
    match attempt.outcome:
        case Outcome.SPOKE | Outcome.RESTARTED if asked is not None and asked.task is Task.SLUR:
            return words.fitting(words.slur(asked.partials), LINE)
        case Outcome.SPOKE if state.ask.beside is not None:
            return words.below(state.ask.beside)
        case Outcome.SPOKE:
            return words.spoke(attempt.wanted, name_of(state, attempt.wanted))
        case Outcome.CRACKED if tone is not None:
            return words.cracked(attempt.others)
        case Outcome.SPLIT:
            sound = heard(state)
            return words.split_result(sound.split if sound else ())
        case Outcome.OTHER if tone is not None and sounded is not None:
            return _other(state, attempt, tone, sounded)
        case _:
            return words.nothing(heard=tone is not None)


def _other(state: State, attempt: Attempt, tone: Tone, sounded: int) -> str:
    if state.ask.beside is not None:
        return words.of_usual(sounded, pretty(state.ask.series.fingering.written))
    way = steps(tone)
    if attempt.asked is not None and attempt.asked.task is Task.SLUR and way:
        return words.fitting(words.went(way), LINE)
    return words.another(sounded, attempt.wanted)


def sung(canvas: Canvas, state: State) -> None:
    """What was sung, from the nearest octave of the pitch wanted."""
    canvas.text((LEFT, 4), words.SUNG, fonts.middle())
    if state.ask.partials:
        note(canvas, name_of(state, state.ask.partials[-1]))
    if state.sung is not None:
        canvas.text((LEFT, _SUNG_Y), words.signed(state.sung.cents), fonts.large())
        canvas.text((_UNITS_X, _SUNG_Y + 3), words.spread(state.sung.spread_cents), fonts.small())
        canvas.text((_UNITS_X, _SUNG_Y + 12), words.CENTS, fonts.small())
