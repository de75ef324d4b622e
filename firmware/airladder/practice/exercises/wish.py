"""What is wanted of an exercise; all that is left out is the exercise's own usual (`catalogue.toml`)."""

from __future__ import annotations

from dataclasses import dataclass

from airladder.music.series import Against, Series
from airladder.music.usual import Interval
from airladder.practice.ask import Start
from airladder.practice.exercise import Kind
from airladder.practice.feedback import Feedback


@dataclass(frozen=True)
class Wish:
    """One exercise, as a routine file or the coach wants it.

    Attributes
    ----------
    kind : which exercise
    series : the fingered tube
    partials : which partials; empty: as the exercise has them. Of a slur: the steps of one slur
    repeats : how often the whole is gone through
    tries : how often one thing may be tried before the practice moves on
    start : how notes are to begin; of STARTS None means tongued and air in turn
    mixed : of STARTS: tongued and air in mixed order instead of in turn
    hold : how long a note is held, or how long a rest or free playing lasts, s
    swell : whether a long tone grows and falls
    intervals : of LOW: how far below the usual fingerings are; empty: all that the horn has
    guess : whether the player guesses sharp or flat before the cents are shown
    feedback : how much is said after a try
    hush : the silent moment before a try, s
    against : what the cents are measured from
    """

    kind: Kind
    series: Series
    partials: tuple[int, ...] = ()
    repeats: int = 1
    tries: int | None = None
    start: Start | None = None
    mixed: bool = False
    hold: float | None = None
    swell: bool = False
    intervals: tuple[Interval, ...] = ()
    guess: bool | None = None
    feedback: Feedback | None = None
    hush: float | None = None
    against: Against = Against.TEMPERED
