"""What everyone costs: CPU seconds a second of sound, our longest hop, our stages, our memory over an hour.

Run it with nothing else on the machine. Speeds are given as ratios to aubio yin (buffer 2048, hop 256) of the same
run, since they differ from machine to machine. What yin costs depends on the sound: it stops at the first period
that fits, and searches its whole range in silence and noise.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np

from airladder.hearing.block import HOP_SECONDS, RATE, Samples
from airladder.hearing.ear import Ear
from bench.clip import Clip, Floats
from bench.corpus import clips
from bench.instructions import ALLOWED_MILLIONS, counted_millions
from bench.ladder import stage_seconds
from bench.listeners import Ours, blocks_of, only_new_garbage
from bench.memory import FLAT_KIB, grown_kib, held_each_minute, hour_table
from bench.peers import PEERS
from bench.tables import Table
from bench.targets import HEAD, Target

TURNS = 2
YARDSTICK = "aubio yin 2048"
_SHARE = 0.02

LADDER = "Ladder of cost"

Costs = dict[str, dict[str, float]]
"""By sort of sound, then by name."""


def cost_tables(*, hour: bool) -> list[Table]:
    """The tables of cost; that of an hour takes minutes and is made on request."""
    whole, noisy = list(clips("clean", "checking", _SHARE)), list(clips("pink 10 dB", "checking", _SHARE))
    notes = [_sounding(clip) for clip in whole]
    played = [*notes, *noisy, next(clips("notes slurred", "checking"))]
    costs = _costs({"notes alone": notes, "with silence": whole, "in pink noise": noisy})
    hops, counted, held = _hop_seconds(played), counted_millions(), held_each_minute(played[-1]) if hour else []
    made = [_targets(costs, hops[0], counted, held), _everyone(costs), _longest(*hops), _stages(played)]
    made += [_instructions(counted)] if counted else []
    return [*made, hour_table(held)] if held else made


def _targets(costs: Costs, spent: Floats, counted: Costs, held: list[int]) -> Table:
    """What was set out to be reached; what could not be counted here is left out."""
    mine = Ours().name
    targets = [Target(f"{mine} / {YARDSTICK}, {what}", of[mine] / of[YARDSTICK], 0.5) for what, of in costs.items()]
    targets.append(Target("longest hop, CPU, % of its duration", 100.0 * spent.max() / HOP_SECONDS, 25.0))
    for what, of in counted.items():
        targets.append(Target(f"M arm64 instructions a second of sound, {what}", of[mine], ALLOWED_MILLIONS))
    if held:
        targets.append(Target("memory grown from minute 10 to 60, KiB", grown_kib(held), FLAT_KIB))
    return Table("Reach: cost", "Of all hearing together.", HEAD, tuple(target.cells() for target in targets))


def _sounding(clip: Clip) -> Clip:
    """The note alone: the cheapest sound for yin, and so the hardest comparison for us."""
    first, last = (round(t * RATE) for t in (clip.soundings[0].start, clip.soundings[-1].end))
    return replace(clip, samples=clip.samples[first:last])


def _costs(sounds: dict[str, list[Clip]]) -> Costs:
    """CPU seconds a second of sound by sort of sound, then by name; last of all sorts together."""
    workers: dict[str, Callable[[Clip], object]] = {Ours().name: lambda clip: _feed(Ear(clip.series), clip)}
    workers |= {peer.name: partial(_track, peer.track) for peer in PEERS}
    turns = {what: [_best_of_turns(workers, clip) for clip in some] for what, some in sounds.items()}
    seconds = {what: sum(len(clip.samples) for clip in some) / RATE for what, some in sounds.items()}
    turns["all together"] = [turn for some in turns.values() for turn in some]
    seconds["all together"] = sum(seconds.values())
    return {
        what: {name: sum(turn[name] for turn in some) / seconds[what] for name in workers}
        for what, some in turns.items()
    }


def _everyone(costs: Costs) -> Table:
    rows = [
        (name, *(f"{1000 * cpu[name]:.1f} ({cpu[name] / cpu[YARDSTICK]:.2f})" for cpu in costs.values()))
        for name in next(iter(costs.values()))
    ]
    head = ("listener", *costs)
    note = f"Ms of CPU a second of sound (times {YARDSTICK}), one thread, the best of {TURNS} turns."
    return Table("Cost", note, head, tuple(rows))


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


def _hop_seconds(some: list[Clip]) -> tuple[Floats, Floats]:
    spent, passed = (np.concatenate(times) for times in zip(*(_hops(clip) for clip in some), strict=True))
    return spent, passed


def _longest(spent: Floats, passed: Floats) -> Table:
    rows = [
        (name, *(f"{1000 * value:.3f} ({100 * value / HOP_SECONDS:.0f} %)" for value in _high(times)))
        for name, times in (("CPU", spent), ("by the clock", passed))
    ]
    head = ("time", "median", "99.9th percentile", "longest")
    note = (
        f"Of one hop of ours, ms (share of its {1000 * HOP_SECONDS:.2f} ms), collections of its own garbage included."
    )
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
    with only_new_garbage():
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


def _instructions(counted: Costs) -> Table:
    names = next(iter(counted.values()))
    rows = tuple((name, *(f"{works[name]:.1f}" for works in counted.values())) for name in names)
    note = "Millions of arm64 instructions a second of sound, counted under qemu-user."
    return Table("Instructions", note, ("work", *counted), rows)
