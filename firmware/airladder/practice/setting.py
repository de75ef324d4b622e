"""For whom, and on what, a practice is made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from airladder.music.fingerings import Fingering
from airladder.music.series import Against, Series

FIRST_REACH = 3
"""The partial asked for first of somebody of whom nothing is known: on low B flat written F5 (common practice)."""


@dataclass(frozen=True)
class Setting:
    """The player's horn and how far the player has come.

    Attributes
    ----------
    series : the tube that is set: horn, fingering, A4
    against : what the cents are measured from
    reach : by the written name of a fingering, the highest partial that is asked for: one above those that speak
    day : which day of practice this is, from 1
    """

    series: Series
    against: Against = Against.TEMPERED
    reach: Mapping[str, int] = field(default_factory=dict)
    day: int = 1

    def on(self, fingering: Fingering) -> Series:
        """The same horn, fingered so."""
        return replace(self.series, fingering=fingering)

    def reach_on(self, series: Series) -> int:
        """The highest partial to be asked for on a tube: within the player's reach, and within the tube's."""
        return min(self.reach.get(str(series.fingering), FIRST_REACH), series.top_partial)
