"""One row of the benchmark heard by everyone: the work that is shared out to processes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from bench.clip import Clip, Half
from bench.corpus import clips
from bench.delays import OwnDelay
from bench.judge import Mark, marks
from bench.listeners import Answer, Ours
from bench.onsets import METHODS, Found, Start, aubio_onsets, found, offset_s, starts
from bench.peers import PEERS, asked

OURS = Ours()
OFFSET_ROW, OFFSET_SHARE = "clean", 0.05
"""The notes of the tuning half by which the detectors' offsets are measured."""


@dataclass(frozen=True)
class Job:
    """What to hear, and what is known of the listeners: own delays by name, detectors' offsets in s by name."""

    row: str
    half: Half
    share: float
    peers: bool
    own: Mapping[str, OwnDelay]
    offsets: Mapping[str, float]


@dataclass(frozen=True)
class Heard:
    """All marks of some clips; `longest_hops` are ours, CPU seconds, one of each clip."""

    row: str
    clips: int = 0
    seconds: float = 0.0
    marks: list[Mark] = field(default_factory=list)
    found: list[Found] = field(default_factory=list)
    starts: list[Start] = field(default_factory=list)
    longest_hops: list[float] = field(default_factory=list)


def hear(job: Job) -> Heard:
    """The row, clip after clip."""
    heard, count, seconds = Heard(job.row), 0, 0.0
    for clip in clips(job.row, job.half, job.share):
        count, seconds = count + 1, seconds + len(clip.samples) / 48_000
        _ours(clip, job, heard)
        if job.peers:
            _peers(clip, job, heard)
    return Heard(job.row, count, seconds, heard.marks, heard.found, heard.starts, heard.longest_hops)


def detector_offsets() -> dict[str, float]:
    """By how much each general onset detector comes late on clean notes of the tuning half, s."""
    some = list(clips(OFFSET_ROW, "tuning", OFFSET_SHARE))
    return {
        method: offset_s([found(clip, method, aubio_onsets(clip.samples, clip.name, method)) for clip in some])
        for method in METHODS
    }


def _ours(clip: Clip, job: Job, heard: Heard) -> None:
    answer = OURS.listen(clip)
    _mark(clip, answer, OURS.name, 0.0, job, heard)
    heard.found.append(found(clip, OURS.name, (attack.t for attack in answer.attacks)))
    heard.starts.extend(starts(clip, answer.attacks))
    heard.longest_hops.append(float(np.max(answer.hop_seconds)))


def _peers(clip: Clip, job: Job, heard: Heard) -> None:
    for peer in (peer for peer in PEERS if asked(peer, clip)):
        _mark(clip, peer.listen(clip), peer.name, peer.look_ahead_s, job, heard)
    for method in METHODS if clip.onsets or not clip.soundings else ():
        late = job.offsets[method]
        times = [t - late for t in aubio_onsets(clip.samples, clip.name, method)]
        heard.found.append(found(clip, method, times))


def _mark(clip: Clip, answer: Answer, name: str, look_ahead_s: float, job: Job, heard: Heard) -> None:
    heard.marks.extend(marks(clip, answer, name, job.own[name], look_ahead_s))
