"""An invented pupil: mostly right, and wrong once in each way that the demonstration should show.

No real person's playing; the slips and their order are a script, the small differences come from a seed.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from airladder.virtualhorn.note import Note

_SLIPS = {
    2: Note(2, kind="air"),
    3: Note(2),
    4: Note(4, crack=(3, 0.25)),
    5: Note(5, split_with=4),
    6: Note(6, drift_cents=14.0),
}
"""What happens at the first try at a partial, the first time that it is wanted."""


class Player:
    """Plays what is wanted, in the way of a pupil.

    Parameters
    ----------
    seed : chooses how long, how loud and how well in tune each note is
    """

    def __init__(self, seed: int = 1) -> None:
        self._rng = np.random.default_rng(seed)
        self._to_come = dict(_SLIPS)

    def next_note(self, wanted: int, tries: int) -> Note:
        """The next note.

        Parameters
        ----------
        wanted : the partial asked for, 1 to 16
        tries : how often it has been tried since it was asked for; after a slip the next try is right
        """
        note = Note(wanted)
        if tries == 0:
            note = self._to_come.pop(wanted, note)
        return replace(
            note,
            seconds=float(self._rng.uniform(1.5, 2.0)),
            cents=float(self._rng.uniform(-9.0, 9.0)),
            level_dbfs=float(self._rng.uniform(-20.0, -17.0)),
        )
