"""The tracker and its parts, on sounds whose frequency is known by their making."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.hearing.band import Band
from airladder.hearing.block import HOP, RATE, Samples
from airladder.hearing.fine import FinePitch
from airladder.hearing.partials import PartialTrack, edges
from airladder.hearing.periods import LEAST, Periods
from airladder.hearing.pitch import Pitch
from airladder.hearing.tracker import Tracker
from airladder.music.horns import HORNS
from airladder.music.pitch import cents, raised
from airladder.music.series import HIGHEST_PARTIAL, Series
from listening import series_of

ALTO = series_of("alto", "Bb3")
EVERY_HORN = [series_of(horn, fingering) for horn in HORNS for fingering in ("Bb3", "D4")]


def tone(hz: float, seconds: float = 0.4, harmonics: int = 8, level: float = 0.1) -> Samples:
    """Harmonics that fall by 12 dB an octave, below 12 kHz; their phases differ."""
    t = np.arange(round(seconds * RATE)) / RATE
    numbers = [n for n in range(1, harmonics + 1) if n * hz < 12_000]
    waves = np.array([np.sin(2 * np.pi * n * hz * t + n * n) / n**2 for n in numbers])
    return np.asarray(level * waves.sum(axis=0), np.float32)


def pitches(samples: Samples, tracker: Tracker) -> list[Pitch]:
    """What the tracker says hop by hop."""
    return [tracker.feed(hop) for hop in samples[: len(samples) // HOP * HOP].reshape(-1, HOP)]


@pytest.mark.parametrize("series", EVERY_HORN, ids=lambda s: f"{s.horn.name} {s.fingering}")
@pytest.mark.parametrize("bend", [-35.0, 0.0, 35.0])
def test_every_partial_is_named_and_measured_to_a_seventh_of_a_cent(series: Series, bend: float) -> None:
    """Frequencies by construction; 35 cents, or less where the partials above lie closer."""
    for partial in range(1, HIGHEST_PARTIAL + 1):
        off = np.sign(bend) * min(abs(bend), 0.8 * min(series.room_cents(partial)))
        hz = raised(series.place_hz(partial), off)
        heard = pitches(tone(hz), Tracker(series))[-20:]
        assert {pitch.partial for pitch in heard} == {partial}
        assert max(abs(cents(pitch.hz, hz)) for pitch in heard) < 0.15


@pytest.mark.parametrize("over", [1.26, 1.5, 1.68, 2.52, 3.5, 4.5, 0.75])
def test_what_lies_between_the_partials_is_none_of_them(over: float) -> None:
    """Usual fingerings of other notes, a voice below the tube's lowest note: the pitch is said, and no partial."""
    heard = pitches(tone(over * ALTO.fundamental_hz), Tracker(ALTO))[-20:]
    assert {pitch.partial for pitch in heard} == {None}
    if over > 1.0:
        assert all(abs(cents(pitch.hz, over * ALTO.fundamental_hz)) < 5.0 for pitch in heard)


@pytest.mark.parametrize("partial", range(2, 9))
def test_a_fundamental_that_rings_along_does_not_become_the_partial(partial: int) -> None:
    """It lies 10 dB below; its frequency is a few cents off, as that of a real undertone is."""
    over, under = tone(ALTO.pure_hz(partial)), tone(raised(ALTO.fundamental_hz, 4.0))
    heard = pitches(over + np.float32(10 ** (-10 / 20)) * under, Tracker(ALTO))[-20:]
    assert {pitch.partial for pitch in heard} == {partial}
    assert all(abs(cents(pitch.hz, ALTO.pure_hz(partial))) < 1.5 for pitch in heard)


def test_noise_as_loud_as_the_tone_does_not_hide_the_partial() -> None:
    rng = np.random.default_rng(3)
    third = tone(ALTO.pure_hz(3), 1.0)
    noise = rng.standard_normal(len(third)).astype(np.float32) * third.std()
    heard = pitches(third + noise, Tracker(ALTO))
    assert {pitch.partial for pitch in heard[20:]} <= {3, None}
    assert sum(pitch.partial == 3 and pitch.clear for pitch in heard[20:]) > 0.95 * len(heard[20:])
    assert not any(pitch.clear for pitch in pitches(noise, Tracker(ALTO)))


@given(st.sampled_from(EVERY_HORN))
def test_the_lags_of_the_partials_do_not_overlap(series: Series) -> None:
    bounds = edges(series, RATE)
    assert bounds == sorted(bounds)
    assert len(bounds) == 2 * HIGHEST_PARTIAL


