"""How breath, lip and vocal tract are set for each partial. Searched for, not measured: tests/bench/mouths.py.

The search made the wanted mode the one that grows fastest when the reed begins to move, then kept what really
sounded, for tongued and air starts, soft and loud, on several tubes. As with real players the resonance of the tract
lies above the note wanted, and is needed the more the higher the partial (J.-M. Chen, J. Smith, J. Wolfe, J. Acoust.
Soc. Am. 129 (2011) 415-426). One setting serves every horn and fingering, for reeds go with the size of the horn.

Conventions
-----------
Pressures in units of the one that shuts the reed, impedances of the bore's characteristic one.
"""

from __future__ import annotations

from dataclasses import astuple, dataclass

from airladder.music.series import Series
from airladder.virtualhorn.bore import DISPLACED_PERIODS


@dataclass(frozen=True)
class Mouth:
    """All that a player sets, on one tube.

    Attributes
    ----------
    breath : pressure in the mouth
    opening : flow that the slit lets through, the reed at rest
    tract_hz, tract_height, tract_q : the resonance of the vocal tract
    reed_hz, reed_q : the resonance of the reed under the lip
    displaced : flow per speed of the reed, s
    """

    breath: float
    opening: float
    tract_hz: float
    tract_height: float
    tract_q: float
    reed_hz: float
    reed_q: float
    displaced: float

    def towards(self, other: Mouth, share: float) -> Mouth:
        """The mouth that lies `share` of the way to `other`: geometrically, as pitches lie."""
        pairs = zip(astuple(self), astuple(other), strict=True)
        return Mouth(*(mine * (its / mine) ** share for mine, its in pairs))


@dataclass(frozen=True)
class Setting:
    """The same for any tube.

    Attributes
    ----------
    partial : the partial that it is made for, or that its tract is tuned by
    breath, opening : as of a Mouth
    tract : where the tract resonates, re the place of the partial
    height, tract_q : its peak
    reed, reed_q : where the reed resonates, re the fundamental; how little the lip damps it
    displaced : what the moving reed displaces, re its usual value
    """

    partial: int
    breath: float
    opening: float
    tract: float
    height: float
    tract_q: float
    reed: float
    reed_q: float
    displaced: float = 1.0

    def on(self, series: Series) -> Mouth:
        """The mouth so set, on the tube of `series`."""
        low = series.fundamental_hz
        return Mouth(
            breath=self.breath,
            opening=self.opening,
            tract_hz=self.tract * series.place_hz(self.partial),
            tract_height=self.height,
            tract_q=self.tract_q,
            reed_hz=self.reed * low,
            reed_q=self.reed_q,
            displaced=self.displaced * DISPLACED_PERIODS / low,
        )


_CLEAN = (
    Setting(1, 0.891, 0.600, 1.228, 14.41, 5.98, 22.79, 2.04),
    Setting(2, 0.692, 0.254, 1.137, 11.11, 7.66, 9.94, 1.68),
    Setting(3, 0.761, 0.155, 1.083, 16.00, 8.16, 26.00, 3.50),
    Setting(4, 0.719, 0.177, 1.117, 16.00, 8.61, 21.62, 2.59),
    Setting(5, 0.832, 0.145, 1.081, 16.53, 8.60, 18.86, 3.37),
    Setting(6, 0.800, 0.157, 1.099, 15.92, 8.57, 21.94, 3.15),
    Setting(7, 0.729, 0.200, 1.164, 18.83, 7.96, 21.56, 3.54),
    Setting(8, 0.908, 0.334, 1.186, 20.14, 8.13, 19.34, 4.03),
)

PLAYABLE = len(_CLEAN)
"""Partials 1 to this one can be played."""

SPLITTING = (
    Setting(3, 0.871, 0.661, 1.016, 7.67, 5.82, 14.99, 0.97, 1.29),
    Setting(3, 0.772, 0.527, 1.089, 10.31, 8.36, 9.34, 1.96, 1.72),
    Setting(4, 0.874, 0.427, 1.070, 9.16, 6.85, 8.33, 2.31, 2.10),
    Setting(3, 0.803, 0.638, 1.198, 4.91, 9.02, 8.84, 1.43, 2.32),
    Setting(3, 0.747, 0.481, 1.046, 8.76, 8.37, 6.46, 1.15, 2.41),
    Setting(5, 0.809, 0.444, 1.363, 13.89, 7.83, 5.29, 1.41, 1.33),
    Setting(4, 0.856, 0.321, 1.429, 12.26, 11.94, 8.39, 0.86, 1.15),
    Setting(6, 0.880, 0.339, 1.101, 13.36, 11.53, 21.83, 2.15, 1.45),
    Setting(4, 0.846, 0.427, 1.006, 10.39, 10.23, 7.99, 1.71, 0.85),
)
"""These let two partials sound at once, on most tubes; which, must be measured."""

UNDERTONES = (
    Setting(5, 0.809, 0.23, 1.165, 12.463, 8.879, 7.149, 2.155, 0.508),
    Setting(4, 0.775, 0.197, 1.296, 10.639, 9.392, 9.577, 1.149, 0.867),
    Setting(5, 0.773, 0.263, 1.144, 9.016, 6.175, 8.005, 0.93, 0.69),
    Setting(4, 0.751, 0.195, 1.298, 8.631, 9.286, 9.196, 3.02, 1.42),
    Setting(4, 0.679, 0.384, 1.352, 7.05, 8.354, 7.365, 3.468, 2.498),
    Setting(6, 0.689, 0.289, 1.203, 4.973, 7.142, 9.77, 3.902, 1.732),
    Setting(5, 0.89, 0.378, 1.008, 17.307, 5.493, 7.143, 1.319, 1.02),
    Setting(6, 0.76, 0.297, 1.041, 15.391, 8.441, 10.518, 1.263, 1.788),
    Setting(5, 0.833, 0.363, 1.195, 8.134, 6.464, 6.765, 3.054, 2.028),
    Setting(6, 0.725, 0.303, 1.178, 5.752, 7.389, 6.791, 2.897, 1.498),
)
"""With these the motion has the period of the fundamental, but on some tubes partial 2 or 3 outweighs it by far."""


def setting_for(partial: int) -> Setting:
    """What makes `partial` sound.

    Raises
    ------
    ValueError : for a partial that no setting is known for.
    """
    if not 1 <= partial <= PLAYABLE:
        raise ValueError(f"Partial {partial} is not played here; wanted 1 to {PLAYABLE}.")
    return _CLEAN[partial - 1]
