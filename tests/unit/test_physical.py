"""The physical player: what the literature says of reeds, bores and throats must come out of it; nothing is assumed.

What sounded is measured on the pressure in the mouthpiece (bench/sounded.py).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airladder.hearing.block import RATE
from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.pitch import cents
from airladder.music.series import Series
from airladder.virtualhorn.bore import DIRECT, PEAKS, bore
from airladder.virtualhorn.gesture import LEAD_SECONDS, Gesture
from airladder.virtualhorn.modes import Mode, impedance, step
from airladder.virtualhorn.mouth import PLAYABLE, SPLITTING, UNDERTONES, setting_for
from airladder.virtualhorn.physical import Performance, play
from bench.mouths import growths, lead
from bench.sounded import lines_of, partial_of, partial_track, repeated_hz, split_of, undertone_of


def tube(horn: str, fingering: str) -> Series:
    return Series(HORNS[horn], fingering_named(HORNS[horn], fingering))


ALTO = tube("alto", "Bb3")


def held(played: Performance, seconds: float = 0.15) -> slice:
    """The last part that is held."""
    return slice(round((played.let_go - seconds) * RATE), round(played.let_go * RATE))


def sounded(series: Series, gesture: Gesture, seed: int = 0) -> int:
    played = play(series, gesture, seed)
    return partial_of(played.pressure[held(played)], series)


def speaks_after(played: Performance) -> float:
    """From the beginning until the pressure has half the level it has in the end, s."""
    power = np.convolve(np.square(played.pressure), np.ones(480) / 480.0, mode="same")
    return float(np.argmax(power > 0.25 * np.mean(power[held(played)]))) / RATE - played.begins


def test_a_mode_is_stepped_as_its_impedance_says() -> None:
    """A sine of flow through the recursion gives the pressure of the formula, to a per cent at 700 Hz."""
    mode, hz = Mode(600.0, 10.0, 25.0), 700.0
    made, state, flow = step(mode), 0j, np.cos(2.0 * np.pi * hz * np.arange(24_000) / RATE)
    pressure = np.empty(len(flow))
    for index, here in enumerate(flow):
        pressure[index] = state.real + made.now * here
        state = made.turn * state + made.push * here
    turning = np.exp(-2j * np.pi * hz * np.arange(12_000, 24_000) / RATE)
    assert 2.0 * np.mean(pressure[12_000:] * turning) == pytest.approx(complex(impedance([mode], hz)), rel=0.01)


@pytest.mark.parametrize("horn", HORNS)
def test_the_peaks_of_a_bore_are_its_modes_and_the_second_is_the_highest(horn: str) -> None:
    """Of the lowest notes; beside a computed cone in bench/test_bore.py."""
    series = tube(horn, "Bb3")
    hz = np.arange(0.5, PEAKS + 0.5, 0.01) * series.fundamental_hz
    size = np.abs(impedance(bore(series), hz, DIRECT))
    peaks = np.flatnonzero((size[1:-1] > size[:-2]) & (size[1:-1] > size[2:])) + 1
    assert len(peaks) == PEAKS
    assert int(np.argmax(size[peaks])) == 1


@pytest.mark.parametrize("partial", range(1, PLAYABLE + 1))
def test_every_partial_of_the_low_b_flat_speaks_with_the_tongue_and_with_the_air(partial: int) -> None:
    assert sounded(ALTO, Gesture(partial, 0.3)) == partial
    assert sounded(ALTO, Gesture(partial, 0.4, "air", air_seconds=0.15)) == partial


@pytest.mark.parametrize(
    ("horn", "fingering"), [("soprano", "D4"), ("tenor", "C4"), ("baritone", "A3"), ("alto", "G4")]
)
def test_partials_of_other_tubes_speak_too(horn: str, fingering: str) -> None:
    series = tube(horn, fingering)
    assert [sounded(series, Gesture(partial, 0.35), seed=partial) for partial in (1, 2, 4, 6)] == [1, 2, 4, 6]


def test_the_same_seed_gives_the_same_samples_and_another_seed_others() -> None:
    gesture = Gesture(3, 0.2)
    first, again, other = (play(ALTO, gesture, seed).samples for seed in (1, 1, 2))
    np.testing.assert_array_equal(first, again)
    assert np.any(first != other)


def test_the_sound_is_as_loud_as_wanted_and_never_clips() -> None:
    for level in (-40.0, -18.0):
        played = play(ALTO, Gesture(4, 0.5, level_dbfs=level))
        assert 20.0 * np.log10(np.std(played.samples[held(played)])) == pytest.approx(level, abs=1.0)
    assert np.abs(play(ALTO, Gesture(4, 0.3, level_dbfs=0.0)).samples).max() < 1.0


def test_a_breath_too_weak_for_the_reed_makes_only_noise() -> None:
    """Below a third of the pressure that shuts the reed nothing sounds: Hirschberg and others, 1995 (from memory)."""
    played = play(ALTO, Gesture(2, 0.4, breath=0.3))
    assert partial_of(played.pressure[held(played)], ALTO) == 0
    assert 20.0 * np.log10(np.std(played.samples)) < -18.0 - 12.0


def test_the_tongue_starts_a_note_sooner_than_the_air() -> None:
    """W. Li, A. Almeida, J. Smith, J. Wolfe, J. Acoust. Soc. Am. 140 (2016) 1089-1100."""
    for partial in (2, 4):
        tongued = play(ALTO, Gesture(partial, 0.5))
        air = play(ALTO, Gesture(partial, 0.5, "air", air_seconds=0.25))
        assert speaks_after(tongued) < 0.08
        assert speaks_after(air) > speaks_after(tongued) + 0.05


@pytest.mark.parametrize("partial", [4, 5, 6, 7, 8])
def test_high_partials_need_the_throat(partial: int) -> None:
    """Chen, Smith, Wolfe, J. Acoust. Soc. Am. 129 (2011) 415-426: who does not tune it gets a lower note."""
    assert 0 < sounded(ALTO, Gesture(partial, 0.3, tract_share=0.05)) < partial


@pytest.mark.parametrize("partial", [4, 5, 6, 7])
def test_with_the_throat_tuned_the_wanted_mode_grows_faster_than_any_other(partial: int) -> None:
    """By the linearised equations; the resonance of the throat lies slightly above the note (same source)."""
    setting = setting_for(partial)
    assert 1.0 < setting.tract < 1.45
    assert lead(ALTO, setting) > 0.0
    assert lead(ALTO, replace(setting, height=0.5)) < 0.0


def test_a_note_grows_as_fast_as_the_linearised_equations_say_by_some_hundred_decibels_a_second() -> None:
    """The order: Li and others (2016), several tens to several hundred dB/s, clarinet."""
    gentle = replace(setting_for(2), opening=0.5 * setting_for(2).opening)
    rate = max(rate for hz, rate in growths(ALTO, gentle.on(ALTO)) if ALTO.nearest(hz)[0] == 2)
    assert 100.0 < rate < 900.0
    played = play(ALTO, Gesture(2, 0.8, tongue_seconds=0.04, setting=gentle, noise=0.0))
    assert _growth_db_a_second(played) == pytest.approx(rate, rel=0.1)


def _growth_db_a_second(played: Performance) -> float:
    hz = repeated_hz(played.pressure[held(played)], ALTO.fundamental_hz) or 0.0
    turned = played.pressure * np.exp(-2j * np.pi * hz * np.arange(len(played.pressure)) / RATE)
    swell = 20.0 * np.log10(np.abs(np.convolve(turned, np.hanning(2 * round(RATE / hz)), mode="same")) + 1e-12)
    swell -= swell[held(played)].mean()
    grown = slice(int(np.argmax(swell > -40.0)), int(np.argmax(swell > -20.0)))
    return float(np.polyfit(np.arange(grown.start, grown.stop) / RATE, swell[grown], 1)[0])


def test_a_crack_a_slur_and_a_drop_are_moves_of_the_throat_without_a_new_attack() -> None:
    for first, then in ((5, 4), (5, 6), (4, 3), (6, 1)):
        played = play(ALTO, Gesture(first, 0.6, moves=((0.25, then),)))
        track = partial_track(played.pressure, ALTO)
        times = (np.arange(len(track)) + 1) * 256 / RATE - played.begins
        assert set(track[(times > 0.08) & (times < 0.22)]) == {first}
        assert set(track[(times > 0.42) & (times < 0.56)]) == {then}


def test_some_settings_let_two_partials_sound_at_once_and_their_lines_are_no_comb() -> None:
    """J.-B. Doc, C. Vergez, S. Missoum, Acta Acustica 100 (2014) 543-554: lines at m f1 + n f2."""
    found = []
    for setting in SPLITTING[:4]:
        played = play(ALTO, Gesture(1, 0.7, setting=setting, noise=0.005))
        found.append(split_of(played.pressure[held(played, 0.4)], ALTO))
    assert all(found)
    assert {split.partials for split in found if split} >= {(1, 2), (2, 3)}


def test_a_clean_note_is_no_split() -> None:
    played = play(ALTO, Gesture(3, 0.5))
    pressure = played.pressure[held(played, 0.3)]
    assert split_of(pressure, ALTO) is None
    comb = [hz for hz, _ in lines_of(pressure)]
    assert all(abs(hz / comb[0] - round(hz / comb[0])) < 0.01 for hz in comb)


def test_some_settings_leave_the_fundamental_sounding_under_a_partial() -> None:
    played = [play(ALTO, Gesture(1, 0.6, setting=setting, noise=0.005)) for setting in UNDERTONES[:3]]
    found = [undertone_of(one, ALTO, held(one, 0.25)) for one in played]
    assert {under[0] for under in found if under} <= {2, 3}
    assert sum(under is not None for under in found) >= 2


def test_a_tighter_lip_is_sharper_and_a_swaying_one_makes_vibrato() -> None:
    loose, tight = (_settled_hz(play(ALTO, Gesture(4, 0.4, lip=lip))) for lip in (-1.0, 1.0))
    assert 3.0 < cents(tight, loose) < 60.0


def _settled_hz(played: Performance) -> float:
    return repeated_hz(played.pressure[held(played)], ALTO.fundamental_hz) or 0.0


def test_what_nobody_can_play_is_said() -> None:
    with pytest.raises(ValueError, match=f"Partial 9 is not played here; wanted 1 to {PLAYABLE}"):
        play(ALTO, Gesture(9))


def test_the_lead_is_silent() -> None:
    played = play(ALTO, Gesture(2, 0.2))
    assert played.begins == LEAD_SECONDS
    assert np.abs(played.samples[: round(0.045 * RATE)]).max() < 0.01 * np.abs(played.samples).max()
