"""An invented pupil: mostly right, and wrong once in each way that the demonstration should show.

No real person's playing. The script says what breath, tongue, lip and throat do, the small differences come from a
seed; what sounds is the reed's affair.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from airladder.faults import BadInput
from airladder.virtualhorn.gesture import Gesture
from airladder.virtualhorn.mouth import PLAYABLE, SPLITTING

_SLIPS = {
    2: Gesture(2, kind="air", air_seconds=0.4, breath=0.8, noise=0.05),
    3: Gesture(2),
    4: Gesture(5, moves=((0.25, 4),)),
    5: Gesture(5, setting=SPLITTING[0], noise=0.005),
    6: Gesture(6, lip_drift=1.0),
}
"""What happens at the first try at a partial, the first time that it is wanted."""


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

    def next_gesture(self, wanted: int, tries: int) -> Gesture:
        """What the next note is if `wanted` is still wanted by then; nothing is decided by asking.

        Parameters
        ----------
        wanted : the partial asked for
        tries : how often it has been tried since it was asked for; after a slip the next try is right

        Raises
        ------
        BadInput : for a partial that nobody can play here.
        """
        if not 1 <= wanted <= PLAYABLE:
            raise BadInput(f"The invented player was asked for partial {wanted}; ask for 1 to {PLAYABLE}.")
        rng = np.random.default_rng((self._seed, self._played))
        plain = Gesture(wanted)
        return replace(
            self._to_come.get(wanted, plain) if tries == 0 else plain,
            seconds=float(rng.uniform(1.5, 2.0)),
            lip=float(rng.uniform(-0.3, 0.3)),
            level_dbfs=float(rng.uniform(-20.0, -17.0)),
        )

    def begins(self, wanted: int, tries: int) -> None:
        """The note so asked for begins: no slip is made twice."""
        self._played += 1
        if tries == 0:
            self._to_come.pop(wanted, None)
