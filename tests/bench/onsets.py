"""Attacks: when, how, and how fast, beside the onset detectors of aubio.

Scored as mir_eval scores onsets (C. Raffel et al., ISMIR 2014): each true and each found onset counts once, matched
within a window. Ours are the times that the attacks bear, found live. The general detectors run live too, with
their own default thresholds, and their constant offset is removed, as measured on notes of the tuning half.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from importlib.metadata import version

import aubio
import mir_eval
import numpy as np

from airladder.hearing.block import HOP, RATE, Samples
from airladder.hearing.events import Attack, Kind
from bench.clip import Clip, Half, Onset
from bench.listeners import blocks_of
from bench.store import kept

WINDOWS_S = (0.050, 0.010)
METHODS = ("energy", "hfc", "complex", "phase", "specdiff", "kl", "mkl", "specflux")
BUFFER = 1024
ROOM_SECONDS = 0.100
"""What is found in the first 100 ms of a clip, where the sound of the room sets in, is not held against anyone."""

_FAR = 10_000.0  # s: clips are laid this far apart on one time line
_OFFSET_WINDOW = 0.100


@dataclass(frozen=True)
class Found:
    """The onsets of one clip, s: the true ones and those that a detector found."""

    detector: str
    row: str
    half: Half
    seconds: float
    true: tuple[float, ...]
    said: tuple[float, ...]


@dataclass(frozen=True)
class Start:
    """One attack of ours that lies within 50 ms of a true one, and the true one."""

    row: str
    half: Half
    true: Kind
    said: Kind
    confidence: float
    late_s: float
    known_after_s: float
    true_rise_ms: float | None
    rise_ms: float


def found(clip: Clip, detector: str, said: Iterable[float]) -> Found:
    """What a detector found in a clip."""
    true = tuple(onset.t for onset in clip.onsets)
    earliest = min([ROOM_SECONDS, *(t - WINDOWS_S[0] for t in true)])
    judged = tuple(t for t in sorted(said) if t >= earliest)
    return Found(detector, clip.row, clip.half, len(clip.samples) / RATE, true, judged)


def starts(clip: Clip, attacks: Sequence[Attack]) -> list[Start]:
    """Our attacks that are matched to true ones."""
    pairs = matched([onset.t for onset in clip.onsets], [attack.t for attack in attacks], WINDOWS_S[0])
    return [_start(clip, clip.onsets[true], attacks[said]) for true, said in pairs]


def matched(true: Sequence[float], said: Sequence[float], window_s: float) -> list[tuple[int, int]]:
    """Places of the onsets that belong together."""
    if not true or not said:
        return []
    order = np.argsort(said)
    pairs = mir_eval.util.match_events(np.sort(true), np.sort(said), window_s)
    return [(int(t), int(order[s])) for t, s in pairs]


def f_measure(some: Iterable[Found], window_s: float) -> float:
    """Of all the clips together; nan where there is no true onset."""
    laid = list(enumerate(some))
    true = np.array([_FAR * clip + t for clip, one in laid for t in one.true])
    said = np.array([_FAR * clip + t for clip, one in laid for t in one.said])
    if not len(true):
        return float("nan")
    if not len(said):
        return 0.0
    hits = len(mir_eval.util.match_events(true, said, window_s))
    return 2.0 * hits / (len(true) + len(said))


def false_a_minute(some: Iterable[Found]) -> float:
    """Onsets that belong to no true one within 50 ms, a minute of sound; nan for no sound."""
    each = list(some)
    false = sum(len(one.said) - len(matched(one.true, one.said, WINDOWS_S[0])) for one in each)
    seconds = sum(one.seconds for one in each)
    return 60.0 * false / seconds if seconds else float("nan")


def aubio_onsets(samples: Samples, name: str, method: str) -> list[float]:
    """The onsets that aubio finds, s; kept by what it was played."""
    sound = hashlib.sha256(np.ascontiguousarray(samples).tobytes()).hexdigest()
    what = f"onset {version('aubio')} {method} {BUFFER} {name} {sound}"
    (times,) = kept(what, lambda: (np.array(_aubio(samples, method), np.float64),))
    return [float(t) for t in times]


def offset_s(some: Iterable[Found]) -> float:
    """The median by which a detector's onsets come after the true ones, s; 0 where none is near."""
    late = []
    for one in some:
        pairs = matched(one.true, one.said, _OFFSET_WINDOW)
        late += [one.said[said] - one.true[true] for true, said in pairs]
    return float(np.median(late)) if late else 0.0


def _aubio(samples: Samples, method: str) -> list[float]:
    detector = aubio.onset(method, BUFFER, HOP, RATE)
    return [float(detector.get_last_s()) for block in blocks_of(samples) if detector(block.samples)[0]]


def _start(clip: Clip, true: Onset, said: Attack) -> Start:
    return Start(
        row=clip.row,
        half=clip.half,
        true=true.kind,
        said=said.kind,
        confidence=said.confidence,
        late_s=said.t - true.t,
        known_after_s=said.known_at - true.t,
        true_rise_ms=true.rise_ms,
        rise_ms=said.rise_ms,
    )
