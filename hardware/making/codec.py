"""The codec's levels: what the firmware's files ask of it, in decibels, and what its data sheets say of its pins.

Sources
-------
Data sheet WM8960 (rev. 4.2 of August 2013): features (ADC signal to noise 94 dB at 3.3 V, A-weighted; amplifier of
the input -17.25 to +30 dB in steps of 0.75 dB; headphones -73 to +6 dB in steps of 1 dB; bias of the microphone 0.9 x
supply), table 5 (boost 0, 13, 20, 29 dB); full scale 1.0 V rms at 3.3 V.
Data sheet WM8976 (same family, rev. 3.0 of April 2006), electrical characteristics: the input has 1.6 kohm at
+35.25 dB, 47 kohm at 0 dB, 75 kohm at -12 dB.
Kernel, sound/soc/codecs/wm8960.c: names and raw values of the controls. Untested on hardware.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from making.circuit import HARDWARE, CircuitFault

MIXER = HARDWARE.parent / "firmware/system/mixer"
SUPPLY = 3.3
FULL_SCALE = 1.0
"""Volts, rms, of converters both ways; in proportion to the supply."""
BIAS = 0.9
"""Of the supply."""
NOISE = 94.0
"""Decibels of the converter's noise below full scale, at 0 dB in front of it."""
MOST = 63
"""The greatest raw value of the input's amplifier."""

_INPUT = "Capture Volume"
_BOOST, _BOOSTS = "Left Input Boost Mixer LINPUT1 Volume", (0.0, 13.0, 20.0, 29.0)
_DIGITAL_IN, _DIGITAL_OUT, _PHONES = "ADC PCM Capture Volume", "Playback Volume", "Headphone Playback Volume"
_LINE = re.compile(r"cset name='([^']+)' (\S+)")


@dataclass(frozen=True)
class Levels:
    """What the firmware's files set for one place of the microphone.

    Parameters
    ----------
    place : bell or stand
    raw : of the input's amplifier
    gain : decibels from the input to the numbers
    phones : decibels from the numbers to the codec's headphone pins
    """

    place: str
    raw: int
    gain: float
    phones: float


def gain_of(raw: int) -> float:
    """Decibels of the input's amplifier: raw 23 is 0 dB."""
    return (raw - 23) * 0.75


def input_ohms(gain: float) -> float:
    """Ohms of the input at so many decibels: its resistors are 94 kohm in all, and the gain divides them.

    The formula gives the three values of the WM8976's data sheet to within 1 %; the WM8960's are taken for the same.
    """
    return 94e3 / (1 + 10 ** (gain / 20))


def levels(place: str, folder: Path = MIXER) -> Levels:
    """Read the levels of `both` and of one place.

    Raises
    ------
    CircuitFault : a control is not set, or left and right differ.
    """
    said = _said(folder / "both") | _said(folder / place)
    raw = _raw(said, _INPUT)
    boost = _BOOSTS[_raw(said, _BOOST)]
    digital = (_raw(said, _DIGITAL_IN) - 195) * 0.5
    phones = (_raw(said, _PHONES) - 121) * 1.0 + (_raw(said, _DIGITAL_OUT) - 255) * 0.5
    return Levels(place, raw, gain_of(raw) + boost + digital, phones)


def _said(path: Path) -> dict[str, str]:
    lines = (_LINE.match(line) for line in path.read_text("utf-8").splitlines())
    return {found[1]: found[2] for found in lines if found}


def _raw(said: Mapping[str, str], name: str) -> int:
    values = set(said.get(name, "").split(","))
    if len(values) != 1 or not (value := values.pop()).isdigit():
        raise CircuitFault(f"firmware/system/mixer: '{name}' is '{said.get(name)}'; the figures want one number")
    return int(value)
