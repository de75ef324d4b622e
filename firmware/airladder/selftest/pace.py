"""How fast a microphone's samples come, by a clock.

A block can be late, for the computer had other things to do, but never early. So of every stretch only the earliest
block counts, early against the even pace: a line through those of twelve stretches is the pace, and how far they lie
beside the line says how well it is known.

Conventions
-----------
Times in seconds; ppm are millionths: 1 cent is 2 ** (1 / 1200) - 1 = 578 ppm. Pure.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from airladder.hearing.block import RATE

STRETCHES = 12

LIMIT_PPM = 289.0
"""Half a cent: less than the screen shows. A crystal is within 50 ppm, two of them within 100 (common practice), so
that what is beyond has another cause."""

FAR_PPM = 5_000.0
"""No crystal is so far off: this is another clock altogether."""

_WRONG = {
    2.0: "twice as fast: two channels are counted as one, or a divider of the codec is wrong by two",
    0.5: "half as fast: a divider of the codec is wrong by two",
    44_100
    / 48_000: "those of 44.1 kHz: the crystal is one of 11.2896 or 22.5792 MHz, 12.288 or 24.576 MHz is wanted",
    24.0 / 24.576: "those of a crystal of 12 or 24 MHz where the overlay says 12.288 or 24.576 MHz",
    24.576 / 24.0: "those of a crystal of 12.288 or 24.576 MHz where the overlay says 12 or 24 MHz",
    24.0 / 12.288: "those of a crystal of 24 MHz where the overlay says 12.288 MHz",
    12.288 / 24.0: "those of a crystal of 12.288 MHz where the overlay says 24 MHz",
    32_000 / 48_000: "those of 32 kHz",
}
_ALIKE = 0.005


@dataclass(frozen=True)
class Pace:
    """What was measured.

    Attributes
    ----------
    ppm : how much too fast
    unsure_ppm : standard error of it
    seconds : over how long
    """

    ppm: float
    unsure_ppm: float
    seconds: float

    @property
    def cents(self) -> float:
        """By how much every pitch is told too low, for a tone that is played in tune."""
        return 1200.0 * math.log2(1.0 + self.ppm / 1e6)

    @property
    def complaint(self) -> str:
        """What is wrong, as a sentence; empty when all is well."""
        come = round(RATE * (1.0 + self.ppm / 1e6), -2)
        measured = f"{come:.0f} samples a second come, {RATE} are wanted"
        if abs(self.ppm) > FAR_PPM:
            return f"{measured}: {_named(1.0 + self.ppm / 1e6)}."
        if self.unsure_ppm > LIMIT_PPM:
            return (
                f"The rate could not be measured closely ({self.ppm:+.0f} ppm, unsure by {self.unsure_ppm:.0f}): end"
                " what else runs, and measure for longer, without --quick."
            )
        if abs(self.ppm) > LIMIT_PPM:
            return (
                f"The sound's clock is {self.ppm:+.0f} ppm off, {self.cents:+.2f} cents; {LIMIT_PPM:.0f} ppm, half a"
                " cent, are allowed: look at the codec's crystal and who is clock master."
            )
        return ""


def pace(frames: Sequence[int], times: Sequence[float]) -> Pace | None:
    """The pace of blocks; None when they are too few or no time passed.

    Parameters
    ----------
    frames : how many frames had come with each block, rising
    times : when it was taken, by a clock that no time server turns
    """
    if len(frames) < 3 * STRETCHES or times[-1] <= times[0]:
        return None
    nominal = np.asarray(frames, np.float64) / RATE
    late = np.asarray(times, np.float64) - nominal
    early = [part[np.argmin(late[part])] for part in np.array_split(np.arange(len(late)), STRETCHES)]
    x, y = nominal[early], late[early]
    slope, at_zero = np.polyfit(x, y, 1)
    beside = y - (slope * x + at_zero)
    spread = float(np.sum((x - x.mean()) ** 2))
    error = math.sqrt(float(np.sum(beside**2)) / (STRETCHES - 2) / spread)
    ratio = 1.0 / max(1.0 + float(slope), 1e-3)  # what is not paced at all comes a thousand times too fast, or more
    return Pace((ratio - 1.0) * 1e6, error * 1e6, float(times[-1] - times[0]))


def _named(ratio: float) -> str:
    near = min(_WRONG, key=lambda wrong: abs(wrong / ratio - 1.0))
    if abs(near / ratio - 1.0) <= _ALIKE:
        return _WRONG[near]
    return f"{ratio:.3f} times as fast as wanted, which no clock of ours explains; a file or a null device has none"
