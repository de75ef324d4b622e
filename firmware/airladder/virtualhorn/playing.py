"""Turns a gesture into what breath, tongue, lip and throat do, a millisecond at a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import pi, sin

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import RATE
from airladder.music.series import Series
from airladder.virtualhorn.gesture import LEAD_SECONDS, Gesture
from airladder.virtualhorn.modes import Mode, step
from airladder.virtualhorn.mouth import Mouth, setting_for
from airladder.virtualhorn.reed import Reed, Stretch

Floats = npt.NDArray[np.float64]

RELEASE_SECONDS = 0.06
"""The breath ends within this time."""

TAIL_SECONDS = 0.25
"""Sound goes on for so long after the player has let go."""

_EACH = 48  # samples
_BUILD_SECONDS = 0.03
_LIP_DISPLACED, _LIP_REED = 0.5, 0.04  # how much a lip at its tightest takes off, and puts on


def stretches(series: Series, gesture: Gesture, rng: np.random.Generator) -> Iterator[Stretch]:
    """What the player does, from the first sample to the last; `rng` makes the roughness of the breath."""
    count = round((LEAD_SECONDS + gesture.seconds + TAIL_SECONDS) * RATE / _EACH)
    seconds = np.arange(count * _EACH) / RATE - LEAD_SECONDS
    pressed, freed = _pressed(gesture, seconds, rng), _freed(gesture, seconds)
    for index in range(count):
        inside = slice(index * _EACH, (index + 1) * _EACH)
        mouth = _mouth(series, gesture, float(seconds[index * _EACH]))
        yield Stretch(
            breath=(mouth.breath * pressed[inside]).tolist(),
            opening=(mouth.opening * freed[inside]).tolist(),
            displaced=mouth.displaced,
            tract=step(Mode(mouth.tract_hz, mouth.tract_height, mouth.tract_q)),
            reed=Reed(mouth.reed_hz, mouth.reed_q),
        )


def _pressed(gesture: Gesture, seconds: Floats, rng: np.random.Generator) -> Floats:
    """The breath, 1 at full pressure: it builds behind the tongue, or slowly with an air start."""
    if gesture.kind == "tongued":
        risen = np.clip((seconds + LEAD_SECONDS) / _BUILD_SECONDS, 0.0, 1.0)
    else:
        risen = np.clip(seconds / gesture.air_seconds, 0.0, 1.0)
    left = np.clip(1.0 - (seconds - gesture.seconds) / RELEASE_SECONDS, 0.0, 1.0)
    rough: Floats = risen * left * gesture.breath * (1.0 + gesture.noise * rng.standard_normal(len(seconds)))
    return rough


def _freed(gesture: Gesture, seconds: Floats) -> Floats:
    """How far the tongue lets the reed go, 0 to 1."""
    if gesture.kind == "air":
        return np.ones(len(seconds))
    return np.clip(seconds / gesture.tongue_seconds, 0.0, 1.0)


def _mouth(series: Series, gesture: Gesture, seconds: float) -> Mouth:
    mouth = (gesture.setting or setting_for(gesture.partial)).on(series)
    for begin, partial in gesture.moves:
        share = min(max((seconds - begin) / gesture.move_seconds, 0.0), 1.0)
        mouth = mouth.towards(setting_for(partial).on(series), share)
    lip = gesture.lip + gesture.lip_drift * min(max(seconds / gesture.seconds, 0.0), 1.0)
    lip += gesture.vibrato_lip * sin(2.0 * pi * gesture.vibrato_hz * seconds)
    return replace(
        mouth,
        tract_hz=mouth.tract_hz * 2.0 ** (gesture.tract_cents / 1200.0),
        tract_height=mouth.tract_height * gesture.tract_share,
        displaced=mouth.displaced * (1.0 - _LIP_DISPLACED * lip),
        reed_hz=mouth.reed_hz * (1.0 + _LIP_REED * lip),
    )
