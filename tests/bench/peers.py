"""General pitch trackers, each with its own defaults, over the range in which saxophones and their overtones lie.

None knows the tube. Their frequency becomes a partial here: the nearest pure place of the fingering, if it is within
PLACE_CENTS, else null; so the fingering helps them as far as it can help from outside. Notes above the range that
they are told to search are not asked of them. Where a tracker has a clarity or voicing threshold
of its own, its default decides when it hears nothing.

Conventions
-----------
See listeners.py. Trackers that centre their frames are read at the frame whose centre is the end of the hop, and
the other half of the frame is look-ahead. What comes with the extra `bench` alone is imported late.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.metadata import version
from typing import Any

import aubio
import numpy as np
import parselmouth

from airladder.hearing.block import HOP, HOP_SECONDS, RATE, Samples
from airladder.music.series import HIGHEST_PARTIAL, Series
from bench.clip import Clip, Floats
from bench.listeners import Answer, Ints, blocks_of, ends_s
from bench.store import fraction_of, kept

LOWEST_HZ, HIGHEST_HZ = 55.0, 2093.0
"""From a whole tone below the lowest baritone's fundamental up to the highest that swift-f0 knows."""

PLACE_CENTS = 80.0
"""How far from the pure place of a partial a frequency may lie to be taken for it: bends of 45 cents with vibrato
are inside, and half a tempered whole tone is not."""

_VERSION = "1"  # of this file, where it changes what is kept
_PYIN_FRAME = 4096
_SEMITONE = 2.0 ** (1.0 / 12.0)
_SWIFT_VOICED = 0.5  # its own words: "voiced when its confidence is at least 0.5"
_PRAAT_PERIODS = 3.0  # its autocorrelation window, in periods of the floor (its manual, "To Pitch (raw ac)...")


@dataclass(frozen=True)
class Peer:
    """A general tracker: `track` gives Hz at the end of each hop, 0 or nan where it hears no pitch.

    The slow ones are asked for `share` of the clips only, always the same ones.
    """

    name: str
    package: str
    track: Callable[[Samples], Floats]
    look_ahead_s: float = 0.0
    whole_file: bool = False
    share: float = 1.0

    def listen(self, clip: Clip) -> Answer:
        """What it says; kept by what it was played and by its version."""
        sound = hashlib.sha256(np.ascontiguousarray(clip.samples).tobytes()).hexdigest()
        what = f"peer {_VERSION} {self.name} {version(self.package)} {clip.name} {sound}"
        (found,) = kept(what, lambda: (self.track(clip.samples),))
        hz: Floats = np.where(found > 0.0, found, np.nan).astype(np.float64)
        return Answer(hz=hz, partial=places(hz, clip.series), split=np.zeros(len(hz), np.int64))


def asked(peer: Peer, clip: Clip) -> bool:
    """Whether this clip is within the peers' range, and among those for which this one has the time."""
    highest = max((clip.series.pure_hz(sounding.partial or 1) for sounding in clip.soundings), default=0.0)
    return highest < 0.97 * HIGHEST_HZ and fraction_of(f"asked {clip.name}") < peer.share


def places(hz: Floats, series: Series) -> Ints:
    """The partial whose pure place lies within PLACE_CENTS of each frequency, else 0."""
    ratio = np.nan_to_num(hz) / series.fundamental_hz
    partial = np.clip(np.round(ratio), 1, HIGHEST_PARTIAL)
    off = np.abs(1200.0 * np.log2(np.maximum(ratio, 1e-9) / partial))
    return np.where(off <= PLACE_CENTS, partial, 0).astype(np.int64)


def _aubio(method: str) -> Callable[[Samples], Floats]:
    def track(samples: Samples) -> Floats:
        tracker = aubio.pitch(method, 2048, HOP, RATE)
        return np.array([tracker(block.samples)[0] for block in blocks_of(samples)], np.float64)

    return track


def _pyin(samples: Samples) -> Floats:
    import librosa

    hz, _, _ = librosa.pyin(
        samples, fmin=LOWEST_HZ, fmax=HIGHEST_HZ, sr=RATE, frame_length=_PYIN_FRAME, hop_length=HOP
    )
    return np.asarray(hz[1 : 1 + len(samples) // HOP], np.float64)  # frame k is centred at sample k * 256


def _praat(samples: Samples) -> Floats:
    sound = parselmouth.Sound(samples.astype(np.float64), RATE)
    pitch = sound.to_pitch_ac(HOP_SECONDS, LOWEST_HZ, pitch_ceiling=HIGHEST_HZ)
    return _between(ends_s(len(samples) // HOP), pitch.xs(), pitch.selected_array["frequency"])


def _swift(samples: Samples) -> Floats:
    found = _swift_model().detect(samples, RATE)
    hz = np.where(found.confidence >= _SWIFT_VOICED, found.pitch_hz, 0.0)
    return _between(ends_s(len(samples) // HOP), np.asarray(found.timestamps), hz)


@cache
def _swift_model() -> Any:
    import swift_f0

    return swift_f0.SwiftF0(threads=1, spin=False)


def _between(ends: Floats, times: Floats, hz: Floats) -> Floats:
    """Interpolated where both neighbours have about the same pitch, else the nearer one; 0 outside the frames."""
    right = np.clip(np.searchsorted(times, ends), 1, len(times) - 1)
    left = right - 1
    nearer = np.where(ends - times[left] < times[right] - ends, left, right)
    straight = np.interp(ends, times, hz, left=0.0, right=0.0)
    same = np.minimum(hz[left], hz[right]) * _SEMITONE > np.maximum(hz[left], hz[right])
    inside = (ends >= times[0]) & (ends <= times[-1])
    return np.where(inside, np.where(same, straight, hz[nearer]), 0.0)


LIGHT = (
    Peer("aubio yin 2048", "aubio", _aubio("yin")),
    Peer("aubio yinfast 2048", "aubio", _aubio("yinfast")),
    Peer("aubio yinfft 2048", "aubio", _aubio("yinfft")),
    Peer("praat ac", "praat-parselmouth", _praat, _PRAAT_PERIODS / LOWEST_HZ / 2, whole_file=True),
)
"""What the extra `test` brings."""

HEAVY = (
    Peer("librosa pyin 4096", "librosa", _pyin, _PYIN_FRAME / 2 / RATE, whole_file=True, share=0.1),
    # Its 10 frames ahead and the frame itself, as its own stream waits; the interpolation between frames is a gift.
    Peer("swift-f0", "swift-f0", _swift, 11 * 256 / 16_000),
)
"""What only the extra `bench` brings."""

PEERS = (*LIGHT, *HEAVY)
