"""An exercise: a fingered tube, and the rungs to climb on it.

Conventions
-----------
A rung is one partial that is asked for. It may be tried a few times and is then left in peace: nothing is forced.
"""

from __future__ import annotations

from dataclasses import dataclass

from airladder.music.series import Against, Series


@dataclass(frozen=True)
class Exercise:
    """What is to be sounded.

    Attributes
    ----------
    name : what the player calls it, lower case, at most 20 characters (it stands on the screen)
    series : the tube
    partials : the rungs in the order in which they are asked for
    tries : how often one rung is tried before the exercise moves on
    against : what the cents are measured from
    """

    name: str
    series: Series
    partials: tuple[int, ...]
    tries: int = 3
    against: Against = Against.TEMPERED


def first_rungs(series: Series, against: Against = Against.TEMPERED) -> Exercise:
    """The first exercise: the fundamental, then partials 2 to 6 rising, on one fingering (common practice)."""
    return Exercise("partials rising", series, (1, 2, 3, 4, 5, 6), against=against)
