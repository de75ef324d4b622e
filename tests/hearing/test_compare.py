"""The compare exercise on recorded saxophones, through the whole program: the difference is the one that Praat finds.

Two recorded notes follow each other, the first bent by a known amount and taken for the overtone, the second for the
usual fingering. Their pitches are measured by Praat's autocorrelation (P. Boersma, Proc. Inst. Phonetic Sciences 17,
1993, 97-110). Both recordings are of usual fingerings (fluid-soundfont-gm holds no overtones): what is checked is the
difference, not whether an overtone is told from a fingering.
"""

from __future__ import annotations

import numpy as np
import pytest

from airladder.app.program import Program
from airladder.hearing.block import HOP, RATE, Block, Samples
from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS, Horn
from airladder.music.pitch import cents
from airladder.music.series import SEMITONES, Series
from airladder.music.usual import Interval, usual
from airladder.pages.box import practising
from airladder.practice.attempt import Attempt
from airladder.practice.exercise import Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.judge import ARRIVED
from airladder.practice.routine import Routine
from airladder.practice.session import begin
from saxophones import Played, render_many
from slowpitch import slow_pitch_hz

WITHIN_CENTS = 3.0
"""Recorded notes sway by 3 to 8 cents; two ways to take their middle differ by less than this."""

PAUSE = np.zeros(3 * RATE, np.float32)


def practised(routine: Routine, samples: Samples) -> tuple[Attempt, ...]:
    """The tries that the program makes of a recording."""
    program = Program(practising(begin(routine)))
    for index in range(len(samples) // HOP):
        inside = samples[index * HOP : (index + 1) * HOP]
        program.take(Block(inside, index, (index + 1) * HOP / RATE))
    program.finish()
    assert program.last is not None
    return program.last.attempts


def compared(horn: Horn, partial: int, interval: Interval, bend_cents: float) -> tuple[float | None, float]:
    """What the exercise says, and what Praat says."""
    series = Series(horn, fingerings_of(horn)["Bb3"])
    number = series.fundamental_number + SEMITONES[partial - 1]
    low = usual(series, partial, interval)
    assert low is not None
    played = [Played(horn, number, bend_cents=bend_cents), Played(horn, number - interval.semitones)]
    overtone, below = render_many(played)
    kind = Kind.COMPARE if interval is Interval.UNISON else Kind.LOW
    intervals = () if interval is Interval.UNISON else (interval,)
    wish = Wish(kind, series, (partial,), intervals=intervals, guess=False, hush=0.0)
    tries = practised(Routine("compare", (built(wish),)), np.concatenate([overtone, PAUSE, below, PAUSE]))
    assert len(tries) == 2
    assert all(attempt.outcome in ARRIVED for attempt in tries)  # some recordings begin an octave low: a crack
    truth = cents(slow_pitch_hz(overtone), interval.ratio * slow_pitch_hz(below))
    return tries[-1].difference_cents, truth


@pytest.mark.parametrize("horn", HORNS.values(), ids=lambda horn: horn.name)
@pytest.mark.parametrize(
    ("partial", "interval"),
    [(2, Interval.UNISON), (3, Interval.UNISON), (4, Interval.OCTAVE), (3, Interval.FIFTH), (4, Interval.TWELFTH)],
)
@pytest.mark.parametrize("bend_cents", [-25.0, 12.0])
def test_the_difference_of_two_recorded_notes_is_the_measured_one(
    horn: Horn, partial: int, interval: Interval, bend_cents: float
) -> None:
    found, truth = compared(horn, partial, interval, bend_cents)
    assert found == pytest.approx(truth, abs=WITHIN_CENTS)
