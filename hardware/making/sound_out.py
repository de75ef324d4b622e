"""The way of the sound outwards: the most that phones can get, whatever the program does, and what they get usually.

The divider behind the codec is the last word: no software can lift it. Untested on hardware.

Sources
-------
pal-acoustics.com, page on EN 50332: a player gives at most 150 mV, and phones want at least 75 mV (for 94 dB, by the
standard's second part; from memory). isvr.co.uk, page on EN 50332: it is measured across 32 ohm. Ours is no player of
that standard and was not tested by it; the figures are a yardstick.
"""

from __future__ import annotations

from math import inf, log10, sqrt

from making.circuit import Circuit
from making.codec import FULL_SCALE, SUPPLY
from making.values import corner, of, parallel

LOADS = (16.0, 32.0, 300.0, inf)
"""Ohms of phones, the last of none."""
MEASURED_AT = 32.0
LIMIT = 150e-3
SENSITIVE, AT = 75e-3, 94.0
"""Volts of the most sensitive phones, and the dB SPL that they give with them."""
RESISTOR, CERAMIC = 0.01, 0.20
"""Tolerances of the resistors and of the large capacitors (parts.toml)."""

LOUDEST = 0.1
"""The most that the program makes of the wanted pitch, of full scale (airladder/target/timbre.py)."""
SINE = SUPPLY / 2 / sqrt(2)
"""Volts, rms, of the greatest sine between the codec's rails; its data sheet tells of 40 mW at 16 ohm, 0.8 V."""
SQUARE = SUPPLY / 2
"""Volts of the greatest of all: a square wave from rail to rail, as from a sine that is turned up beyond the end."""


def divided(circuit: Circuit, load: float, *, worst: bool = False) -> float:
    """What R16 and R18 leave of the codec's volts at phones of so many ohms; `worst`: with their tolerance."""
    off = RESISTOR if worst else 0.0
    lower = parallel((of(circuit, "R18") * (1 + off), load))
    return lower / (lower + of(circuit, "R16") * (1 - off))


def spl(volts: float) -> float:
    """The dB SPL that the most sensitive phones make of so many volts."""
    return AT + 20 * log10(volts / SENSITIVE)


def usual(circuit: Circuit, load: float, decibels: float) -> float:
    """Volts of the program's loudest at the phones, with the mixer's decibels between numbers and the codec's pin."""
    return float(LOUDEST * FULL_SCALE * 10 ** (decibels / 20)) * divided(circuit, load)


def phones_corner(circuit: Circuit, load: float) -> float:
    """Hertz below which C16 takes the sound away; its own tolerance at the worse end."""
    ohms = of(circuit, "R16") + parallel((of(circuit, "R18"), load))
    return corner(ohms, of(circuit, "C16") * (1 - CERAMIC))
