"""A reed on its mouthpiece, blown: what turns steady breath into sound.

One mode for the reed, Bernoulli's jet under it, the flow that its own motion displaces, and the resonances of bore
and vocal tract in series behind it: the model that the literature agrees on (A. Hirschberg, J. Kergomard,
G. Weinreich, Mechanics of Musical Instruments, Springer 1995; J.-B. Doc, C. Vergez, S. Missoum, Acta Acustica 100
(2014) 543-554, for the saxophone). A reed that is bent further than shut is not stopped: only its slit is.

Conventions
-----------
Pressures in units of the one that shuts the reed, openings in units of the opening at rest, flows in units that make
the bore's characteristic impedance 1. One value a sample at 48 kHz.
"""

from __future__ import annotations

from cmath import exp
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import pi, sqrt

from airladder.hearing.block import RATE
from airladder.virtualhorn.modes import Step


@dataclass(frozen=True)
class Reed:
    """How a reed moves: its own frequency in Hz, and how little the lip damps it."""

    hz: float
    q: float

    def step(self) -> tuple[complex, complex]:
        """Turn and push: state' = turn * state + push * pressure across it; Re(state) is the way from rest."""
        own = 2.0 * pi * self.hz
        pole = own * complex(-0.5 / self.q, sqrt(1.0 - 0.25 / self.q**2))
        turn = exp(pole / RATE)
        return turn, 1j * own**2 / pole.imag * (turn - 1.0) / pole


@dataclass(frozen=True)
class Stretch:
    """A short time in which what the player does changes only in its breath and opening.

    Attributes
    ----------
    breath : pressure in the mouth, one value a sample
    opening : how far the slit opens for a reed at rest, one value a sample: the lip's, and the tongue's, who shuts it
    displaced : flow per speed of the reed, s
    tract : the resonance of the vocal tract
    reed : the resonance of the reed
    """

    breath: Sequence[float]
    opening: Sequence[float]
    displaced: float
    tract: Step
    reed: Reed


def blow(bore: Sequence[Step], direct: float, stretches: Iterable[Stretch]) -> Iterator[list[float]]:
    """The pressure in the mouthpiece, one value a sample, one list a stretch.

    A plain loop over plain numbers: arrays as small as these are ten times slower.

    Parameters
    ----------
    bore : the modes of the air column
    direct : its impedance beside them
    stretches : what the player does
    """
    states = [0j] * (len(bore) + 1)
    way, before = 0j, 0.0
    for part in stretches:
        pressures: list[float] = []
        steps = [(step.turn, step.push) for step in (*bore, part.tract)]
        resistance = direct + sum(step.now for step in bore) + part.tract.now
        inverse, tract_now = 1.0 / resistance, part.tract.now
        reed_turn, reed_push = part.reed.step()
        pumped = part.displaced * RATE * resistance
        half = resistance / 2.0
        for breath, opening in zip(part.breath, part.opening, strict=True):
            held = breath - sum(states).real
            x = way.real
            across = held + pumped * (x - before)  # without the jet
            before = x
            slit = half * opening * (1.0 + x) if x > -1.0 else 0.0
            if across > 0.0:
                root = sqrt(slit * slit + across) - slit
                drop = root * root
            else:
                root = sqrt(slit * slit - across) - slit
                drop = -root * root
            flow = (held - drop) * inverse
            pressures.append(breath - drop - states[-1].real - tract_now * flow)
            way = way * reed_turn + reed_push * drop
            states = [state * turn + push * flow for state, (turn, push) in zip(states, steps, strict=True)]
        yield pressures
