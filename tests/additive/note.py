"""What the additive voice plays: one note, with everything that can go wrong in it, and each part of it known.

Conventions
-----------
Frequencies follow from the pure place of a partial, n times the nominal fundamental. Times in seconds, levels in
dB re full scale.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from airladder.music.series import HIGHEST_PARTIAL

LOUDEST_DBFS = -14.0
"""Above this the peaks of a rich low note would pass full scale."""


@dataclass(frozen=True)
class Note:
    """One note.

    Attributes
    ----------
    partial : the partial that sounds in the end, 1 to 16
    seconds : from the first sounding until the player lets go
    kind : started with the tongue, or with the air alone
    cents : where it lies above the pure place of the partial, in the mean of its steady part
    drift_cents : how far it rises, evenly, from its beginning to its end
    vibrato_cents, vibrato_hz : how far it sways to each side, and how often a second
    level_dbfs : rms level of the steady part, at most -14
    crack : another partial that sounds first, and for how long
    split_with : another partial that sounds at the same time
    split_cents : how far that one lies from its place, so that no one fundamental explains both
    undertone_db : level of the fundamental that rings under the partial, re the partial; None for none
    """

    partial: int
    seconds: float = 1.5
    kind: Literal["tongued", "air"] = "tongued"
    cents: float = 0.0
    drift_cents: float = 0.0
    vibrato_cents: float = 0.0
    vibrato_hz: float = 5.0
    level_dbfs: float = -18.0
    crack: tuple[int, float] | None = None
    split_with: int | None = None
    split_cents: float = -20.0
    undertone_db: float | None = None

    def __post_init__(self) -> None:
        others = (self.crack[0] if self.crack else None, self.split_with)
        if any(not 1 <= partial <= HIGHEST_PARTIAL for partial in (self.partial, *others) if partial is not None):
            raise ValueError(f"{self} has a partial that is none; wanted 1 to {HIGHEST_PARTIAL}.")
        if self.partial in others:
            raise ValueError(f"{self} cracks from, or splits with, its own partial; wanted another one.")
        if not 0.0 < (self.crack[1] if self.crack else self.seconds / 2) < self.seconds:
            raise ValueError(f"{self} is over before it is there; wanted a longer note.")
        if self.level_dbfs > LOUDEST_DBFS:
            raise ValueError(f"{self} is too loud; wanted {LOUDEST_DBFS:g} dBFS at most.")
