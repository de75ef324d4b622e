"""The peaks of the virtual bore beside those of a cone of a saxophone's half angle, computed with openwind.

The cone: half angle 1.74 degrees, as J.-M. Chen, J. Smith and J. Wolfe measured on a saxophone (Acoustics Australia;
read in excerpt); 12 mm wide where the mouthpiece begins, which replaces the missing tip by its volume (handbooks of
acoustics). It has no tone holes and no bell, so its high peaks stand too high: only the first three are compared.
"""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Series
from airladder.virtualhorn.bore import DIRECT, bore
from airladder.virtualhorn.modes import impedance
from bench.clip import Floats

ALTO = Series(HORNS["alto"], fingering_named(HORNS["alto"], "Bb3"))
HALF_ANGLE, NARROW_M, SOUND_MS = np.radians(1.74), 0.006, 346.0


def peaks(size: Floats) -> Floats:
    inner = size[1:-1]
    return np.asarray(inner[(inner > size[:-2]) & (inner > size[2:])])


@pytest.fixture(scope="module")
def cone() -> Floats:
    """The heights of its peaks re the characteristic impedance of its narrow end, the lowest first."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from openwind import ImpedanceComputation

        tip = NARROW_M / np.tan(HALF_ANGLE)
        long = SOUND_MS / (2.0 * ALTO.fundamental_hz) - tip
        wide = NARROW_M + long * np.tan(HALF_ANGLE)
        tube = [[0.0, tip / 3.0, NARROW_M, NARROW_M, "cone"], [tip / 3.0, tip / 3.0 + long, NARROW_M, wide, "cone"]]
        made = ImpedanceComputation(np.arange(60.0, 1000.0), tube, temperature=25, radiation_category="unflanged")
    return peaks(np.abs(made.impedance) / made.Zc)


def test_the_first_three_peaks_are_as_high_as_those_of_a_cone(cone: Floats) -> None:
    ours = peaks(np.abs(impedance(bore(ALTO), np.arange(60.0, 1000.0), DIRECT)))
    assert ours[:3] == pytest.approx(cone[:3], rel=0.3)


def test_in_both_the_first_is_lower_than_the_second_and_from_the_third_on_they_fall(cone: Floats) -> None:
    ours = peaks(np.abs(impedance(bore(ALTO), np.arange(60.0, 1000.0), DIRECT)))
    for heights in (ours, cone):
        assert heights[0] < heights[1]
        assert np.all(np.diff(heights[2:]) < 0.0)
