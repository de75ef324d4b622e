"""Resonances of air columns, and how each of them is stepped from sample to sample.

An input impedance is taken as the sum of its modes, Z(s) = d + sum of C/(s - s_k) and conjugates, as models of reed
instruments do (J.-B. Doc, C. Vergez, S. Missoum, Acta Acustica 100 (2014) 543-554). A step is exact for a flow that
goes straight from sample to sample.

Conventions
-----------
Impedances are in units of the bore's characteristic impedance, frequencies in Hz.
"""

from __future__ import annotations

from cmath import exp, pi
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from airladder.hearing.block import RATE


@dataclass(frozen=True)
class Mode:
    """One resonance: where, how high its peak, and how sharp (its frequency over its width)."""

    hz: float
    height: float
    q: float

    @property
    def pole(self) -> complex:
        """In rad/s."""
        return 2.0 * pi * self.hz * complex(-0.5 / self.q, 1.0)

    @property
    def residue(self) -> float:
        """Of the pole and its conjugate together: twice the height times the damping."""
        return 2.0 * pi * self.hz / self.q * self.height


@dataclass(frozen=True)
class Step:
    """How a mode goes on: state' = turn * state + push * flow; its pressure is Re(state) + now * flow."""

    turn: complex
    push: complex
    now: float


def step(mode: Mode) -> Step:
    """The step of one sample at 48 kHz, exact for a flow that is a straight line within it."""
    z = mode.pole / RATE
    turn = exp(z)
    late = mode.residue / RATE * (turn - 1.0 - z) / z**2  # what the flow at the end of the step adds
    early = mode.residue / RATE * (turn - 1.0) / z - late  # and that at its beginning
    return Step(turn, turn * late + early, late.real)


def impedance(modes: Sequence[Mode], hz: npt.ArrayLike, direct: float = 0.0) -> npt.NDArray[np.complex128]:
    """The input impedance of the modes together at `hz`, any shape."""
    s = 2j * np.pi * np.asarray(hz, np.float64)
    total = np.full(s.shape, direct, np.complex128)
    for mode in modes:
        half = mode.residue / 2.0
        total += half / (s - mode.pole) + half / (s - mode.pole.conjugate())
    return total
