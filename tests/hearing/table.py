"""Prints what the Ear makes of the recorded saxophones, and what listening costs.

Run it with the virtual environment's python, from anywhere. Each cell: the tone's cents less the cents that Praat
measures of the same recording, or what was heard instead of the partial; `.` where the samples do not reach.
"""

from __future__ import annotations

import resource
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from airladder.hearing.block import RATE, Samples
from airladder.hearing.events import Tone
from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS, Horn
from airladder.music.pitch import cents
from airladder.music.series import SEMITONES, Series
from listening import heard, tones
from saxophones import Played, reach, render_many
from slowpitch import slow_pitch_hz


class Count:
    """Right and wrong partials, cents, and seconds of processor and sound."""

    def __init__(self) -> None:
        self.right = self.wrong = 0
        self.off: list[float] = []
        self.processor = self.sound = 0.0

    def cell(self, series: Series, partial: int, samples: Samples) -> str:
        """One recording in a few characters."""
        before = time.process_time()
        found = tones(heard(samples, series))
        self.processor += time.process_time() - before
        self.sound += len(samples) / RATE
        if [tone.partial for tone in found] != [partial]:
            self.wrong += 1
            return f"({','.join(str(tone.partial) for tone in found)})"
        self.right += 1
        return self._cents(found[0], cents(slow_pitch_hz(samples), series.tempered_hz(partial)))

    def _cents(self, tone: Tone, truth: float) -> str:
        off = (tone.cents or 0.0) - truth
        self.off.append(abs(off))
        return f"{off:+.1f}"


def row(series: Series, count: Count) -> list[str]:
    """The cells of one fingering, partials 1 to 8."""
    numbers = [series.fundamental_number + SEMITONES[n - 1] for n in range(1, 9)]
    there = [number for number in numbers if number in reach(series.horn)]
    recordings = dict(zip(there, render_many([Played(series.horn, number) for number in there]), strict=True))
    return [count.cell(series, n, recordings[k]) if k in recordings else "." for n, k in enumerate(numbers, 1)]


def table(horns: list[Horn]) -> None:
    """Print it."""
    count = Count()
    print("| horn, fingering |" + "".join(f" {n} |" for n in range(1, 9)))
    print("|---|" + "---|" * 8)
    for horn in horns:
        for fingering in (fingering for fingering in fingerings_of(horn).values() if fingering.long):
            cells = row(Series(horn, fingering), count)
            print(f"| {horn.name} {fingering} | " + " | ".join(cells) + " |", flush=True)
    count.off.sort()
    print(f"\n{count.right} right, {count.wrong} wrong; cents off Praat: ", end="")
    print(f"median {count.off[len(count.off) // 2]:.2f}, worst {count.off[-1]:.2f}")
    print(f"the Ear: {1000 * count.processor / count.sound:.0f} ms of processor a second of sound", end="; ")
    print(f"most memory of this process (praat too): {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB")


if __name__ == "__main__":
    table(list(HORNS.values()))
