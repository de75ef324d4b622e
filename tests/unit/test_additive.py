"""The additive voice, exact truth for other tests, plays what its note says: by slow spectra of its sound."""

from __future__ import annotations

from typing import Any, Literal

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from additive.note import Note
from additive.spectrum import Floats
from additive.voice import LEAD_SECONDS, sound
from airladder.hearing.block import RATE, Samples
from airladder.music.fingerings import fingering_named, fingerings_of
from airladder.music.horns import HORNS
from airladder.music.pitch import cents
from airladder.music.series import HIGHEST_PARTIAL, Series

ALTO = Series(HORNS["alto"], fingering_named(HORNS["alto"], "Bb3"))
TUBES = [Series(horn, fingering) for horn in HORNS.values() for fingering in fingerings_of(horn).values()]
LOWEST = next(tube for tube in TUBES if str(tube.fingering) == "A3")
HIGHEST = next(tube for tube in TUBES if tube.horn.name == "soprano" and str(tube.fingering) == "A4")

Kind = Literal["tongued", "air"]

partials = st.integers(1, HIGHEST_PARTIAL)
few = settings(max_examples=40, deadline=None)


def decibels(samples: Samples) -> tuple[Floats, float]:
    """Level of each bin re the strongest under a Blackman window, and the width of a bin in Hz."""
    size = 8 * len(samples)
    spectrum = np.abs(np.fft.rfft(samples * np.blackman(len(samples)), size))
    return 20 * np.log10(spectrum / spectrum.max() + 1e-12), RATE / size


def lines(samples: Samples, weakest_db: float) -> list[float]:
    """The peaks within `weakest_db` of the strongest, lowest first, in Hz, refined by a parabola."""
    level, bin_hz = decibels(samples)
    middle = level[1:-1]
    peaks = np.flatnonzero((middle > level[:-2]) & (middle >= level[2:]) & (middle > weakest_db)) + 1
    left, top, right = level[peaks - 1], level[peaks], level[peaks + 1]
    return list((peaks + 0.5 * (left - right) / (left - 2 * top + right)) * bin_hz)


def line_near(samples: Samples, hz: float) -> float:
    return min(lines(samples, -55.0), key=lambda line: abs(line - hz))


def steady(samples: Samples, note: Note) -> Samples:
    """The second of sound that ends 0.1 s before the player lets go."""
    end = round((LEAD_SECONDS[note.kind] + note.seconds - 0.1) * RATE)
    return samples[end - RATE : end]


def rms_db(samples: Samples | Floats) -> float:
    return float(10 * np.log10(np.mean(np.square(samples, dtype=np.float64)) + 1e-20))


def above(samples: Samples | Floats, hz: float) -> Samples:
    spectrum = np.fft.rfft(samples.astype(np.float64))
    spectrum[: int(hz * len(samples) / RATE)] = 0
    return np.fft.irfft(spectrum, len(samples)).astype(np.float32)


@few
@given(st.sampled_from(TUBES), partials, st.floats(-50, 50))
@example(LOWEST, 1, 0.0)
@example(HIGHEST, 16, 50.0)
def test_a_partial_lies_where_it_was_asked_for(tube: Series, partial: int, off: float) -> None:
    note = Note(partial, cents=off)
    wanted = tube.pure_hz(partial) * 2 ** (off / 1200)
    assert cents(line_near(steady(sound(tube, note), note), wanted), wanted) == pytest.approx(0, abs=0.5)


@few
@given(st.sampled_from(TUBES), partials, st.sampled_from(["tongued", "air"]), st.floats(-40, -14))
def test_its_level_is_what_was_asked_for_and_nothing_clips(
    tube: Series, partial: int, kind: Kind, level: float
) -> None:
    note = Note(partial, kind=kind, level_dbfs=level)
    samples = sound(tube, note)
    assert rms_db(steady(samples, note)) == pytest.approx(level, abs=1.0)
    assert np.abs(samples).max() < 0.99


