"""What was set out to be reached in cents, delay, attacks, splits and cracks, beside what we reach."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from bench.judge import SPLIT_SHARE, Mark
from bench.onsets import WINDOWS_S, Found, Start, f_measure, false_a_minute
from bench.pitch_tables import LOW_HZ
from bench.tables import Table, quantile, single

_SOLO = "clean|notes (gaps|abutting)"
_DISTURBED = "no note: .*|pink .*|bleed .*"


@dataclass(frozen=True)
class Target:
    """One figure: `limit` is the most it may be, or with `least` the least."""

    name: str
    value: float
    limit: float
    least: bool = False

    def cells(self) -> tuple[str, ...]:
        """As a row of the table."""
        met = self.value >= self.limit if self.least else self.value <= self.limit
        side = "at least" if self.least else "at most"
        return self.name, f"{side} {self.limit:g}", f"{self.value:.3g}", "yes" if met else "no"


def target_table(marks: Sequence[Mark], found: Sequence[Found], starts: Sequence[Start], ours: str) -> list[Table]:
    """Our own figures; those for which there are no clips are left out."""
    mine = [mark for mark in marks if mark.listener == ours]
    heard = [one for one in found if one.detector == ours]
    targets = [*_cents(mine), *_delays(mine), *_attacks(heard), *_kinds(starts), *_splits(mine)]
    rows = tuple(target.cells() for target in targets if not np.isnan(target.value))
    head = ("what", "wanted", "reached", "met")
    return [Table("Reach: cents, delay, notes", "Ours alone.", head, rows)] if rows else []


def _cents(mine: Sequence[Mark]) -> list[Target]:
    clean = _offs(mine, "steady|exact 40 dB", vibrato=False)
    noisy = _offs(mine, "exact 20 dB", vibrato=False)
    swaying = _offs(mine, "clean|exact vibrato 40 dB", vibrato=True)
    return [
        Target("cents, clean, no vibrato: median", quantile(clean, 0.5), 0.05),
        Target("cents, clean, no vibrato: 95th percentile", quantile(clean, 0.95), 0.3),
        Target("cents, white noise at 20 dB, no vibrato: median", quantile(noisy, 0.5), 0.1),
        Target("cents, white noise at 20 dB, no vibrato: 95th percentile", quantile(noisy, 0.95), 0.4),
        Target("cents, clean, vibrato: median", quantile(swaying, 0.5), 0.3),
    ]


def _offs(mine: Sequence[Mark], rows: str, *, vibrato: bool) -> list[float]:
    some = [mark for mark in mine if re.fullmatch(rows, mark.row) and mark.vibrato == vibrato]
    return [off for mark in some for off in mark.cents]


def _delays(mine: Sequence[Mark]) -> list[Target]:
    asked = [(m.hz, m.delay_s) for m in mine if m.row == "clean" and m.begins and m.delay_s is not None]
    ms = [1000.0 * delay for _, delay in asked]
    periods = [delay * hz for hz, delay in asked if hz < LOW_HZ]
    return [
        Target("delay, clean: median, ms", quantile(ms, 0.5), 15.0),
        Target("delay, clean: 90th percentile, ms", quantile(ms, 0.9), 35.0),
        Target("delay, clean, under 150 Hz: median, periods", quantile(periods, 0.5), 2.5),
    ]


def _attacks(heard: Sequence[Found]) -> list[Target]:
    solo = [one for one in heard if re.fullmatch(_SOLO, one.row)]
    disturbed = [one for one in heard if re.fullmatch(_DISTURBED, one.row)]
    return [
        Target("attacks of solo notes, within 50 ms: F", f_measure(solo, WINDOWS_S[0]), 0.995, least=True),
        Target("attacks of solo notes, within 10 ms: F", f_measure(solo, WINDOWS_S[1]), 0.95, least=True),
        Target("false attacks in noise and bleed, a minute", false_a_minute(disturbed), 1.0),
    ]


def _kinds(starts: Sequence[Start]) -> list[Target]:
    quiet = [start for start in starts if re.fullmatch(f"{_SOLO}|air start", start.row)]
    told = [start for start in quiet if start.said != "unsure"]
    return [
        Target(
            "kinds told in quiet: right, %", _percent(start.said == start.true for start in told), 97.0, least=True
        ),
        Target("kinds in quiet: unsure, %", _percent(start.said == "unsure" for start in quiet), 30.0),
    ]


def _splits(mine: Sequence[Mark]) -> list[Target]:
    split = [mark.called_split >= SPLIT_SHARE for mark in mine if mark.split and mark.hops]
    false = [mark.called_split >= SPLIT_SHARE for mark in single(mine) if mark.hops]
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
