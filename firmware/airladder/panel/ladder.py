"""The picture of the practice: a ladder with one rung a partial, and the sound riding beside the wanted rung.

The rungs of the exercise stand on the left of the screen, as far apart as the partials are (log frequency of the
pure series). A rung already reached in this session is a solid line, one not yet reached is dotted. The wanted rung
is thick and cut in two: its left half stands, its right half is the sound. In tune the halves join into one line.

Two scales, on purpose. Between the rungs a pixel is worth some 80 cents, far too coarse to tune by. So the right
half rides by its own scale: 3 cents a pixel up to 15 cents, where tuning is done, then 15 cents a pixel up to 60,
where only the direction matters; beyond, it stops and turns into arrows. Joined halves are within 1.5 cents; a break
of two pixels, the first one sees from the stand, is 4.5 cents or more. The number beside the ladder says the rest.

Where an overtone is set against its usual fingering, the left half is the usual fingering, and the right half is the
overtone as it was just sounded: it lies above while the overtone is sharp of it.

A sound that is not the wanted partial is no bar: on another partial it is a hollow one, exactly on that rung; off
the ladder, arrows at its end; between partials, dots where its pitch lies; split, dots on each of its partials.

Conventions
-----------
`y` in pixels, down; heights above the fundamental in cents.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from airladder.music.pitch import cents
from airladder.music.series import Series
from airladder.panel import bars
from airladder.panel.bars import BOTTOM, TOP, Form, Mark
from airladder.panel.canvas import Canvas
from airladder.panel.heard import Heard, heard
from airladder.practice.ask import Task
from airladder.practice.attempt import Attempt
from airladder.practice.judge import ARRIVED
from airladder.practice.routine import Routine
from airladder.practice.state import Phase, State

FINE_CENTS, COARSE_CENTS, MOST_CENTS = 3.0, 15.0, 60.0
"""Cents a pixel near the rung; where that scale ends, and what a pixel is worth beyond; where the ride ends."""

MOST_PIXELS = 8
"""The ride's length to either side in pixels: 5 fine ones and 3 coarse ones."""

_HIGHEST_RUNG, _LOWEST_RUNG = TOP + MOST_PIXELS + 1, BOTTOM - MOST_PIXELS - 2
_NEAREST_RUNGS = 3.4
_ROOM_CENTS = 1200.0
_FREE_RUNGS = (1, 2, 3, 4, 5, 6)


@dataclass(frozen=True)
class Scale:
    """Heights in cents above the fundamental, from `low` to `high`, laid out between the lowest and highest rung."""

    low: float
    high: float

    def y(self, height: float) -> int:
        """The pixel row of a height, which may lie beyond the ends."""
        low, high = self.low, self.high
        if high <= low:  # a single rung stands in the middle, an octave of room above and below
            low, high = low - _ROOM_CENTS, high + _ROOM_CENTS
        share = (height - low) / (high - low)
        return round(_LOWEST_RUNG + share * (_HIGHEST_RUNG - _LOWEST_RUNG))


def ride(off: float) -> int:
    """How many pixels the right half stands above the left one, for cents sharp; at most `MOST_PIXELS` either way."""
    size = abs(off)
    fine = min(size, COARSE_CENTS) / FINE_CENTS
    coarse = max(0.0, min(size, MOST_CENTS) - COARSE_CENTS) / COARSE_CENTS
    return int(math.copysign(round(fine + coarse), off))


def height(series: Series, partial: int) -> float:
    """A partial's pure place in cents above the fundamental."""
    return cents(series.pure_hz(partial), series.fundamental_hz)


def shown(partials: Iterable[int], focus: int | None) -> tuple[int, ...]:
    """The rungs that are drawn, rising: all, or those round `focus` where all would stand too close together."""
    rungs = sorted(set(partials))
    middle = focus if focus is not None else rungs[0]
    while len(rungs) > 2 and _too_close(rungs):
        rungs = rungs[1:] if middle / rungs[0] > rungs[-1] / middle else rungs[:-1]
    return tuple(rungs)


