"""Butterworth filters for sound that comes hop by hop.

Made by the bilinear transform (A. Oppenheim, R. Schafer, Discrete-Time Signal Processing), run by aubio.
"""

from __future__ import annotations

import math
from typing import Literal

import aubio

SECOND_ORDER = (math.sqrt(0.5),)
FOURTH_ORDER = (0.541196, 1.306563)
"""Quality factors of the second-order sections."""


def butterworth(
    kind: Literal["low", "high"], corner_hz: float, rate: int, qs: tuple[float, ...]
) -> list[aubio.digital_filter]:
    """The second-order sections, for `rate` samples a second, whose quality factors are `qs`."""
    sections = []
    for q in qs:
        warped = math.tan(math.pi * corner_hz / rate)
        norm = 1.0 / (1.0 + warped / q + warped**2)
        gain, sign = (warped**2 * norm, 1.0) if kind == "low" else (norm, -1.0)
        section = aubio.digital_filter(3)
        section.set_biquad(
            gain, sign * 2.0 * gain, gain, 2.0 * (warped**2 - 1.0) * norm, (1.0 - warped / q + warped**2) * norm
        )
        sections.append(section)
    return sections
