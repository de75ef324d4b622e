"""What was set out to be reached in cents, delay, attacks, splits and cracks, what is, and the best of the others."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bench.judge import SPLIT_SHARE, Mark
from bench.note_tables import alone
from bench.onsets import WINDOWS_S, Found, Start, f_measure, false_a_minute
from bench.pitch_tables import LOW_HZ
from bench.tables import NONE, Table, names_of, quantile

_SOLO = ("clean", "notes gaps", "notes abutting")
_QUIET = {"recorded": "clean|notes (gaps|abutting)|air start", "played": "physical (clean|short|soft|drop|crack)"}
_NOISE_AND_BLEED = "pink .*|bleed .*|no note: (pink|piano|drums|saxophone) .*"
_NO_NOTE = "no note: (key clicks|thumps|breath|talk|song|hum)"


@dataclass(frozen=True)
class Target:
    """One figure: `limit` is the most it may be, or with `least` the least; nan where there is nothing to judge."""

    name: str
    value: float
    limit: float
    least: bool = False

    def cells(self) -> tuple[str, ...]:
        """As a row of the table: name, wanted, reached, met."""
        met = self.value >= self.limit if self.least else self.value <= self.limit
        side = "at least" if self.least else "at most"
        return self.name, f"{side} {self.limit:g}", f"{self.value:.3g}", "yes" if met else "no"


HEAD = ("what", "wanted", "reached", "met")


def target_table(marks: Sequence[Mark], found: Sequence[Found], starts: Sequence[Start], ours: str) -> list[Table]:
    """Our own figures, of which there are clips, and beside each the best one of those who answer that at all."""
    names = [ours, *names_of(one.listener for one in marks), *names_of(one.detector for one in found)]
    said = {
        name: _compared([m for m in marks if m.listener == name], [f for f in found if f.detector == name])
        for name in names_of(names)
    }
    mine = said.pop(ours)
    rows = [(*one.cells(), _best(one, said, place)) for place, one in enumerate(mine) if not math.isnan(one.value)]
    alone = [*_kinds(starts), *_splits([mark for mark in marks if mark.listener == ours])]
    rows += [(*one.cells(), NONE) for one in alone if not math.isnan(one.value)]
    note = "The best of the general trackers and onset detectors is, for each figure alone, the one nearest to it."
    return [Table("Reach: cents, delay, notes", note, (*HEAD, "the best of the others"), tuple(rows))] if rows else []


def _compared(marks: Sequence[Mark], found: Sequence[Found]) -> list[Target]:
    """What others can be asked too."""
    return [*_cents(marks), *_delays(marks), *_attacks(found)]


def _best(mine: Target, others: dict[str, list[Target]], place: int) -> str:
    known = {name: them[place].value for name, them in others.items() if not math.isnan(them[place].value)}
    if not known:
        return NONE
    name = (max if mine.least else min)(known, key=lambda name: known[name])
    return f"{known[name]:.3g} ({name})"


def _cents(some: Sequence[Mark]) -> list[Target]:
    return [
        *_still("recorded, made to stand still", _offs(some, "steady", vibrato=False), 0.05, 0.3),
        *_still("made tones", _offs(some, "exact 40 dB", vibrato=False), 0.05, 0.3),
        *_still("made tones, white noise at 20 dB", _offs(some, "exact 20 dB", vibrato=False), 0.1, 0.4),
        Target("cents, recorded, vibrato: median", quantile(_offs(some, "clean", vibrato=True), 0.5), 0.3),
        Target(
            "cents, made tones, vibrato: median", quantile(_offs(some, "exact vibrato 40 dB", vibrato=True), 0.5), 0.3
        ),
    ]


def _still(what: str, offs: list[float], median: float, tail: float) -> list[Target]:
    return [
        Target(f"cents, {what}: median", quantile(offs, 0.5), median),
        Target(f"cents, {what}: 95th percentile", quantile(offs, 0.95), tail),
    ]


def _offs(some: Sequence[Mark], row: str, *, vibrato: bool) -> list[float]:
    return [off for mark in some if mark.row == row and mark.vibrato == vibrato for off in mark.cents]


def _delays(some: Sequence[Mark]) -> list[Target]:
    asked = [(m.hz, m.delay_s) for m in some if m.row == "clean" and m.begins and m.delay_s is not None]
    ms = [1000.0 * delay for _, delay in asked]
    periods = [delay * hz for hz, delay in asked if hz < LOW_HZ]
    return [
        Target("delay, clean: median, ms", quantile(ms, 0.5), 15.0),
        Target("delay, clean: 90th percentile, ms", quantile(ms, 0.9), 35.0),
        Target("delay, clean, under 150 Hz: median, periods", quantile(periods, 0.5), 2.5),
    ]


def _attacks(some: Sequence[Found]) -> list[Target]:
    targets = []
    for row in _SOLO:
        solo = [one for one in some if one.row == row]
        for window, least in zip(WINDOWS_S, (0.995, 0.95), strict=True):
            name = f"attacks, {row}, within {1000 * window:g} ms: F"
            targets.append(Target(name, f_measure(solo, window), least, least=True))
    for what, rows in (("noise and bleed", _NOISE_AND_BLEED), ("what is no note", _NO_NOTE)):
        disturbed = [one for one in some if re.fullmatch(rows, one.row)]
        targets.append(Target(f"false attacks in {what}, a minute", false_a_minute(disturbed), 1.0))
    return targets


def _kinds(starts: Sequence[Start]) -> list[Target]:
    targets = []
    for what, rows in _QUIET.items():
        quiet = [start for start in starts if re.fullmatch(rows, start.row)]
        right = _percent(start.said == start.true for start in quiet if start.said != "unsure")
        targets += [
            Target(f"kinds told in quiet, {what}: right, %", right, 97.0, least=True),
            Target(f"kinds in quiet, {what}: unsure, %", _unsure(quiet), 30.0),
        ]
    noisy = [start for start in starts if start.row.startswith("pink ")]
    return [*targets, Target("kinds in pink noise: unsure, %", _unsure(noisy), 50.0, least=True)]


def _unsure(starts: Sequence[Start]) -> float:
    return _percent(start.said == "unsure" for start in starts)


def _splits(mine: Sequence[Mark]) -> list[Target]:
    split = [mark.called_split >= SPLIT_SHARE for mark in mine if mark.split and mark.hops]
    false = [mark.called_split >= SPLIT_SHARE for mark in alone(mine) if mark.hops]
    cracks = [(mark.cracks, mark.cracks_found) for mark in mine if mark.cracks]
    found = 100.0 * sum(f for _, f in cracks) / sum(c for c, _ in cracks) if cracks else float("nan")
    return [
        Target("splits found, %", _percent(split), 95.0, least=True),
        Target("single notes called split, %", _percent(false), 1.0),
        Target("cracks of 40 ms and more found, %", found, 95.0, least=True),
    ]


def _percent(flags: Iterable[bool]) -> float:
    known = list(flags)
    return 100.0 * sum(known) / len(known) if known else float("nan")