def _too_close(rungs: Sequence[int]) -> bool:
    nearest = min(math.log2(upper / lower) for lower, upper in pairwise(rungs))
    room = _LOWEST_RUNG - _HIGHEST_RUNG
    return room * nearest / math.log2(rungs[-1] / rungs[0]) < _NEAREST_RUNGS


def reached(state: State) -> frozenset[int]:
    """The partials of the exercise's tube that were asked for and sounded in this session."""
    own = str(state.exercise.series.fingering)
    return frozenset(partial for fingering, partial in all_reached(state.attempts) if fingering == own)


def marks(sound: Heard, here: int | None, scale: Scale, series: Series) -> tuple[Mark, ...]:
    """How the sound is drawn beside rung `here`."""
    if len(sound.split) > 1:
        return tuple(_at(scale, height(series, partial), "dots") for partial in sound.split)
    if sound.partial is None:
        return () if sound.hz is None else (_at(scale, cents(sound.hz, series.fundamental_hz), "dots"),)
    if sound.partial != here or sound.cents is None:
        return (_at(scale, height(series, sound.partial), "hollow"),)
    return (_riding(scale.y(height(series, here)), sound.cents),)


def _riding(rung: int, off: float) -> Mark:
    y = rung - ride(off)
    if abs(off) > MOST_CENTS:
        return Mark(y, "up" if off > 0 else "down")
    return Mark(y, "joined" if y == rung else "bar")


def _at(scale: Scale, at: float, form: Form) -> Mark:
    y = scale.y(at)
    if y < TOP + 1:
        return Mark(TOP + 1, "up")
    if y > BOTTOM - 2:
        return Mark(BOTTOM - 2, "down")
    return Mark(y, form)


def all_rungs(routine: Routine) -> frozenset[tuple[str, int]]:
    """The rungs of a whole routine that are asked for one at a time, as (fingering, partial)."""
    return frozenset(
        (str(placed.ask.series.fingering), placed.ask.partials[-1])
        for placed in routine.placed
        if placed.ask.task is Task.PLAY
    )


def all_reached(attempts: Iterable[Attempt]) -> frozenset[tuple[str, int]]:
    """Those of them that sounded."""
    return frozenset(
        (attempt.asked.fingering, attempt.wanted)
        for attempt in attempts
        if attempt.outcome in ARRIVED and attempt.asked is not None and attempt.asked.task is Task.PLAY
    )


def standing(state: State) -> int | None:
    """The rung that is asked for, or set against a usual fingering; None when none is."""
    if state.wanted is None or state.ask.beside is None:
        return state.wanted
    return state.ask.beside.partial


def draw(canvas: Canvas, state: State) -> None:
    """Draw the ladder of a state."""
    series, sound = state.exercise.series, heard(state)
    here = sound.partial if sound and state.phase is Phase.FREE else standing(state)
    bars.rails(canvas)
    asked = state.exercise.rungs or (_FREE_RUNGS if state.phase is Phase.FREE else ())
    if not asked:
        return
    rungs, scale = _stood(canvas, series, shown(asked, here), reached(state))
    if here in rungs:
        bars.thick(canvas, bars.STANDING, scale.y(height(series, here)))
    for mark in marks(sound, here, scale, series) if sound else ():
        bars.draw_mark(canvas, mark)


def plain(canvas: Canvas, series: Series, asked: Iterable[int], solid: frozenset[int], here: int) -> None:
    """Draw a ladder on which nothing sounds, with rung `here` thick."""
    bars.rails(canvas)
    rungs, scale = _stood(canvas, series, shown(asked, here), solid)
    if here in rungs:
        bars.thick(canvas, bars.JOINED, scale.y(height(series, here)))


def _stood(
    canvas: Canvas, series: Series, rungs: tuple[int, ...], solid: frozenset[int]
) -> tuple[tuple[int, ...], Scale]:
    scale = Scale(height(series, rungs[0]), height(series, rungs[-1]))
    for partial in rungs:
        bars.rung(canvas, scale.y(height(series, partial)), solid=partial in solid)
    return rungs, scale
