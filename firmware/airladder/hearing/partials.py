"""Which partial of the fingered tube sounds, if any: a small decision each hop, held against the hops before.

The candidates are the partials of this tube at their own places, and "none of them". A partial is explained by a
likeness at its period; so are all partials of which it is a multiple, therefore the highest one with a likeness
near the best wins (as in P. McLeod and G. Wyvill, A smarter way to find pitch, Proc. ICMC 2005, with the places
known). What a hop says is added up along the best path through the candidates, where each change of candidate
costs (A. Viterbi, IEEE Trans. Inf. Theory 13 (1967) 260): noise must speak against a partial for some hops in a
row before it goes, a clean new note needs one.

Conventions
-----------
Candidates are counted like partials, 0 is none of them. Scores are logarithms of no fixed base, 0 the best.
"""

from __future__ import annotations

from bisect import bisect_right

from airladder.music.series import HIGHEST_PARTIAL, Series

NEAR_BEST = 0.73
"""Share of the best likeness at which a higher partial is preferred. Recorded fundamentals show their octave at up to
0.67 of it, overtones above a fundamental 8 dB weaker show themselves at 0.76 (19 of 20 hops)."""

_NONE_NEAR, _NONE_SHORTER = 0.92, 0.50  # "none of them" has to be the best nearly, and no partial half as good
_SOFT, _SOFTER = 0.03, 0.35  # what counts as a step in likeness: in a clean sound, and what noise adds
_CHANGE = 6.0  # steps that a change of partial costs
_FURTHER = 2.0 ** (15.0 / 1200.0)  # a partial that sounds is followed this far beyond the room in which it is found
_CANDIDATES = HIGHEST_PARTIAL + 1

Peak = tuple[float, float]
"""A lag in samples of the band, and its likeness."""


class PartialTrack:
    """Follows the partial hop by hop.

    Parameters
    ----------
    series : the tube
    rate : samples a second of the band

    Attributes
    ----------
    partial : 1 to 16, or 0 for none of them
    period : of what is believed to sound, in samples; 0 when nothing shows one
    likeness : at that period, -1 to 1
    """

    def __init__(self, series: Series, rate: int) -> None:
        self._series, self._rate = series, rate
        self.tune(1.0)
        self.forget()

    def tune(self, ratio: float) -> None:
        """This player's fundamental is `ratio` times the nominal one: the partials are expected as much higher."""
        self._edges = edges(self._series, self._rate, ratio)

    def feed(self, peaks: list[Peak]) -> None:
        """Take the peaks of the newest hop, the shortest lag first."""
        best = max([height for _, height in peaks], default=0.0)
        steps = 1.0 / (_SOFT + _SOFTER * max(0.0, 1.0 - best))
        near, shorter = NEAR_BEST * best, 0.0
        said = [-near * steps] * _CANDIDATES
        found: list[Peak] = [(0.0, 0.0)] * _CANDIDATES
        for peak in peaks:
            lag, height = peak
            owner = self._owner(lag)
            least, most = (near, near) if owner else (_NONE_NEAR * best, _NONE_SHORTER * best)
            score = (min(0.0, height - least) + min(0.0, most - shorter)) * steps
            if score > said[owner]:
                said[owner], found[owner] = score, peak
            shorter = max(shorter, height)
        self._add(said)
        self.period, self.likeness = found[self.partial]

    def _owner(self, lag: float) -> int:
        between = bisect_right(self._edges, lag)
        if between % 2:
            return HIGHEST_PARTIAL - between // 2
        shortest, longest = self._followed
        return self.partial if shortest < lag < longest else 0

    def _reach(self, partial: int) -> tuple[float, float]:
        """The lags up to which a partial that sounds is followed when it is bent, in samples."""
        if partial == 0:
            return 0.0, 0.0
        first = 2 * (HIGHEST_PARTIAL - partial)
        return self._edges[first] / _FURTHER, self._edges[first + 1] * _FURTHER

    def forget(self) -> None:
        """Nothing sounds: what was believed says nothing about what comes."""
        self._scores = [0.0] * _CANDIDATES
        self.partial, self._followed = 0, (0.0, 0.0)
        self.period = self.likeness = 0.0

    def _add(self, said: list[float]) -> None:
        worst = max(self._scores) - _CHANGE
        self._scores = [max(score, worst) + step for score, step in zip(self._scores, said, strict=True)]
        best = max(self._scores)
        self.partial = self._scores.index(best)
        self._followed = self._reach(self.partial)
        self._scores = [score - best for score in self._scores]


def edges(series: Series, rate: int, tuning: float = 1.0) -> list[float]:
    """The lags between which each partial lies, from the shortest lag of the highest one up, in samples.

    `tuning` is the ratio of this player's fundamental to the nominal one.
    """
    found = []
    for partial in range(HIGHEST_PARTIAL, 0, -1):
        lag = rate / (tuning * series.place_hz(partial))
        below, above = series.room_cents(partial)
        found += [lag * 2.0 ** (-above / 1200.0), lag * 2.0 ** (below / 1200.0)]
    return found