@few
@given(st.sampled_from(TUBES), partials)
@example(LOWEST, 1)
@example(HIGHEST, 16)
def test_all_its_lines_are_harmonics_and_none_is_folded_back(tube: Series, partial: int) -> None:
    note = Note(partial)
    samples = steady(sound(tube, note), note)
    hz = tube.pure_hz(partial)
    found = lines(samples, -55.0)
    assert max(abs(line - round(line / hz) * hz) for line in found) < 1.0
    assert {number for number in (1, 2, 3) if number * hz < 16_000} <= {round(line / hz) for line in found}
    assert rms_db(above(samples * np.hanning(len(samples)), 18_500.0)) < -110


def test_a_low_note_is_rich_and_falls_more_steeply_above_the_cutoff_of_the_tone_holes() -> None:
    """Tenor, 800 Hz: Music Acoustics, University of New South Wales, saxophone pages, tenor B3."""
    tenor = Series(HORNS["tenor"], fingering_named(HORNS["tenor"], "B3"))
    note = Note(1)
    level, bin_hz = decibels(steady(sound(tenor, note), note))
    at = [level[round(number * tenor.pure_hz(1) / bin_hz)] for number in (1, 2, 16, 32)]
    assert at[0] - at[1] < 6
    assert at[2] - at[3] > 12


@pytest.mark.parametrize("tube", [LOWEST, ALTO, HIGHEST], ids=lambda tube: tube.horn.name)
def test_the_air_alone_starts_a_note_slowly_and_the_tongue_fast(tube: Series) -> None:
    rises = {}
    kinds: tuple[Kind, ...] = ("tongued", "air")
    for kind in kinds:
        samples = sound(tube, Note(2, kind=kind))
        period = round(RATE / tube.pure_hz(2))
        envelope = [np.abs(samples[i : i + period]).max() for i in range(0, len(samples) - period, period)]
        reached = np.array(envelope) / np.median(envelope)
        rises[kind] = (np.argmax(reached > 0.9) - np.argmax(reached > 0.1)) * period / RATE
    assert 0.015 < rises["tongued"] < 0.060
    assert rises["air"] > 3 * rises["tongued"]


