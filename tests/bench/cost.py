"""What everyone costs: CPU seconds a second of sound, our longest hop, our stages, our memory over an hour.

Run it with nothing else on the machine. Speeds are given as ratios to aubio yin (buffer 2048, hop 256) of the same
run, since they differ from machine to machine. What yin costs depends on the sound: it stops at the first period
that fits, and searches its whole range in silence and noise.
"""

from __future__ import annotations

import gc
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np

from airladder.hearing.block import HOP_SECONDS, RATE, Block, Samples
from airladder.hearing.ear import Ear
from airladder.music.series import Series
from bench.clip import Clip, Floats
from bench.corpus import clips
from bench.ladder import stage_seconds
from bench.listeners import Ours, blocks_of
from bench.peers import PEERS
from bench.tables import Table

TURNS = 2
YARDSTICK = "aubio yin 2048"
_SHARE = 0.02
_HOUR_MINUTES = 60
_MEBIBYTE = 2.0**20
_PAGE = 4096


LADDER = "Ladder of cost"


def cost_tables(*, hour: bool) -> list[Table]:
    """The tables of cost; that of an hour takes minutes and is made on request."""
    whole, noisy = list(clips("clean", "checking", _SHARE)), list(clips("pink 10 dB", "checking", _SHARE))
    notes = [_sounding(clip) for clip in whole]
    played = [*notes, *noisy, next(clips("notes slurred", "checking"))]
    made = [_everyone({"notes alone": notes, "with silence": whole, "in pink noise": noisy})]
    made += [_longest(played), _stages(played)]
    return [*made, _hour(played[-1])] if hour else made


def _sounding(clip: Clip) -> Clip:
    """The note alone: the cheapest sound for yin, and so the hardest comparison for us."""
    first, last = (round(t * RATE) for t in (clip.soundings[0].start, clip.soundings[-1].end))
    return replace(clip, samples=clip.samples[first:last])


def _everyone(sounds: dict[str, list[Clip]]) -> Table:
    workers: dict[str, Callable[[Clip], object]] = {Ours().name: lambda clip: _feed(Ear(clip.series), clip)}
    workers |= {peer.name: partial(_track, peer.track) for peer in PEERS}
    costs = [_a_second(workers, some) for some in sounds.values()]
    rows = [
        (name, *(f"{1000 * cpu[name]:.1f} ({cpu[name] / cpu[YARDSTICK]:.2f})" for cpu in costs)) for name in workers
    ]
    head = ("listener", *sounds)
    note = f"Ms of CPU a second of sound (times {YARDSTICK}), one thread, the best of {TURNS} turns."
    return Table("Cost", note, head, tuple(rows))


def _a_second(workers: dict[str, Callable[[Clip], object]], some: list[Clip]) -> dict[str, float]:
    """CPU seconds a second of sound by name."""
    turns = [_best_of_turns(workers, clip) for clip in some]
    seconds = sum(len(clip.samples) for clip in some) / RATE
    return {name: sum(turn[name] for turn in turns) / seconds for name in workers}


def _best_of_turns(workers: dict[str, Callable[[Clip], object]], clip: Clip) -> dict[str, float]:
    """Turns are short and taken in rotation, so that what else the machine does meets everyone alike."""
    turns: list[dict[str, float]] = [{} for _ in range(TURNS)]
    for turn in turns:
        for name, work in workers.items():
            before = time.process_time()
            work(clip)
            turn[name] = time.process_time() - before
    return {name: min(turn[name] for turn in turns) for name in workers}


def _track(track: Callable[[Samples], Floats], clip: Clip) -> Floats:
    return track(clip.samples)


def _feed(ear: Ear, clip: Clip) -> None:
    for block in blocks_of(clip.samples):
        ear.feed(block)
    ear.finish()


def _longest(some: list[Clip]) -> Table:
    spent, passed = (np.concatenate(times) for times in zip(*(_hops(clip) for clip in some), strict=True))
    rows = [
        (name, *(f"{1000 * value:.3f} ({100 * value / HOP_SECONDS:.0f} %)" for value in _high(times)))
        for name, times in (("CPU", spent), ("by the clock", passed))
    ]
    head = ("time", "median", "99.9th percentile", "longest")
    note = f"Of one hop of ours, ms (share of its {1000 * HOP_SECONDS:.2f} ms), collections of garbage included."
    return Table("One hop", note, head, tuple(rows))


def longest_anywhere(longest_hops: list[float]) -> Table:
    """From the longest hop of every clip that was heard, CPU seconds."""
    longest = max(longest_hops)
    rows = ((str(len(longest_hops)), f"{1000 * longest:.2f}", f"{100 * longest / HOP_SECONDS:.0f}"),)
    head = ("clips", "longest hop, ms of CPU", "% of its duration")
    return Table("Longest hop", "Of ours in all the clips, two processes side by side.", head, rows)


def _hops(clip: Clip) -> tuple[Floats, Floats]:
    ear, blocks = Ear(clip.series), blocks_of(clip.samples)
    spent, passed = np.zeros(len(blocks)), np.zeros(len(blocks))
    for hop, block in enumerate(blocks):
        cpu, clock = time.thread_time(), time.perf_counter()
        ear.feed(block)
        spent[hop], passed[hop] = time.thread_time() - cpu, time.perf_counter() - clock
    return spent, passed


def _high(times: Floats) -> list[float]:
    return [float(np.median(times)), float(np.percentile(times, 99.9)), float(times.max())]


def _stages(some: list[Clip]) -> Table:
    stages, hops = stage_seconds([(clip.series, blocks_of(clip.samples)) for clip in some])
    whole = sum(stages.values())
    rows = [(name, f"{1e6 * spent / hops:.1f}", f"{100 * spent / whole:.0f}") for name, spent in stages.items()]
    note = "Of our own hop, each stage without those that it calls; the watching itself is in the figures."
    return Table(LADDER, note, ("stage", "us a hop", "%"), tuple(rows))


def _hour(clip: Clip) -> Table:
    """An hour of the same sound over and over, and what the process holds."""
    per_minute = round(60.0 / HOP_SECONDS)
    held = _held_each_minute(clip.series, clip.samples, per_minute)
    rows = [(f"{minute}", f"{held[minute - 1] / _MEBIBYTE:.2f}") for minute in (1, 5, 10, 20, 30, 40, 50, 60)]
    grown = (held[-1] - held[9]) / 1024.0
    note = f"Memory of the process while we listen for an hour; from minute 10 on it grew by {grown:.0f} KiB."
    return Table("An hour", note, ("minute", "MiB"), tuple(rows))


def _held_each_minute(series: Series, samples: Samples, per_minute: int) -> list[int]:
    ear, blocks, held, hop = Ear(series), blocks_of(samples), list[int](), 0
    for _ in range(_HOUR_MINUTES):
        for _ in range(per_minute):
            ear.feed(Block(blocks[hop % len(blocks)].samples, hop, (hop + 1) * HOP_SECONDS))
            hop += 1
        gc.collect()
        held.append(_resident())
    return held


def _resident() -> int:
    """Bytes of memory of this process; Linux only."""
    return int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1]) * _PAGE
