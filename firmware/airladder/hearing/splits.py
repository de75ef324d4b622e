"""Hears when more than one partial sounds at once: an undertone, or a split note.

One partial alone gives lines at whole multiples of its own frequency. With another partial under it, or when two
do not lock (multiphonics as quasi-periodic motion of two modes: J.-B. Doc, C. Vergez, S. Missoum, Acta Acustica
100 (2014) 543-554), there are lines that it does not explain. Two questions tell:

- Are there lines near places of other partials, far from the multiples of the partial that is heard?
- If not, or if what is heard is the fundamental, whose multiples lie near all places: are the lines exact
  multiples, or shifted? A pitch tracker calls the spacing of a split's lines a fundamental, and steady.

Two partials that beat look like a note that is tongued again and again: a dip ends no split whose lines go on.

Conventions
-----------
A window is 171 ms, 256 ms on the lowest tubes; a verdict falls every 85 ms, every 43 ms where there is doubt or a
split. An undertone is named when all its lines together are within UNDERTONE_DB of all else in the band.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import Samples
from airladder.hearing.lines import BAND_HOP, Floats, Lines, LineWindow
from airladder.hearing.pairs import comb_hz, inside, off_comb, on_place, pair_of
from airladder.music.series import HIGHEST_PARTIAL, Series

UNDERTONE_DB = -19.5
"""What is weaker, re all else that sounds, is not named."""

_LOW_TUBE_HZ, _SHORT, _LONG = 90.0, 2048, 3072  # fundamentals below it need the longer window
_WEAKEST_DB = -26.0  # a line below this, re the strongest, is no matter
_ABOVE_NOISE = 14.0  # in power; noise alone is that strong now and then, but hardly twice in a row
_SELDOM, _OFTEN = 16, 8  # hops between two looks: while one partial sounds, and while there is doubt
_TRUSTED_HOPS = 16  # for so long what the tracker heard last still holds
_SIDE_BANDS = 0.3  # of the fundamental: what lies this near to a stronger line belongs to it
_NEAR = 0.25  # of the fundamental: what lies further from a place does not belong there
_STRAY = 0.5  # of the strangers' power: with more of it near no place at all, this is another instrument
_SHIFTED, _SHIFTED_SHARE = 0.20, 0.008  # bins and share of the pitch: so far from multiples vibrato brings no line
_STILL = 0.55  # of all that, for what has been named already
_EXACT = 0.25  # bins: strangers this near to multiples of one frequency are one partial's
_OF_STRANGERS_DB = -14.0  # re the strongest of them: those that tell whose they are
_AT_ONCE = 0.25  # of half a window: lines further apart in time sounded one after the other
_KEPT_DB = -3.0  # what has been named is still named when it is so much weaker
_BEFORE = -0.2  # of half a window: lines earlier than that, after a dip, belong to the note before it
_BEGINS, _ENDS, _ENDS_AFTER_DIP = 2, 3, 2  # verdicts in a row
_HARMONICS = 8  # lines up to this multiple are asked whether they are shifted

Flags = npt.NDArray[np.bool_]


class SplitWatch:
    """Follows one note and says which partials sound at once."""

    def __init__(self, series: Series) -> None:
        self._series = series
        self._fundamental = series.fundamental_hz
        count = _SHORT if self._fundamental >= _LOW_TUBE_HZ else _LONG
        self._window = LineWindow(self._fundamental, count)
        places = [series.place_hz(partial) for partial in range(1, HIGHEST_PARTIAL + 1)]
        self._edges = [math.sqrt(low * high) for low, high in pairwise(places)]
        self._needed = count // BAND_HOP
        self.restart()

    def restart(self, *, after_dip: bool = False) -> None:
        """A new note begins.

        Parameters
        ----------
        after_dip : whether the sound did not stop before it. Then it may as well be the beat of a split, which goes
            on as long as its lines do; otherwise nothing of the note before is heard in the new one
        """
        self._fresh = 0
        if after_dip:
            return
        self._hops: list[Samples] = []
        self._fed = self._doubts = 0
        self._wait = _SELDOM
        self._hz, self._unheard = 0.0, _TRUSTED_HOPS
        self._split: tuple[int, ...] = ()

    def feed(self, samples: Samples, hz: float | None) -> tuple[int, ...]:
        """The partials that sound at once; empty when one alone does, and until a window is full.

        Parameters
        ----------
        samples : the newest hop, shape (256,); it is kept for some hops and must not change
        hz : the frequency that the pitch tracker hears, Hz, or None
        """
        self._hops.append(samples)
        self._fed += 1
        self._fresh += 1
        self._unheard += 1
        if hz is not None:
            self._hz, self._unheard = hz, 0
        self._wait -= 1
        if not self._wait:
            self._look()
        return self._split

    def _look(self) -> None:
        self._window.feed(self._hops)
        self._hops.clear()
        if self._fed >= self._needed:
            self._weigh(self._verdict())
        self._wait = _OFTEN if self._split or self._doubts else _SELDOM

    def _weigh(self, found: tuple[int, ...]) -> None:
        """A split, and its end, is believed when some verdicts in a row say so."""
        self._doubts = 0 if bool(found) == bool(self._split) else self._doubts + 1
        ends = _ENDS if self._fresh >= self._needed else _ENDS_AFTER_DIP
        if self._doubts >= (ends if self._split else _BEGINS) or (found and self._split):
            self._split, self._doubts = found, 0

    def _verdict(self) -> tuple[int, ...]:
        lines = self._window.lines(_WEAKEST_DB, _ABOVE_NOISE).apart(_SIDE_BANDS * self._fundamental)
        if len(lines) < 2:
            return ()
        hz = self._heard_hz(lines)
        heard = self._partial(hz)
        numbers = _numbers(lines, hz)
        explained = np.abs(lines.hz - numbers * hz) < _NEAR * self._fundamental
        strangers = self._strangers(lines, explained, hz / heard) if heard > 1 else None
        if heard == 1:  # it may be the spacing of lines that lie far from its multiples
            explained |= _near_a_place(lines.hz / self._fundamental)
        if strangers is not None and on_place(hz, self._series) is not None:
            together = self._at_once(lines.those(explained), strangers)
            return self._under(heard, lines, strangers, hz / heard) if together else ()
        harmonics = explained & (numbers <= _HARMONICS)
        if strangers is None and off_comb(lines.those(harmonics), numbers[harmonics]) < self._least_shift(hz):
            return ()
        return self._pair(lines)

    def _heard_hz(self, lines: Lines) -> float:
        """What the tracker heard last, or else the fundamental of the strongest line's partial."""
        if self._unheard < _TRUSTED_HOPS:
            return self._hz
        strongest_hz = float(lines.hz[0])
        return strongest_hz / self._partial(strongest_hz)

    def _pair(self, lines: Lines) -> tuple[int, ...]:
        """The two partials that make the lines, if they sound at once."""
        pair = pair_of(lines, self._series, self._window.bin_hz)
        if pair is None:
            return ()
        one, other = (lines.those(np.array([line])) for line in pair.lines)
        return _both(*pair.partials) if self._at_once(one, other) else ()

    def _least_shift(self, hz: float) -> float:
        """How far, in Hz, the lines must be from the multiples of `hz` to be none."""
        shifted = max(_SHIFTED * self._window.bin_hz, _SHIFTED_SHARE * hz)
        return _STILL * shifted if self._split else shifted

    def _strangers(self, lines: Lines, explained: Flags, spacing: float) -> Lines | None:
        """The lines near the places of other partials, if together they are loud enough for one."""
        places = lines.hz / spacing
        near = _near_a_place(places)
        others = ~explained & (places > 1.0 - _NEAR)
        power = float(lines.power[others & near].sum())
        loud = UNDERTONE_DB + (_KEPT_DB if self._split else 0.0)
        if power <= 10.0 ** (loud / 10.0) * (self._window.power() - power):
            return None
        return lines.those(others & near) if lines.power[others & ~near].sum() < _STRAY * power else None

    def _at_once(self, some: Lines, others: Lines) -> bool:
        """Whether they sound together, and not one after the other in the same window, as in a slur.

        Nor, after a dip, both before it alone.
        """
        if not len(some):
            return False
        one, other = self._window.when(some), self._window.when(others)
        return abs(one - other) < _AT_ONCE and (self._fresh >= self._needed or min(one, other) > _BEFORE)

    def _under(self, heard: int, lines: Lines, strangers: Lines, spacing: float) -> tuple[int, ...]:
        """The partial that is heard, and the one whose lines the strangers are."""
        powers = inside(strangers)
        strong = strangers.those(powers > 10.0 ** (_OF_STRANGERS_DB / 10.0) * powers.max())
        lower = self._comb_partial(heard, strong, np.round(strong.hz / spacing))
        if lower is not None:
            return _both(heard, lower)
        pair = self._pair(lines)
        if heard in pair:
            return pair
        other = on_place(float(strangers.hz[powers.argmax()]), self._series)
        return () if other is None else _both(heard, other)

    def _comb_partial(self, heard: int, lines: Lines, numbers: npt.NDArray[np.floating]) -> int | None:
        """The partial whose exact multiples the lines are, numbered re the fundamental."""
        if off_comb(lines, numbers) > _EXACT * self._window.bin_hz:
            return None
        common = int(np.gcd.reduce(numbers.astype(np.int64)))
        lower = common if common < heard else math.gcd(common, heard)
        return on_place(lower * comb_hz(lines, numbers), self._series)

    def _partial(self, hz: float) -> int:
        return bisect_right(self._edges, hz) + 1


def _near_a_place(places: Floats) -> Flags:
    return np.asarray(np.abs(places - np.round(places)) < _NEAR, np.bool_)


def _both(one: int, other: int) -> tuple[int, ...]:
    return tuple(sorted((one, other))) if one != other else ()


def _numbers(lines: Lines, hz: float) -> npt.NDArray[np.floating]:
    """The multiples of `hz` that lie nearest to the lines."""
    return np.maximum(1.0, np.round(lines.hz / hz))
