"""An invented pupil: mostly right, and wrong once in each way that the demonstration should show.

No real person's playing. The script says what breath, tongue, lip and throat do, the small differences come from a
seed; what sounds is the reed's affair.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from airladder.faults import BadInput
from airladder.music.fingerings import Fingering
from airladder.music.names import Name
from airladder.music.series import Series
from airladder.virtualhorn.gesture import Gesture, Kind
from airladder.virtualhorn.mouth import PLAYABLE, SPLITTING


@dataclass(frozen=True)
class Wanted:
    """What the player is asked for.

    Attributes
    ----------
    series : the fingered tube
    partials : one, or those of a slur
    kind : how the note is to begin
    hold : for how long it is to be held, s
    tries : how often it has been tried since it was asked for; after a slip the next try is right
    number : another number asks anew for the same
    """

    series: Series
    partials: tuple[int, ...]
    kind: Kind = "tongued"
    hold: float = 0.0
    tries: int = 0
    number: int = 0


_SLIPS = {
    2: Gesture(2, kind="air", air_seconds=0.4, breath=0.8, noise=0.05),
    3: Gesture(2),
    4: Gesture(5, moves=((0.25, 4),)),
    5: Gesture(5, setting=SPLITTING[0], noise=0.005),
    6: Gesture(6, lip_drift=1.0),
}
"""What happens at the first try at a partial, the first time that it is wanted."""


_BEGINNINGS = {"tongued": Gesture(1), "air": Gesture(1, kind="air", air_seconds=0.4, breath=0.8, noise=0.05)}
_HIGHEST_FIRST = 73
"""Written C sharp 5: what lies above is fingered as the note an octave below, and sounds on its second partial."""

_STEP_SECONDS = 0.9  # of a slur


class Player:
    """Plays what is wanted, in the way of a pupil.

    Parameters
    ----------
    seed : chooses how long, how loud and how well in tune each note is
    """

    def __init__(self, seed: int = 1) -> None:
        self._seed = seed
        self._played = 0
        self._to_come = dict(_SLIPS)

    def next_gesture(self, wanted: Wanted) -> tuple[Series, Gesture]:
        """What the next note is if that is still wanted by then, and on which tube; nothing is decided by asking.

        Raises
        ------
        BadInput : for a partial that nobody can play here.
        """
        if not all(1 <= partial <= PLAYABLE for partial in wanted.partials):
            asked = max(wanted.partials, key=abs)
            raise BadInput(f"The invented player was asked for partial {asked}; ask for 1 to {PLAYABLE}.")
        rng = np.random.default_rng((self._seed, self._played))
        series, partials = _fingered(wanted)
        first, *others = partials
        moves = tuple((_STEP_SECONDS * n, partial) for n, partial in enumerate(others, start=1))
        plain = replace(_BEGINNINGS[wanted.kind], partial=first, moves=moves)
        gesture = self._to_come.get(first, plain) if self._slips(wanted) else plain
        return series, replace(
            gesture,
            seconds=max(wanted.hold, _STEP_SECONDS * len(others)) + float(rng.uniform(1.5, 2.0)),
            lip=float(rng.uniform(-0.3, 0.3)),
            level_dbfs=float(rng.uniform(-20.0, -17.0)),
        )

    def begins(self, wanted: Wanted) -> None:
        """The note so asked for begins: no slip is made twice."""
        self._played += 1
        if self._slips(wanted):
            self._to_come.pop(wanted.partials[0], None)

    def _slips(self, wanted: Wanted) -> bool:
        """Slips belong to plain tries at one overtone."""
        plain = len(wanted.partials) == 1 and wanted.kind == "tongued" and wanted.hold == 0.0
        return plain and wanted.tries == 0


def _fingered(wanted: Wanted) -> tuple[Series, tuple[int, ...]]:
    """The tube that sounds: a usual fingering above C sharp 5 is that of the octave below, or of two below."""
    series, partials = wanted.series, wanted.partials
    while partials == (partials[0],) and series.fingering.written.number > _HIGHEST_FIRST:
        name = series.fingering.written
        lower = Name(name.letter, name.accidental, name.octave - 1)
        series = replace(series, fingering=Fingering(lower, long=False))
        partials = (2 * partials[0],)
    return series, partials