def fed(*hops: list[tuple[float, float]]) -> int:
    """The partial after these hops of (partial, likeness), for the alto on its long B flat."""
    track = PartialTrack(ALTO, 12_000)
    for hop in hops:
        track.feed([(12_000 / ALTO.place_hz(1) / partial, likeness) for partial, likeness in hop])
    return track.partial


def test_one_clear_hop_is_enough_and_noise_is_not() -> None:
    third = [(3.0, 0.97), (1.5, 0.96), (1.0, 0.95)]
    fourth = [(4.0, 0.97), (2.0, 0.97), (1.0, 0.95)]
    blurred = [(4.0, 0.42), (3.0, 0.40), (1.0, 0.38)]
    assert fed(third) == 3
    assert fed(third, third, fourth) == 4
    assert fed(third, third, blurred, blurred) == 3
    assert fed() == 0


def test_the_octave_of_a_rich_fundamental_is_not_preferred() -> None:
    """0.67 is the most that recorded fundamentals show of it; an overtone above its undertone shows 0.76."""
    assert fed([(2.0, 0.66), (1.0, 0.99)]) == 1
    assert fed([(2.0, 0.76), (1.0, 0.99)]) == 2


@settings(max_examples=25)
@given(st.floats(-400.0, 400.0), st.floats(120.0, 900.0))
def test_a_wave_that_grows_is_as_alike_to_itself_as_one_that_stands(growth_db: float, hz: float) -> None:
    """Growth in dB a second: reeds grow by up to some hundreds (W. Li et al., J. Acoust. Soc. Am. 140 (2016))."""
    band = Band(ALTO.fundamental_hz, 0.05)
    periods = Periods(ALTO.fundamental_hz, band.rate)
    samples = tone(hz, 0.2)
    grown = samples * 10 ** (growth_db * (np.arange(len(samples)) / RATE - 0.1) / 20)
    for hop in grown[: len(samples) // HOP * HOP].astype(np.float32).reshape(-1, HOP):
        band.feed(hop)
    periods.feed(band.newest)
    assert max(height for _, height in periods.peaks()) > 0.97


def test_silence_has_no_period() -> None:
    periods = Periods(ALTO.fundamental_hz, 12_000)
    periods.feed(np.zeros(2400, np.float32))
    assert periods.peaks() == []
    assert np.abs(periods.likeness).max() < LEAST


def test_the_fine_pitch_waits_until_its_windows_hold_nothing_else() -> None:
    band = Band(ALTO.fundamental_hz, 0.11)
    fine = FinePitch(band.rate)
    for hop in tone(ALTO.pure_hz(2), 0.4)[: 60 * HOP].reshape(-1, HOP):
        band.feed(hop)
    assert fine.measure(band.newest, ALTO.pure_hz(2), 2, held=0.03) is None
    measured = fine.measure(band.newest, ALTO.pure_hz(2), 2, held=0.06)
    assert measured is not None
    assert measured.hz == pytest.approx(ALTO.pure_hz(2), rel=1e-6)
    assert measured.alike == pytest.approx(1.0, abs=1e-3)


def test_the_fine_pitch_comes_near_the_cramer_rao_bound() -> None:
    """For harmonics of one frequency: var f = 6 fs^2 / ((2 pi)^2 N (N^2 - 1) sum of k^2 snr_k), snr = A^2 / (2 s^2).

    D. Rife and R. Boorstyn, Single-tone parameter estimation from discrete-time observations, IEEE Trans. Inf.
    Theory 20 (1974) 591-598, for one line; the information of lines adds up. The noise is white in the band that is
    kept. Two Hann windows, and harmonics that hold noise alone, cost about a factor of two and a third.
    """
    hz, rng, errors = ALTO.pure_hz(4), np.random.default_rng(1), []
    fine, span, rate = FinePitch(12_000), 0.0404, 12_000
    t, noise, amplitudes = np.arange(1320) / rate, 0.1, {1: 1.0, 2: 0.7, 3: 0.5}
    for turn in range(300):
        lines = np.array([a * np.sin(2 * np.pi * k * hz * t + k * turn) for k, a in amplitudes.items()])
        noisy = lines.sum(axis=0) + noise * rng.standard_normal(len(t))
        measured = fine.measure(noisy.astype(np.float32), hz, 4, held=1.0)
        assert measured is not None
        errors.append(measured.hz - hz)
    n, snr = span * rate, sum(k**2 * a**2 for k, a in amplitudes.items()) / (2 * noise**2)
    bound = np.sqrt(6 * rate**2 / ((2 * np.pi) ** 2 * snr * n * (n**2 - 1)))
    assert abs(np.mean(errors)) < 3 * np.std(errors) / np.sqrt(len(errors))
    assert bound < np.std(errors) < 2.6 * bound
