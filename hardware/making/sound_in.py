"""The way of the sound inwards: microphones, their bias, the piezo clip, and the corner frequencies on the way.

Levels are rms unless they are called peaks. 0 dBFS is a full-scale sine. Untested on hardware.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from math import log10, sqrt
from pathlib import Path

from making.circuit import HARDWARE, Circuit
from making.codec import BIAS, FULL_SCALE, NOISE, SUPPLY, input_ohms
from making.values import corner, of, parallel, told

CREST = 12.0
"""Decibels of a saxophone's peaks above its rms: assumed; to be measured at a bell."""
SINE = 10 * log10(2)
RATED_LOAD = 2200.0
"""Ohms that a capsule's sensitivity is told for (parts.toml, [capsule]; the clip-on's is taken for the same)."""
PLAIN_LIMIT = 110.0
"""dB SPL at which a plain capsule at 2.2 kohm and 3 V begins to distort: 110 to 115 dB for 3 % (typical; from memory;
the sheet of the one that is bought decides)."""
PIEZO = 15e-9
"""Farads of a piezo clip: the middle of what extras.toml asks for."""
CERAMIC = 0.10
"""Tolerance of the capacitors on this way (parts.toml)."""


@dataclass(frozen=True)
class Microphone:
    """A capsule and what it bears.

    Parameters
    ----------
    name : what the tables call it
    sensitivity : dBV a pascal, loaded with RATED_LOAD
    spread : decibels by which a bought one may be more sensitive
    limit : dB SPL that it bears
    """

    name: str
    sensitivity: float
    spread: float
    limit: float


@dataclass(frozen=True)
class Corner:
    """A frequency at which a part of the way passes half the power.

    Parameters
    ----------
    name : the parts that make it
    hertz : with the parts' tolerance at its worse end
    """

    name: str
    hertz: float


def microphones(circuit: Circuit, folder: Path = HARDWARE) -> dict[str, Microphone]:
    """Place -> its microphone, as parts.toml and extras.toml tell what to buy."""
    with (folder / "extras.toml").open("rb") as file:
        (clip,) = (each for each in tomllib.load(file)["extra"] if each["ref"] == "X9")
    capsule = circuit.items["MK1"].part
    usual = told(capsule.mpn, "# dBV/Pa")
    return {
        # Makers of such capsules allow about 3 dB either way: common practice.
        "bell": Microphone("clip-on", told(clip["spec"], "# dBV/Pa"), 3.0, told(clip["mpn"], "# dB SPL")),
        "stand": Microphone("capsule", usual, told(capsule.spec, "to # dBV/Pa") - usual, PLAIN_LIMIT),
    }


def volts(sensitivity: float, spl: float) -> float:
    """Volts of a microphone at so many dB SPL: its sensitivity is told for 1 Pa, which is 94 dB."""
    return float(10 ** ((sensitivity + spl - 94) / 20))


def loading(circuit: Circuit, gain: float) -> float:
    """Decibels, below nought, that R1 and the codec's input take: they load the capsule more than its data sheet."""
    return 20 * log10(parallel((of(circuit, "R1"), input_ohms(gain))) / RATED_LOAD)


def level(sensitivity: float, spl: float, decibels: float) -> float:
    """dBFS at so many dB SPL, with so many decibels between capsule and numbers."""
    return 20 * log10(volts(sensitivity, spl) / FULL_SCALE) + decibels


def peak(sensitivity: float, spl: float, decibels: float) -> float:
    """dBFS of the peaks: p = sensitivity + (SPL - 94) + gain + crest - 3."""
    return level(sensitivity, spl, decibels) + CREST - SINE


def clipping(sensitivity: float, decibels: float) -> float:
    """dB SPL at which the peaks reach 0 dBFS."""
    return 94 - peak(sensitivity, 94, decibels)


def over_noise(sensitivity: float, spl: float, decibels: float) -> tuple[float, float]:
    """Least and most decibels over the codec's noise.

    Its 94 dB hold for no gain. If all the noise came before the amplifier, the gain would lift it as well (least); if
    all came behind it, the gain would lift the sound alone (most).
    """
    before = 20 * log10(volts(sensitivity, spl) / FULL_SCALE) + NOISE
    return before + min(0.0, decibels), before + max(0.0, decibels)


def capsule_volts(circuit: Circuit, milliamperes: float, *, other: bool = False) -> float:
    """Volts left on the capsule, through R1 from MICB; `other`: MICB is not brought out, and R2 feeds R1 instead."""
    source, ohms = (SUPPLY, of(circuit, "R2") + of(circuit, "R1")) if other else (SUPPLY * BIAS, of(circuit, "R1"))
    return source - milliamperes / 1000 * ohms


def pad(circuit: Circuit, gain: float) -> float:
    """What the pad behind the piezo's follower leaves of its volts, loaded with the codec's input."""
    lower = parallel((of(circuit, "R13"), input_ohms(gain)))
    return lower / (lower + of(circuit, "R12"))


def piezo_level(circuit: Circuit, volts_of_clip: float, gain: float) -> float:
    """Level in dBFS of so many volts of a piezo clip."""
    return 20 * log10(volts_of_clip * pad(circuit, gain) / FULL_SCALE) + gain


def follower_clips() -> float:
    """Volts of a sine that the follower passes at most: it stands at half the supply, and reaches both rails
    (MCP6001 data sheet, output swing 25 mV from the rails)."""
    return (SUPPLY / 2 - 0.025) / sqrt(2)


def coupling(circuit: Circuit, gain: float) -> Corner:
    """C10 between the capsule, which is a current into R1, and the codec's input."""
    return Corner("C10, R1 + input", corner(of(circuit, "R1") + input_ohms(gain), of(circuit, "C10") * (1 - CERAMIC)))


def clip_corner(circuit: Circuit) -> Corner:
    """The piezo clip itself, into what holds the follower's input."""
    one, other = PIEZO, of(circuit, "C13") * (1 - CERAMIC)
    ohms = of(circuit, "R10") + of(circuit, "R11")
    return Corner("piezo + C13, R10 + R11", corner(ohms, one * other / (one + other)))


def low_corners(circuit: Circuit, gain: float) -> Iterator[Corner]:
    """Those below which the sound is lost, at so many decibels of the codec's input."""
    yield coupling(circuit, gain)
    source = parallel((of(circuit, "R12"), of(circuit, "R13")))
    yield Corner("C12, R12 || R13 + input", corner(source + input_ohms(gain), of(circuit, "C12") * (1 - CERAMIC)))


def high_corners(circuit: Circuit) -> Iterator[Corner]:
    """Those above which it is: the first must spare the sound, the second must keep out radio.

    The bead counts with the ohms that it has at 100 MHz; far below it is next to nothing.
    """
    yield Corner("C9, R1", corner(of(circuit, "R1"), of(circuit, "C9") * (1 + CERAMIC)))
    yield Corner("FB2 at 100 MHz, C9", corner(of(circuit, "FB2"), of(circuit, "C9") * (1 - CERAMIC)))
