"""Clips of the physical player: clean, short, soft, dropped, cracked, split, with an undertone; truth is measured.

What sounds is read from the pressure in the mouthpiece (sounded.py), the gesture is no truth. Gestures that
turn out otherwise than their row's name stay in, with what they turned out to be; only of splits and undertones
those are left out that are none.

Halves: partials by turns, the other way round on every second fingering, as in exact.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import groupby

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import HOP, RATE
from airladder.music.series import Series
from airladder.virtualhorn.gesture import Gesture
from airladder.virtualhorn.mouth import PLAYABLE, SPLITTING, UNDERTONES
from airladder.virtualhorn.physical import Performance, play
from bench.clip import Clip, Floats, Half, Onset, Sounding
from bench.envelope import Shape, shape_of
from bench.mouths import erring
from bench.recorded import all_series
from bench.sounded import SPEAKS, partial_track, repeated_hz, split_of, undertone_of
from bench.store import fraction_of, kept, seed_of
from bench.truth import true_hz

ROWS = tuple(f"physical {what}" for what in ("clean", "short", "soft", "drop", "crack", "split", "undertone"))

Partials = npt.NDArray[np.int64]

_VERSION = "played 1"  # raised whenever virtualhorn changes what it plays
_SECONDS, _SHORT_SECONDS = 1.0, 0.2
_SETTLED_SECONDS = 0.03  # a partial that sounds for less is a passage between others
_ATTACK_SECONDS = 0.06
_STEADY_WINDOWS = ((0.15, 0.45), (0.4, 0.7), (0.65, 0.95))


def played_clips(row: str, half: Half, share: float = 1.0) -> Iterator[Clip]:
    """The clips of one of ROWS."""
    for place, series in enumerate(all_series()):
        for number in range(_HOW_MANY.get(row, PLAYABLE)):
            mine: Half = "tuning" if (place + number) % 2 else "checking"
            name = f"{row} {series.horn.name} {series.fingering} {number}"
            if mine == half and fraction_of(name) < share:
                clip = _clip(name, row, half, series, _GESTURES[row](number, seed_of(name) % 2**32))
                if clip is not None:
                    yield clip


def performed(name: str, series: Series, gesture: Gesture) -> Performance:
    """The performance, kept."""

    def make() -> tuple[Floats, Floats, Floats]:
        made = play(series, gesture, seed_of(name) % 2**32)
        return np.asarray(made.samples), made.pressure, np.array([made.begins, made.let_go])

    samples, pressure, (begins, let_go) = kept(f"{_VERSION} {name} {series} {gesture}", make)
    return Performance(samples.astype(np.float32), pressure.astype(np.float64), float(begins), float(let_go))


def _clean(number: int, seed: int) -> Gesture:
    return replace(erring(number + 1, "air" if seed % 3 == 0 else "tongued", seed), seconds=_SECONDS)


def _short(number: int, seed: int) -> Gesture:
    return replace(erring(number + 1, "tongued", seed), seconds=_SHORT_SECONDS)


def _soft(number: int, seed: int) -> Gesture:
    gesture = _clean(number, seed)
    return replace(gesture, breath=0.93 * gesture.breath, level_dbfs=-42.0, noise=0.02)


def _drop(number: int, seed: int) -> Gesture:
    """The throat lets go: an overtone falls to the fundamental."""
    late = float(np.random.default_rng(seed).uniform(0.25, 0.5))
    return replace(erring(max(number, 1) + 1, "tongued", seed), seconds=_SECONDS, moves=((late, 1),))


def _crack(number: int, seed: int) -> Gesture:
    """It begins on the partial above, and the throat finds its place late."""
    late = float(np.random.default_rng(seed).uniform(0.08, 0.3))
    wanted = min(number + 1, PLAYABLE - 1)
    return replace(erring(wanted + 1, "tongued", seed), seconds=_SECONDS, moves=((late, wanted),))


def _split(number: int, seed: int) -> Gesture:
    return Gesture(1, _SECONDS, setting=SPLITTING[number], noise=0.005)


def _undertone(number: int, seed: int) -> Gesture:
    return Gesture(1, _SECONDS, setting=UNDERTONES[number], noise=0.005)


_HOW_MANY = {"physical split": len(SPLITTING), "physical undertone": len(UNDERTONES)}
_GESTURES: dict[str, Callable[[int, int], Gesture]] = dict(
    zip(ROWS, (_clean, _short, _soft, _drop, _crack, _split, _undertone), strict=True)
)


def _clip(name: str, row: str, half: Half, series: Series, gesture: Gesture) -> Clip | None:
    played = performed(name, series, gesture)
    shape = shape_of(played.samples, series.fundamental_hz, played.begins, played.let_go)
    track = partial_track(played.pressure, series)
    soundings, hz = _TRUTHS.get(row, _one_after_another)(played, series, shape, track)
    if not soundings or float(np.std(played.pressure)) < SPEAKS:
        return None
    start = played.begins if gesture.kind == "tongued" else shape.start
    onsets = (Onset(start, gesture.kind, shape.rise_ms),)
    return Clip(name, row, half, series, played.samples, soundings, hz, onsets)


Truth = tuple[tuple[Sounding, ...], Floats]


def _one_after_another(played: Performance, series: Series, shape: Shape, track: Partials) -> Truth:
    """The measured partials; the pitch where the partial that sounds in the end sounds, nan elsewhere."""
    soundings = _soundings(track, shape, played.let_go)
    near = repeated_hz(played.pressure[_last(played)], series.fundamental_hz)
    if near is None:
        return soundings, np.full(len(track), np.nan)
    hz = true_hz(played.pressure.astype(np.float32), near, float(np.std(played.pressure[_last(played)])))
    return soundings, np.where(track == series.nearest(near)[0], hz, np.nan)


def _split_truth(played: Performance, series: Series, shape: Shape, track: Partials) -> Truth:
    """Two partials throughout, if the same two are measured early, in the middle and late; else nothing."""
    found = [split_of(played.pressure[_inside(played, *window)], series) for window in _STEADY_WINDOWS]
    partials = {split.partials if split else () for split in found}
    unknown = np.full(len(track), np.nan)
    if len(partials) > 1 or () in partials:
        return (), unknown
    return (Sounding(shape.start, shape.end, None, partials.pop()),), unknown


def _undertone_truth(played: Performance, series: Series, shape: Shape, track: Partials) -> Truth:
    """The partial, where the fundamental is measured under it at some time; else nothing. It may fade meanwhile."""
    windows = [_inside(played, *window) for window in _STEADY_WINDOWS]
    found = {under[0] for under in (undertone_of(played, series, window) for window in windows) if under}
    late = repeated_hz(played.pressure[_last(played)], series.fundamental_hz)
    partial = found.pop() if len(found) == 1 else None
    if partial is None or late is None or series.nearest(late)[0] not in (1, partial):
        return (), np.full(len(track), np.nan)
    return (Sounding(shape.start, shape.end, partial),), np.full(len(track), np.nan)


_TRUTHS = {"physical split": _split_truth, "physical undertone": _undertone_truth}


def _inside(played: Performance, begin: float, end: float) -> slice:
    return slice(round((played.begins + begin) * RATE), round((played.begins + end) * RATE))


def _last(played: Performance) -> slice:
    """The last tenth of a second that is held."""
    return slice(round((played.let_go - 0.1) * RATE), round(played.let_go * RATE))


def _soundings(track: Partials, shape: Shape, let_go: float) -> tuple[Sounding, ...]:
    """The track in stretches, from the acoustic start to the end; a passage between partials becomes None.

    The attack, in which nothing repeats yet, belongs to the partial that it leads to, and what is left after the
    player has let go to the last one.
    """
    found: list[Sounding] = []
    hop = 0
    for partial, run in groupby(track.tolist()):
        count = len(list(run))
        start, end = max(hop * HOP / RATE, shape.start), min((hop + count) * HOP / RATE, shape.end)
        hop += count
        settled = partial > 0 and count * HOP / RATE >= _SETTLED_SECONDS
        if end > start and (start < let_go or not found):
            found.append(Sounding(start, end, partial if settled else None))
    joined = _joined(found)
    if len(joined) > 1 and joined[0].partial is None and joined[0].end - joined[0].start < _ATTACK_SECONDS:
        joined = (replace(joined[1], start=joined[0].start), *joined[2:])
    return (*joined[:-1], replace(joined[-1], end=shape.end)) if joined else ()


def _joined(found: list[Sounding]) -> tuple[Sounding, ...]:
    """Neighbours of the same partial made one."""
    joined: list[Sounding] = []
    for sounding in found:
        if joined and joined[-1].partial == sounding.partial:
            joined[-1] = replace(joined[-1], end=sounding.end)
        else:
            joined.append(sounding)
    return tuple(joined)
