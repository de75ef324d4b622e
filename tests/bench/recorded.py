"""Clips of the recorded saxophones: long fingerings, partials as far as the samples reach, soft and loud, bent.

A partial is played by the recording nearest to it, bent to n times the fundamental and some known cents more. The
pitch at each hop is fitted to the sound (truth.py), for the recordings sway and drift.

Halves: the recordings of a horn, in order of pitch, belong by turns to one half and to the other, so that no
recording is in both. (What lies under a note, an undertone or another horn next door, may be of either.)
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import astuple, dataclass
from functools import cache

import numpy as np

from airladder.hearing.block import Samples
from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS, Horn
from airladder.music.pitch import cents, raised
from airladder.music.series import HIGHEST_PARTIAL, SEMITONES, Series
from bench.clip import Clip, Floats, Half, Onset, Sounding
from bench.envelope import Shape, shape_of
from bench.octave import cut_before, octave_low_until
from bench.store import fraction_of, kept
from bench.truth import true_hz
from saxophones import START_SECONDS, Played, reach, render_many, root, stretch

BENDS = (-45.0, -25.0, -10.0, 0.0, 10.0, 25.0, 45.0)
"""Cents above n times the fundamental."""

VELOCITIES = (40, 90, 120)
FARTHEST = 7
"""Semitones from where it was recorded, beyond which a note is left out."""

VIBRATO_CENTS = 2.0
_TRUTH = "truth 4"  # raised whenever truth.py, envelope.py or octave.py change what they say
_AT_ONCE = 16


@dataclass(frozen=True)
class Take:
    """One recorded note as a partial of a fingering, `off_cents` from its pure place."""

    series: Series
    partial: int
    velocity: int = 90
    off_cents: float = 0.0
    seconds: float = 1.2

    @property
    def number(self) -> int:
        """The sounding note number whose recording is used."""
        return self.series.fundamental_number + SEMITONES[self.partial - 1]

    @property
    def half(self) -> Half:
        """The half to which the recording belongs."""
        return half_of(self.series.horn, self.number)

    @property
    def hz(self) -> float:
        """Where it is meant to sound."""
        return raised(self.series.pure_hz(self.partial), self.off_cents)

    @property
    def played(self) -> Played:
        """What is rendered."""
        bend = cents(self.hz, self.series.tempered_hz(self.partial))
        return Played(self.series.horn, self.number, self.seconds, self.velocity, round(bend, 3))

    @property
    def name(self) -> str:
        """Tells it from all other takes."""
        horn, fingering = self.series.horn.name, self.series.fingering
        return f"{horn} {fingering} p{self.partial} v{self.velocity} {self.off_cents:+g}c {self.seconds:g}s"


@cache
def half_of(horn: Horn, number: int) -> Half:
    """The half to which the recording that sounds for `number` on `horn` belongs."""
    recorded = sorted({root(horn, n) for n in reach(horn)})
    return "tuning" if recorded.index(root(horn, number)) % 2 == 0 else "checking"


def all_series() -> list[Series]:
    """Every horn with each of its long fingerings."""
    return [Series(horn, f) for horn in HORNS.values() for f in fingerings_of(horn).values() if f.long]


def playable(series: Series) -> list[int]:
    """The partials that the recordings reach."""
    numbers = {n: series.fundamental_number + SEMITONES[n - 1] for n in range(1, HIGHEST_PARTIAL + 1)}
    there = reach(series.horn)
    return [n for n, k in numbers.items() if k in there and abs(stretch(series.horn, k)) <= FARTHEST]


def takes(half: Half, share: float = 1.0) -> list[Take]:
    """Every partial soft, middling and loud, each bent differently; `share` of them, always the same ones."""
    found = []
    for row, series in enumerate(all_series()):
        for partial in playable(series):
            for turn, velocity in enumerate(VELOCITIES):
                bend = BENDS[(3 * row + 2 * partial + 3 * turn) % len(BENDS)]
                found.append(Take(series, partial, velocity, bend))
    return [take for take in found if take.half == half and fraction_of(take.name) < share]


def recorded_clips(half: Half, share: float = 1.0) -> Iterator[Clip]:
    """The takes of `half` as clips of the row "clean"."""
    return clips_of(takes(half, share))


def clips_of(chosen: Sequence[Take]) -> Iterator[Clip]:
    """Each take as a clip, with its truth."""
    for first in range(0, len(chosen), _AT_ONCE):
        some = chosen[first : first + _AT_ONCE]
        for take, samples in zip(some, render_many([take.played for take in some]), strict=True):
            yield _clip(take, samples)


def sound_of(take: Take) -> tuple[Samples, Shape]:
    """The rendered take, without a beginning that is an octave low, and its shape."""
    clean, shape, _ = measured(take, render_many([take.played])[0])
    return clean, shape


def measured(take: Take, samples: Samples) -> tuple[Samples, Shape, Floats]:
    """The rendered take without a beginning that is an octave low, its shape and its track; kept."""

    def make() -> tuple[Floats, Floats]:
        let_go = START_SECONDS + take.seconds
        raw = shape_of(samples, take.hz, START_SECONDS, let_go)
        begin = octave_low_until(samples, take.hz, raw.start) or START_SECONDS
        clean = samples if begin == START_SECONDS else cut_before(samples, begin)
        shape = shape_of(clean, take.hz, begin, let_go)
        return np.array(astuple(shape)), true_hz(clean, take.hz, shape.level)

    numbers, track = kept(f"{_TRUTH} {take.hz} {take.played.kept_at.name}", make)
    shape = Shape(*map(float, numbers))
    clean = samples if shape.begin == START_SECONDS else cut_before(samples, shape.begin)
    return clean, shape, track.astype(np.float64)


def _clip(take: Take, samples: Samples) -> Clip:
    clean, shape, track = measured(take, samples)
    return Clip(
        name=f"recorded {take.name}",
        row="clean",
        half=take.half,
        series=take.series,
        samples=clean,
        soundings=(Sounding(shape.start, shape.end, take.partial),),
        hz=track,
        onsets=(Onset(shape.begin, "tongued", shape.rise_ms),),
        vibrato=spread_cents(track) > VIBRATO_CENTS,
    )


def spread_cents(track: Floats) -> float:
    """Half the range that holds the middle 90 per cent of the track, cents; 0 where it has less than two values."""
    known = track[np.isfinite(track)]
    if len(known) < 2:
        return 0.0
    low, high = np.percentile(known, [5.0, 95.0])
    return float(600.0 * np.log2(high / low))