def test_breath_is_heard_before_an_air_start_and_no_tone_in_it() -> None:
    note = Note(2, kind="air")
    lead = sound(ALTO, note)[: round(LEAD_SECONDS["air"] * RATE)]
    late = lead[len(lead) // 2 :]
    assert -55 < rms_db(late) < -40
    assert rms_db(above(late, 4000.0)) > -60
    level, bin_hz = decibels(late)
    assert level[round(ALTO.pure_hz(2) / bin_hz)] < -10
    assert LEAD_SECONDS["tongued"] == 0


def test_a_crack_sounds_another_partial_first_and_then_the_wanted_one() -> None:
    note = Note(4, seconds=1.6, crack=(3, 0.3))
    samples = sound(ALTO, note)
    early, late = samples[round(0.05 * RATE) : round(0.27 * RATE)], steady(samples, note)
    for part, partial in ((early, 3), (late, 4)):
        strongest = lines(part, -1e-6)[0]
        assert cents(strongest, ALTO.pure_hz(partial)) == pytest.approx(0, abs=3)


@pytest.mark.parametrize("tube", [LOWEST, ALTO, HIGHEST], ids=lambda tube: tube.horn.name)
def test_no_one_fundamental_explains_the_lines_of_a_split(tube: Series) -> None:
    """Shifted combs: J.-B. Doc, C. Vergez, S. Missoum, Acta Acustica 100 (2014) 543-554."""
    note = Note(5, split_with=4)
    found = np.array(lines(steady(sound(tube, note), note), -20.0))
    for partial, off in ((5, 0.0), (4, note.split_cents)):
        place = tube.pure_hz(partial) * 2 ** (off / 1200)
        assert np.abs(1200 * np.log2(found / place)).min() < 1
    assert _worst_fit(found, tube) > 5
    alone = np.array(lines(steady(sound(tube, Note(5)), Note(5)), -20.0))
    assert _worst_fit(alone, tube) < 1


def _worst_fit(found: Floats, tube: Series) -> float:
    """Cents by which the best single comb, not lower than the tube's fundamental, misses its worst line."""
    combs = [line / k for line in found for k in range(1, 21) if line / k > 0.8 * tube.fundamental_hz]
    return min(float(np.abs(1200 * np.log2(found / hz / np.maximum(np.round(found / hz), 1))).max()) for hz in combs)


def test_drift_and_vibrato_move_the_pitch_by_what_was_asked() -> None:
    drifting = sound(ALTO, Note(2, seconds=2.0, drift_cents=20))
    places = [line_near(drifting[at : at + 9600], ALTO.pure_hz(2)) for at in (round(0.15 * RATE), round(1.65 * RATE))]
    assert cents(places[1], places[0]) == pytest.approx(15, abs=0.5)
    swaying = sound(ALTO, Note(2, seconds=2.0, vibrato_cents=20, vibrato_hz=4))
    places = [
        line_near(swaying[at - 1200 : at + 1200], ALTO.pure_hz(2))
        for at in (round(1.0625 * RATE), round(1.1875 * RATE))
    ]
    assert cents(places[0], places[1]) == pytest.approx(40, abs=3)


def test_an_undertone_is_the_fundamental_under_the_partial() -> None:
    note = Note(3, undertone_db=-15)
    samples = steady(sound(ALTO, note), note)
    assert min(lines(samples, -40.0)) == pytest.approx(ALTO.pure_hz(1), abs=0.2)
    plain = Note(3)
    assert min(lines(steady(sound(ALTO, plain), plain), -40.0)) == pytest.approx(ALTO.pure_hz(3), abs=0.2)


NOTES = {
    "tongued": Note(2),
    "air": Note(2, kind="air"),
    "crack": Note(4, crack=(3, 0.3)),
    "split": Note(5, split_with=4),
    "undertone": Note(3, undertone_db=-12),
}


@pytest.mark.parametrize("note", NOTES.values(), ids=NOTES)
@pytest.mark.parametrize("tube", [LOWEST, ALTO, HIGHEST], ids=lambda tube: tube.horn.name)
def test_nothing_clicks(tube: Series, note: Note) -> None:
    """A step of one sample would be heard above 18.5 kHz, where no line lies, in the 5 ms around it."""
    samples = np.concatenate([np.zeros(480), sound(tube, note), np.zeros(480)]).astype(np.float32)
    top = above(samples, 18_500.0)
    loudest = max(rms_db(top[at : at + 240]) for at in range(0, len(top) - 240, 240))
    assert loudest < -85
    samples[len(samples) // 2] += 0.01
    assert rms_db(above(samples, 18_500.0)[len(samples) // 2 - 120 :][:240]) > -85


def test_the_same_seed_gives_the_same_sound_and_another_gives_another_breath() -> None:
    note = Note(2, kind="air")
    assert np.array_equal(sound(ALTO, note, seed=5), sound(ALTO, note, seed=5))
    assert not np.array_equal(sound(ALTO, note, seed=5), sound(ALTO, note, seed=6))


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"partial": 17}, "wanted 1 to 16"),
        ({"partial": 4, "crack": (4, 0.1)}, "its own partial"),
        ({"partial": 4, "crack": (3, 9.0)}, "wanted a longer note"),
        ({"partial": 4, "seconds": 0.0}, "wanted a longer note"),
        ({"partial": 4, "level_dbfs": -3.0}, "wanted -14 dBFS at most"),
    ],
)
def test_a_note_that_cannot_be_is_refused(wrong: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        Note(**wrong)
