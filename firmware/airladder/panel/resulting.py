"""What a try was, each thing by itself: reached or not, cents, how it began, how long it took, what was guessed."""

from __future__ import annotations

from airladder.music.names import pretty
from airladder.panel import fonts, notices, words
from airladder.panel.canvas import Canvas
from airladder.panel.heard import heard, tells
from airladder.panel.pane import LEFT, LINE, lines, name_of, note
from airladder.practice.ask import Task
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome
from airladder.practice.state import State

_CENTS_Y, _FOOT_Y = 23, 46
_UNITS_X = LEFT + 55


def draw(canvas: Canvas, state: State) -> None:
    """The result of the newest try."""
    attempt = state.last
    if attempt is None:
        return
    if attempt.difference_cents is not None:
        _compared(canvas, state, attempt, attempt.difference_cents)
        return
    canvas.text((LEFT, -2), words.OUTCOMES[attempt.outcome], fonts.middle())
    canvas.text((LEFT, 13), _explained(state, attempt), fonts.small())
    if attempt.tone is not None:
        _cents(canvas, state, attempt)
        canvas.text((LEFT, _FOOT_Y), _foot(attempt), fonts.small())


def _compared(canvas: Canvas, state: State, attempt: Attempt, cents: float) -> None:
    """How far the overtone was from the usual fingering."""
    canvas.text((LEFT, -2), words.APART, fonts.middle())
    _number(canvas, cents)
    name = pretty(state.ask.series.fingering.written)
    canvas.text((LEFT, 13), words.than(cents, name), fonts.small())
    if attempt.guess is not None:
        canvas.text((LEFT, _FOOT_Y), words.guessed(attempt.guess), fonts.small())
    elif state.ask.beside is not None:
        canvas.text((LEFT, _FOOT_Y), words.below(state.ask.beside), fonts.small())


def _number(canvas: Canvas, cents: float | None) -> None:
    canvas.text((LEFT, _CENTS_Y), words.signed(cents), fonts.numerals())
    canvas.text((_UNITS_X, 35), words.CENTS, fonts.small())


def _cents(canvas: Canvas, state: State, attempt: Attempt) -> None:
    tone = attempt.tone
    if tone is None or tone.cents is None or attempt.outcome is Outcome.SPLIT:  # of two at once: those of neither
        return
    if not tells(state, attempt):
        return
    if state.ask.feedback.every > 1:
        newest = [one.tone.cents for one in state.here[-state.ask.feedback.every :] if one.tone]
        notices.paragraph(canvas, (LEFT, _CENTS_Y), " ".join(words.signed(cents) for cents in newest), LINE, 2)
        return
    _number(canvas, tone.cents)
    if tone.spread_cents is not None:
        canvas.text((_UNITS_X, 26), words.spread(tone.spread_cents), fonts.small())


def _foot(attempt: Attempt) -> str:
    """How it began and spoke; or how it was held, where that was asked for."""
    asked, tone = attempt.asked, attempt.tone
    if asked is not None and asked.swell:
        return words.swelled(attempt.swell_db)
    if asked is not None and asked.hold:
        return words.held_of(attempt.held, asked.hold)
    kind = tone.attack.kind if tone is not None and tone.attack else None
    if kind is not None and asked is not None and attempt.begun_as_asked is False:
        return f"{words.BEGINNINGS[kind]}, {words.not_begun(asked.start)}"
    return words.beginning(kind, tone.speak_ms if tone else None)


def _explained(state: State, attempt: Attempt) -> str:
    tone, asked = attempt.tone, attempt.asked
    sounded = tone.partial if tone else None
    match attempt.outcome:
        case Outcome.SPOKE | Outcome.RESTARTED if asked is not None and asked.task is Task.SLUR:
            return words.slur(asked.partials)[:LINE]
        case Outcome.SPOKE if state.ask.beside is not None:
            return words.below(state.ask.beside)
        case Outcome.SPOKE:
            return words.spoke(attempt.wanted, name_of(state, attempt.wanted))
        case Outcome.CRACKED if tone is not None:
            return words.cracked(attempt.others)
        case Outcome.SPLIT:
            sound = heard(state)
            return words.split_result(sound.split if sound else ())
        case Outcome.OTHER if sounded is not None and state.ask.beside is None:
            return words.another(sounded, attempt.wanted)
        case _:
            return words.nothing(heard=tone is not None)


def sung(canvas: Canvas, state: State) -> None:
    """What was sung, from the nearest octave of the pitch wanted."""
    canvas.text((LEFT, 4), words.SUNG, fonts.middle())
    if state.ask.partials:
        note(canvas, name_of(state, state.ask.partials[-1]))
    if state.sung is not None:
        lines(canvas, [f"{words.signed(state.sung.cents)} {words.CENTS}", words.spread(state.sung.spread_cents)])
