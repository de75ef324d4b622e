"""How the settings of virtualhorn/mouth.py were found, and how sure they are.

`python -m bench.mouths find 8`, `python -m bench.mouths check`; with tests/ and firmware/ on the path.

`find`: from the settings there are, small random changes, kept when they do better, first in theory, then in sound.
Theory: the growth rates of all modes while the reed begins to move, from the linearised equations; the wanted one
must grow faster than any other. Sound: what is measured in the mouthpiece for tongued and air starts, soft and loud,
on a few tubes. `check`: every horn and fingering, small errors of breath, throat and lip drawn from a seed.

The rows were found with these two steps, begun from settings drawn at random; where one begins decides where one
ends. Splits and undertones were draws at random, kept when sounded.py told that they are such.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from dataclasses import astuple, replace
from itertools import product
from multiprocessing import Pool
from typing import get_args

import numpy as np

from airladder.hearing.block import RATE
from airladder.music.fingerings import fingering_named, fingerings_of
from airladder.music.horns import HORNS
from airladder.music.series import Series
from airladder.virtualhorn.bore import DIRECT, bore
from airladder.virtualhorn.gesture import Gesture, Kind
from airladder.virtualhorn.modes import Mode, impedance
from airladder.virtualhorn.mouth import PLAYABLE, Mouth, Setting, setting_for
from airladder.virtualhorn.physical import play
from bench.sounded import off_cents, partial_of, repeated_hz

_PANEL = tuple(
    Series(HORNS[horn], fingering_named(HORNS[horn], name))
    for horn, name in (("alto", "Bb3"), ("alto", "A4"), ("tenor", "C4"), ("soprano", "Bb3"))
)
_WIDTHS = np.array([0.05, 0.12, 0.04, 0.1, 0.12, 0.1, 0.09])  # of a change, in the order of a Setting
_LOWEST = np.array([0.55, 0.10, 1.0, 1.0, 5.0, 6.0, 0.8])
_HIGHEST = np.array([0.92, 0.60, 1.45, 22.0, 12.0, 34.0, 4.5])
_NEAR_CENTS = 80.0


def growths(series: Series, mouth: Mouth) -> list[tuple[float, float]]:
    """Where modes grow out of the rest, Hz, and how fast, dB/s: the roots of 1 = Z(s) Y(s), by Newton's method."""
    s = 2j * np.pi * series.fundamental_hz * np.linspace(0.8, 13.0, 160)
    open_loop = _loop(series, mouth)
    reach = 0.2 * np.pi * series.fundamental_hz
    for _ in range(40):
        here, slope = open_loop(s), (open_loop(s * (1.0 + 1e-5)) - open_loop(s)) / (1e-5 * s)
        move = here / slope
        s = s - move * np.minimum(1.0, reach / (np.abs(move) + 1e-12))
    roots = s[(np.abs(open_loop(s)) < 1e-6) & (s.imag > np.pi * series.fundamental_hz)]
    found = {(round(root.imag / 2.0 / np.pi, 1), round(root.real * 20.0 / np.log(10.0))) for root in roots}
    return sorted((float(hz), float(rate)) for hz, rate in found)


def _loop(series: Series, mouth: Mouth) -> Callable[[np.ndarray], np.ndarray]:
    """1 - Z(s) Y(s), of the air columns in series and the reed with its jet."""
    modes = [*bore(series), Mode(mouth.tract_hz, mouth.tract_height, mouth.tract_q)]
    own, across = 2.0 * np.pi * mouth.reed_hz, _across(modes, mouth)

    def loop(s: np.ndarray) -> np.ndarray:
        z = DIRECT + sum(
            mode.residue / 2.0 * (1.0 / (s - mode.pole) + 1.0 / (s - mode.pole.conjugate())) for mode in modes
        )
        reed = 1.0 / (1.0 + s / (mouth.reed_q * own) + (s / own) ** 2)
        jet = mouth.opening * (np.sqrt(across) * reed - (1.0 - across) / (2.0 * np.sqrt(across)))
        return np.asarray(1.0 - z * (jet - mouth.displaced * s * reed))

    return loop


def _across(modes: list[Mode], mouth: Mouth) -> float:
    """The steady pressure across the reed: the breath without what the steady flow builds up behind it."""
    still, across = float(impedance(modes, 0.0, DIRECT).real), mouth.breath
    for _ in range(30):
        across = mouth.breath - still * mouth.opening * (1.0 - across) * across**0.5
    return across


