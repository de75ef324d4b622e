"""What an answer is worth: right and wrong partials, cents, delay, splits and cracks of every sounding of a clip.

Conventions
-----------
The steady part of a sounding lasts from STEADY_AFTER after its start to STEADY_BEFORE before its end, if that is
STEADY_LEAST or more. Delay is the time from its start to the first hop with the right partial that stays right for
STAYS_SECONDS, with all look-ahead added; nan where that never comes. Soundings that are on no partial, and splits,
have no partial to be right about: there `null` is the right answer, any partial a wrong one. A clip in which no note
sounds is judged like one long sounding on no partial.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import HOP_SECONDS, RATE
from bench.clip import Clip, Floats, Half, Sounding
from bench.cracks import STAYS_SECONDS, begins, called_cracked, cracks_of, in_a_path, is_a_whole_note
from bench.delays import OwnDelay, shifted
from bench.listeners import Answer, ends_s, split_mask

STEADY_AFTER, STEADY_BEFORE, STEADY_LEAST = 0.100, 0.030, 0.030
DELAY_LEAST = 0.25
"""Shorter soundings are not asked for their delay, s."""

SPLIT_SHARE = 0.5
"""A note is called split when this share of its steady hops says so."""

UNDERTONES = "undertone -(15|8) dB|physical undertone"
"""Rows in which the fundamental sounds so loud under the partial that to name both is no false alarm."""

FUNDAMENTAL_CENTS = 15.0
"""A frequency this near to its median over the note is steady."""

_CENTS = 1200.0

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Mark:
    """One sounding as one listener heard it.

    Attributes
    ----------
    hz : where it sounds, Hz
    begins : whether it begins a note
    right, wrong, null : hops of its steady part
    cents : absolute errors in the steady hops with the right partial, own delay removed
    delay_s : see above; None where it is not asked
    called_split : share of the steady hops called split; exactly : share called split with just the right partials,
        where the truth is one partial with just that and the fundamental under it
    steady_pitch : share of the steady hops with a partial, not called split, and a frequency that does not move
    cracks, cracks_found : partials before this one in the same note, and how many of them a tone's path holds
    called_cracked : of a note of one partial, whether a tone's path holds another for as long as a crack; else None
    """

    listener: str
    clip: str
    row: str
    half: Half
    horn: str
    hz: float
    partial: int | None
    split: tuple[int, ...]
    vibrato: bool
    begins: bool
    right: int
    wrong: int
    null: int
    cents: tuple[float, ...]
    delay_s: float | None
    called_split: float
    exactly: float
    steady_pitch: float
    cracks: int
    cracks_found: int
    called_cracked: bool | None

    @property
    def hops(self) -> int:
        """Steady hops judged."""
        return self.right + self.wrong + self.null


def marks(clip: Clip, answer: Answer, listener: str, own: OwnDelay, look_ahead_s: float) -> list[Mark]:
    """A mark for each sounding of the clip, in order."""
    if not clip.soundings:
        clip = replace(clip, soundings=(Sounding(0.0, len(clip.samples) / RATE, None),))
    off = cents_off(clip, answer, own)
    return [_mark(clip, answer, listener, off, look_ahead_s, index) for index in range(len(clip.soundings))]


def cents_off(clip: Clip, answer: Answer, own: OwnDelay) -> Floats:
    """Signed cents of each hop from the truth as it was one own delay before; nan where either is unknown."""
    off: Floats = _CENTS * np.log2(answer.hz / shifted(clip.hz, own.at(answer.hz)))
    return off


def steady(sounding: Sounding, hops: int) -> Flags:
    """Which hops end in the steady part of the sounding."""
    first, last = sounding.start + STEADY_AFTER, sounding.end - STEADY_BEFORE
    if last - first < STEADY_LEAST:
        return np.zeros(hops, np.bool_)
    ends = ends_s(hops)
    return np.asarray((ends > first) & (ends <= last), np.bool_)


def _mark(clip: Clip, answer: Answer, listener: str, off: Floats, look_ahead_s: float, index: int) -> Mark:
    sounding = clip.soundings[index]
    inside = steady(sounding, len(answer.partial))
    partial, hz, split = answer.partial[inside], answer.hz[inside], answer.split[inside]
    right = partial == (sounding.partial or 0)
    known = np.abs(off[inside][right & np.isfinite(off[inside])]) if sounding.partial else np.empty(0)
    cracks = cracks_of(clip, index)
    return Mark(
        listener=listener,
        clip=clip.name,
        row=clip.row,
        half=clip.half,
        horn=clip.series.horn.name,
        hz=sounding_hz(clip, sounding),
        partial=sounding.partial,
        split=sounding.split,
        vibrato=clip.vibrato,
        begins=begins(clip, index),
        right=int(right.sum()),
        wrong=int((~right & (partial > 0)).sum()),
        null=int((~right & (partial == 0)).sum()),
        cents=tuple(np.round(known, 4).tolist()),
        delay_s=delay_s(sounding, answer.partial, look_ahead_s),
        called_split=_share(split > 0),
        exactly=_share(split == split_mask(sounding.split or (1, sounding.partial or 1))),
        steady_pitch=_share((partial > 0) & (split == 0) & _still(hz)),
        cracks=len(cracks),
        cracks_found=sum(in_a_path(answer.tones, crack) for crack in cracks),
        called_cracked=called_cracked(answer.tones, sounding) if is_a_whole_note(clip, index) else None,
    )


def sounding_hz(clip: Clip, sounding: Sounding) -> float:
    """The median true frequency of the sounding; the pure place of its partial where that is unknown."""
    ends = ends_s(len(clip.hz))
    known = clip.hz[(ends > sounding.start) & (ends <= sounding.end) & np.isfinite(clip.hz)]
    return float(np.median(known)) if len(known) else clip.series.pure_hz(sounding.partial or 1)


def delay_s(sounding: Sounding, partial: npt.NDArray[np.int64], look_ahead_s: float) -> float | None:
    """From its start to the right partial that stays, s; nan if never, None where it is too short to ask."""
    if sounding.partial is None or sounding.end - sounding.start < DELAY_LEAST:
        return None
    ends = ends_s(len(partial))
    inside = (ends > sounding.start) & (ends <= sounding.end)
    right, stays = partial[inside] == sounding.partial, round(STAYS_SECONDS / HOP_SECONDS)
    runs = np.convolve(right, np.ones(stays), mode="valid") > stays - 0.5
    if not runs.any():
        return float("nan")
    return float(ends[inside][int(np.argmax(runs))]) - sounding.start + look_ahead_s


def _still(hz: Floats) -> Flags:
    if not np.isfinite(hz).any():
        return np.zeros(len(hz), np.bool_)
    return np.asarray(np.abs(_CENTS * np.log2(hz / np.nanmedian(hz))) <= FUNDAMENTAL_CENTS, np.bool_)


def _share(flags: Flags) -> float:
    return float(flags.mean()) if len(flags) else 0.0
