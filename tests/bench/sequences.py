"""Several recorded notes in a row on one fingering: with gaps, abutting, slurred. Where each begins is known exactly.

All notes of a clip are of one velocity, each up to 3 dB louder or softer; a quarter of them repeat the partial before
(not in slurs). Halves as the recordings that they are made of.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from airladder.hearing.block import HOP, RATE
from bench.clip import Clip, Floats, Half, Onset, Sounding
from bench.envelope import Shape
from bench.recorded import VELOCITIES, Take, all_series, measured, takes
from bench.store import fraction_of, seed_of
from saxophones import render_many

Joined = Literal["gaps", "abutting", "slurred"]

NOTES, ROUNDS = 6, 2
"""In a clip; clips for each fingering."""

BEFORE_SECONDS, AFTER_SECONDS = 0.5, 0.4
NOTE_SECONDS, GAP_SECONDS = (0.25, 0.8), (0.06, 0.3)
RELEASE_SECONDS, CROSSFADE_SECONDS = 0.03, 0.01
SLUR_SECONDS = (0.02, 0.03)
STEADY_AFTER = 0.3
"""Where the steady part of a recording is taken from, after its beginning, for slurs; s."""

_REPEATS, _SWING_DB = 0.25, 3.0
_ENDED = 0.85  # of the release: it has then fallen by 25 dB
Rng = np.random.Generator


@dataclass(frozen=True)
class _Placed:
    """A note of a clip, from `at` to `until`: what `take` plays from `inside` on; how long it fades, s; its gain."""

    take: Take
    at: float
    until: float
    inside: float
    fade_in: float
    fade_out: float
    gain: float

    def swell(self, seconds: Floats) -> Floats:
        """How loud, 0 to 1: fades are half cosines, the one into the note ends, the one out of it begins, inside."""
        rise = np.clip((seconds - self.at) / max(self.fade_in, 1e-9), 0.0, 1.0)
        fall = np.clip((self.until - seconds) / max(self.fade_out, 1e-9), 0.0, 1.0)
        return np.asarray(self.gain * (0.5 - 0.5 * np.cos(np.pi * rise)) * (0.5 - 0.5 * np.cos(np.pi * fall)))


def sequence_clips(half: Half, joined: Joined, share: float = 1.0) -> Iterator[Clip]:
    """Two clips of six notes for every fingering that has notes enough in that half."""
    pool = takes(half)
    for series in all_series():
        for turn in range(ROUNDS):
            name = f"{joined} {series.horn.name} {series.fingering} {half} {turn}"
            rng = np.random.default_rng(seed_of(name))
            velocity = int(rng.choice(VELOCITIES))
            there = [take for take in pool if take.series == series and take.velocity == velocity]
            if len(there) > 1 and fraction_of(name) < share:
                yield _clip(name, half, joined, _laid_out(_chosen(there, joined, rng), joined, rng))


def _chosen(there: list[Take], joined: Joined, rng: Rng) -> list[Take]:
    chosen = [there[int(rng.integers(len(there)))]]
    while len(chosen) < NOTES:
        others = [take for take in there if take != chosen[-1]]
        again = joined != "slurred" and rng.random() < _REPEATS
        chosen.append(chosen[-1] if again else others[int(rng.integers(len(others)))])
    return chosen


def _laid_out(chosen: list[Take], joined: Joined, rng: Rng) -> list[_Placed]:
    placed, at = list[_Placed](), BEFORE_SECONDS + float(rng.uniform(0.0, 0.1))
    for place, take in enumerate(chosen):
        last, first = place == len(chosen) - 1, place == 0
        until = at + float(rng.uniform(*NOTE_SECONDS))
        slur = float(rng.uniform(*SLUR_SECONDS)) if joined == "slurred" else 0.0
        over = {"gaps": RELEASE_SECONDS, "abutting": CROSSFADE_SECONDS, "slurred": slur}[joined]
        inside = STEADY_AFTER if slur and not first else 0.0
        fade_in = placed[-1].fade_out if slur and not first else 0.0
        gain = 10 ** (float(rng.uniform(-_SWING_DB, _SWING_DB)) / 20.0)
        placed.append(_Placed(take, at, until, inside, fade_in, RELEASE_SECONDS if last else over, gain))
        at = until + float(rng.uniform(*GAP_SECONDS)) if joined == "gaps" else until - over
    return placed


def _clip(name: str, half: Half, joined: Joined, placed: list[_Placed]) -> Clip:
    sounds = render_many([one.take.played for one in placed])
    heard = [measured(one.take, sound) for one, sound in zip(placed, sounds, strict=True)]
    seconds = np.arange(round((placed[-1].until + AFTER_SECONDS) * RATE)) / RATE
    total, hz = np.zeros(len(seconds)), np.full(len(seconds) // HOP, np.nan)
    for one, (sound, shape, track) in zip(placed, heard, strict=True):
        later = round((one.at - one.inside - shape.begin) * RATE)
        total += one.swell(seconds) * np.interp(
            np.arange(len(seconds)) - later, np.arange(len(sound)), sound, 0.0, 0.0
        )
        _put_track(hz, one, track, later)
    return Clip(
        name=name,
        row=f"notes {joined}",
        half=half,
        series=placed[0].take.series,
        samples=total.astype(np.float32),
        soundings=tuple(_soundings(placed, [shape for _, shape, _ in heard])),
        hz=hz,
        onsets=tuple(
            Onset(one.at, "tongued", shape.rise_ms)
            for one, (_, shape, _) in zip(placed, heard, strict=True)
            if one.inside == 0.0
        ),
        vibrato=True,
    )


def _put_track(hz: Floats, one: _Placed, track: Floats, later: int) -> None:
    """The note's pitch, where it is neither fading in nor fading out."""
    ends = (np.arange(len(hz)) + 1) * HOP
    moved = np.interp(ends - later, (np.arange(len(track)) + 1) * HOP, track, np.nan, np.nan)
    whole = (ends > (one.at + one.fade_in) * RATE) & (ends < (one.until - one.fade_out) * RATE)
    hz[whole] = moved[whole]


def _soundings(placed: list[_Placed], shapes: list[Shape]) -> Iterator[Sounding]:
    """One note ends where the next is heard, at the latest when its release has fallen by 25 dB."""
    starts = [
        one.at + (one.fade_in / 2 if one.inside else shape.start - shape.begin)
        for one, shape in zip(placed, shapes, strict=True)
    ]
    for one, start, following in zip(placed, starts, [*starts[1:], np.inf], strict=True):
        yield Sounding(start, min(one.until - (1.0 - _ENDED) * one.fade_out, following), one.take.partial)