def lead(series: Series, setting: Setting) -> float:
    """By how much the wanted mode grows faster than any other that grows, dB/s."""
    rates = growths(series, setting.on(series))
    near = [abs(off_cents(hz, series, setting.partial)) < _NEAR_CENTS for hz, _ in rates]
    wanted = max((rate for (_, rate), mine in zip(rates, near, strict=True) if mine), default=-1e4)
    others = [rate for (_, rate), mine in zip(rates, near, strict=True) if not mine]
    return wanted - max([0.0, *others])


def sounds(setting: Setting) -> float:
    """How many of the panel's notes are the wanted partial, and a little more the nearer they lie to its place."""
    points = 0.0
    for series in _PANEL:
        for kind, breath in product(get_args(Kind), (0.94, 1.05)):
            points += _points(
                series, Gesture(setting.partial, 0.3, kind, air_seconds=0.12, breath=breath, setting=setting)
            )
    return points


def _points(series: Series, gesture: Gesture) -> float:
    pressure = play(series, gesture).pressure[round(0.23 * RATE) : round(0.34 * RATE)]
    if partial_of(pressure, series) != gesture.partial:
        return 0.0
    off = off_cents(repeated_hz(pressure, series.fundamental_hz) or 1.0, series, gesture.partial)
    return 1.0 + 0.3 * max(0.0, 1.0 - abs(off) / _NEAR_CENTS)


def climbed(start: Setting, better: Callable[[Setting], float], tries: int, seed: int) -> Setting:
    """The best of `tries` changes of changes."""
    rng, best, score = np.random.default_rng(seed), start, better(start)
    for _ in range(tries):
        changed = np.array(astuple(best)[1:8]) * np.exp(_WIDTHS * rng.standard_normal(7) * (rng.random(7) < 0.6))
        trial = Setting(best.partial, *np.clip(changed, _LOWEST, _HIGHEST).round(3).tolist())
        now = better(trial)
        if now > score:
            best, score = trial, now
    print(f"{best}  # {score:.2f}", flush=True)  # noqa: T201
    return best


def find(partial: int) -> Setting:
    """A setting for `partial`, from that of the one nearest below it."""
    start = replace(setting_for(min(partial, PLAYABLE)), partial=partial)
    if sounds(start) < len(_PANEL):
        start = climbed(start, lambda setting: min(lead(_PANEL[0], setting), 5000.0), 150, partial)
    return climbed(start, sounds, 40, partial)


def check(seed: int = 1) -> Iterable[tuple[Series, Gesture, int]]:
    """What sounded of every gesture on every tube, with small errors of the player."""
    tubes = [Series(horn, fingering) for horn in HORNS.values() for fingering in fingerings_of(horn).values()]
    jobs = product(tubes, range(1, PLAYABLE + 1), get_args(Kind))
    with Pool(2) as pool:
        yield from pool.imap(
            _checked, [(*job, seed * 10_000 + number) for number, job in enumerate(jobs)], chunksize=8
        )


def erring(partial: int, kind: Kind, seed: int) -> Gesture:
    """A gesture with the small errors of a good player."""
    rng = np.random.default_rng(seed)
    return Gesture(
        partial,
        seconds=0.4,
        kind=kind,
        tongue_seconds=float(rng.uniform(0.0015, 0.005)),
        air_seconds=float(rng.uniform(0.1, 0.25)),
        breath=float(rng.uniform(0.96, 1.04)),
        tract_cents=float(rng.uniform(-20.0, 20.0)),
        lip=float(rng.uniform(-0.3, 0.3)),
    )


def _checked(job: tuple[Series, int, Kind, int]) -> tuple[Series, Gesture, int]:
    series, partial, kind, seed = job
    gesture = erring(partial, kind, seed)
    settled = play(series, gesture, seed).pressure[round(0.3 * RATE) : round(0.43 * RATE)]
    return series, gesture, partial_of(settled, series)


if __name__ == "__main__":
    if sys.argv[1] == "find":
        find(int(sys.argv[2]))
    else:
        results = list(check())
        wrong = [result for result in results if result[2] != result[1].partial]
        for series, gesture, partial in wrong:
            print(f"{series.horn.name} {series.fingering} {gesture.kind} p{gesture.partial}: {partial}")  # noqa: T201
        print(f"{len(results) - len(wrong)} of {len(results)} sound the wanted partial")  # noqa: T201
