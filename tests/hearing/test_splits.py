"""Splits and undertones by themselves, each hop with the frequency that a pitch tracker would say.

Shifted combs are those of quasi-periodic motion, lines at m f1 + n f2 (J.-B. Doc, C. Vergez, S. Missoum, Acta
Acustica 100 (2014) 543-554); all else is made of harmonics, whose frequencies are known by their making.
"""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import saxophones
from additive.note import Note
from additive.voice import sound
from airladder.hearing.block import HOP, HOP_SECONDS, RATE, Samples
from airladder.hearing.lines import LineWindow
from airladder.hearing.splits import SplitWatch
from airladder.hearing.tracker import Tracker
from airladder.music.horns import HORNS
from airladder.music.series import Series
from bench.played import played_clips
from listening import series_of

Floats = npt.NDArray[np.float64]
Said = list[tuple[int, ...]]
EVERY_HORN = [series_of(horn, fingering) for horn in HORNS for fingering in ("Bb3", "G4")]
each_horn = pytest.mark.parametrize("series", EVERY_HORN, ids=lambda s: f"{s.horn.name} {s.fingering}")


def comb(hz: float | Floats, seconds: float = 0.8, harmonics: int = 10) -> Floats:
    """Harmonics of a frequency, given once or for each sample, that fall by 6 dB an octave."""
    phase = 2 * np.pi * np.cumsum(np.broadcast_to(hz, round(seconds * RATE))) / RATE
    return np.asarray(sum(0.1 * np.sin(n * phase + n * n) / n for n in range(1, harmonics + 1)))


def level(tone: Floats) -> float:
    return float(np.sqrt(np.mean(tone**2)))


def under(series: Series, partial: int, lower: int, db: float, off_cents: float = 6.0) -> Floats:
    """A partial, and a lower one that is weaker by `db` and a little off."""
    above, below = comb(series.place_hz(partial)), comb(series.place_hz(lower) * 2 ** (off_cents / 1200))
    return above + below * 10 ** (db / 20) * level(above) / level(below)


def said(series: Series, samples: Floats | Samples, hz: float | None) -> Said:
    """What is said after each hop of a note that begins at once."""
    watch = SplitWatch(series)
    hops = samples[: len(samples) // HOP * HOP].astype(np.float32).reshape(-1, HOP)
    return [watch.feed(hop, hz) for hop in hops]


def tracked(series: Series, samples: Samples) -> Said:
    """The same, with the frequency that our own tracker hears, from its first clear hop on."""
    watch, tracker, answers = SplitWatch(series), Tracker(series), Said()
    for hop in samples[: len(samples) // HOP * HOP].reshape(-1, HOP):
        pitch = tracker.feed(hop)
        if pitch.clear or answers:
            answers.append(watch.feed(hop, pitch.hz if pitch.clear else None))
    return answers


def first_s(answers: Said) -> float:
    """When a split was first called, s."""
    return next(at for at, split in enumerate(answers, 1) if split) * HOP_SECONDS


def split_sound(series: Series, one: int, other: int, off_cents: float = -25.0) -> Samples:
    """Two partials at once by the additive voice."""
    return sound(series, Note(one, seconds=0.9, split_with=other, split_cents=off_cents))


@each_horn
@pytest.mark.parametrize(("one", "other"), [(3, 2), (4, 3), (5, 4)])
def test_a_split_is_called_within_half_a_second_whatever_the_tracker_says(
    series: Series, one: int, other: int
) -> None:
    samples = split_sound(series, one, other)
    spacing = series.pure_hz(one) - series.pure_hz(other) * 2 ** (-25 / 1200)
    for hz in (spacing, series.pure_hz(one), None):
        assert first_s(said(series, samples, hz)) < (0.3 if series.fundamental_hz > 90.0 else 0.45)


def test_the_two_partials_of_a_split_are_those_measured_in_the_mouthpiece() -> None:
    """Splits of the physical player, of the half of the benchmark that constants are chosen on."""
    for clip in played_clips("physical split", "tuning", 0.1):
        (sounding,) = clip.soundings
        begin, end = (round(seconds * RATE) for seconds in (sounding.start, sounding.end))
        answers = tracked(clip.series, clip.samples[begin:end])
        steady = answers[round(0.4 / HOP_SECONDS) : -round(0.05 / HOP_SECONDS)]
        assert Counter(steady).most_common(1)[0][0] == sounding.split


@each_horn
@pytest.mark.parametrize(("partial", "lower"), [(2, 1), (3, 1), (4, 1), (5, 1), (3, 2), (4, 2), (5, 3)])
def test_an_undertone_is_named_at_minus_15_db_and_not_at_minus_25(series: Series, partial: int, lower: int) -> None:
    hz = series.place_hz(partial)
    loud = said(series, under(series, partial, lower, -15.0), hz)
    assert loud[-1] == (lower, partial)
    assert first_s(loud) < 0.35
    assert not any(said(series, under(series, partial, lower, -25.0), hz))


@each_horn
def test_the_threshold_of_an_undertone_is_near_minus_19_5_db(series: Series) -> None:
    hz = series.place_hz(3)
    named = [db for db in np.arange(-24.0, -15.0, 0.5) if said(series, under(series, 3, 1, db), hz)[-1]]
    assert named[0] == pytest.approx(-19.5, abs=1.5)


@each_horn
@pytest.mark.parametrize("partial", [1, 2, 3, 5, 8])
@pytest.mark.parametrize("bend", [-60.0, 0.0, 60.0])
def test_one_partial_is_no_split_however_it_is_bent(series: Series, partial: int, bend: float) -> None:
    hz = series.place_hz(partial) * 2 ** (bend / 1200)
    assert not any(said(series, comb(hz), hz))
    assert not any(said(series, comb(hz), None))


@each_horn
@pytest.mark.parametrize("partial", [1, 2, 4])
def test_vibrato_and_glides_are_no_split(series: Series, partial: int) -> None:
    """20 cents to each side five times a second; 80 cents in 0.8 s."""
    t = np.arange(round(0.8 * RATE)) / RATE
    for off_cents in (20.0 * np.sin(2 * np.pi * 5.0 * t), 100.0 * (t - 0.4)):
        samples = comb(series.place_hz(partial) * 2 ** (off_cents / 1200))
        assert not any(tracked(series, samples.astype(np.float32)))


@pytest.mark.parametrize("series", EVERY_HORN[::2], ids=lambda s: s.horn.name)
@pytest.mark.parametrize(("before", "after"), [(2, 3), (3, 2), (4, 5), (1, 2)])
def test_one_partial_after_the_other_is_no_split(series: Series, before: int, after: int) -> None:
    """A slur within the window: both are in it, but not at the same time. A flash of 130 ms is let pass."""
    samples = np.concatenate([comb(series.place_hz(before), 0.5), comb(series.place_hz(after), 0.5)])
    assert sum(map(bool, tracked(series, samples.astype(np.float32)))) * HOP_SECONDS < 0.14


@pytest.mark.parametrize("series", EVERY_HORN[::2], ids=lambda s: s.horn.name)
def test_noise_of_a_tenth_of_the_power_makes_no_split_and_hides_none(series: Series) -> None:
    rng = np.random.default_rng(7)
    hz = np.fft.rfftfreq(round(0.8 * RATE), 1 / RATE)
    shape = 1.0 / np.sqrt(np.maximum(hz, 20.0))  # pink
    pink = np.fft.irfft(np.fft.rfft(rng.standard_normal(round(0.8 * RATE))) * shape, round(0.8 * RATE))
    for partial in (1, 2, 3):
        tone = comb(series.place_hz(partial))
        assert not said(series, tone + pink / level(pink) * level(tone) * 0.316, series.place_hz(partial))[-1]
    both = under(series, 3, 1, -8.0)
    assert said(series, both + pink / level(pink) * level(both) * 0.316, series.place_hz(3))[-1] == (1, 3)


def test_a_split_in_the_middle_of_a_note_is_followed_in_and_out() -> None:
    series = series_of("tenor", "Bb3")
    alone = comb(series.place_hz(3), 1.0)
    both = np.concatenate([alone, np.tile(under(series, 3, 2, -6.0), 1), alone])
    answers = said(series, both, series.place_hz(3))
    begins, ends = (round(seconds / HOP_SECONDS) for seconds in (1.0, 1.8))
    assert not any(answers[:begins])
    assert set(answers[begins + round(0.3 / HOP_SECONDS) : ends]) == {(2, 3)}
    assert not any(answers[ends + round(0.3 / HOP_SECONDS) :])


def test_after_a_restart_nothing_is_said_until_a_window_is_full_of_the_new_note() -> None:
    series = series_of("alto", "Bb3")
    watch = SplitWatch(series)
    hops = under(series, 3, 2, -6.0).astype(np.float32)[: 120 * HOP].reshape(-1, HOP)
    assert [watch.feed(hop, series.place_hz(3)) for hop in hops][-1] == (2, 3)
    watch.restart()
    again = [watch.feed(hop, series.place_hz(3)) for hop in hops]
    assert not any(again[:31])
    assert again[-1] == (2, 3)


def test_a_split_goes_on_through_a_dip() -> None:
    """Two partials that beat look like a note that is tongued again."""
    series = series_of("alto", "Bb3")
    watch = SplitWatch(series)
    hops = under(series, 3, 2, -6.0).astype(np.float32)[: 140 * HOP].reshape(-1, HOP)
    for hop in hops[:70]:
        watch.feed(hop, series.place_hz(3))
    watch.restart(after_dip=True)
    assert {watch.feed(hop, series.place_hz(3)) for hop in hops[70:]} == {(2, 3)}


def test_after_a_dip_a_split_that_has_ended_is_forgotten_within_an_eighth_of_a_second() -> None:
    series = series_of("alto", "Bb3")
    watch = SplitWatch(series)
    for hop in under(series, 3, 2, -6.0).astype(np.float32)[: 80 * HOP].reshape(-1, HOP):
        watch.feed(hop, series.place_hz(3))
    watch.restart(after_dip=True)
    hops = comb(series.place_hz(3)).astype(np.float32)[: 80 * HOP].reshape(-1, HOP)
    after = [watch.feed(hop, series.place_hz(3)) for hop in hops]
    assert after[0] == (2, 3)
    assert not any(after[round(0.125 / HOP_SECONDS) :])


@pytest.mark.parametrize("horn", HORNS)
def test_recorded_saxophones_are_no_split(horn: str) -> None:
    """The fundamental of the fingering, its octave and its twelfth, as the soundfont's players recorded them."""
    series = series_of(horn, "D4")
    for semitones in (0, 12, 19):
        samples = saxophones.render(series.horn, series.fundamental_number + semitones)
        begin = round((saxophones.START_SECONDS + 0.02) * RATE)
        answers = tracked(series, samples[begin : begin + round(1.1 * RATE)])
        assert np.mean([bool(split) for split in answers]) < 0.2


@settings(max_examples=30, deadline=None)
@given(
    st.sampled_from(EVERY_HORN),
    st.integers(0, 2**32 - 1),
    st.sampled_from([0.0, 1e-30, 1e-4, 1.0, 1e3]),
    st.one_of(st.none(), st.floats(20.0, 8000.0)),
)
def test_whatever_is_fed_the_answer_is_two_partials_or_none(
    series: Series, seed: int, loudness: float, hz: float | None
) -> None:
    noise = loudness * np.sign(np.random.default_rng(seed).standard_normal(64 * HOP))
    for split in said(series, noise, hz):
        assert split == () or (len(split) == 2 and 1 <= split[0] < split[1] <= 16)


def test_lines_are_placed_to_a_twentieth_of_a_hertz_and_a_decibel() -> None:
    window, t = LineWindow(139.0, 2048), np.arange(64 * HOP) / RATE
    tone = np.sin(2 * np.pi * 277.3 * t) + 0.5 * np.sin(2 * np.pi * 415.9 * t + 1.0)
    for first, last in pairwise(range(0, 65, 8)):
        window.feed(list(tone[first * HOP : last * HOP].astype(np.float32).reshape(-1, HOP)))
    lines = window.lines(-20.0, 14.0)
    assert lines.hz.tolist() == [pytest.approx(277.3, abs=0.1), pytest.approx(415.9, abs=0.1)]
    assert 10 * np.log10(lines.power[0] / lines.power[1]) == pytest.approx(6.02, abs=1.5)
    assert abs(window.when(lines)) < 0.05


def test_the_power_of_the_band_is_that_of_its_lines() -> None:
    window, t = LineWindow(139.0, 2048), np.arange(32 * HOP) / RATE
    tone = np.sin(2 * np.pi * 277.3 * t) + 0.5 * np.sin(2 * np.pi * 1415.9 * t)
    window.feed(list(tone.astype(np.float32).reshape(-1, HOP)))
    strongest = float(window.lines(-20.0, 14.0).power[0])
    assert 10 * np.log10(window.power() / strongest) == pytest.approx(10 * np.log10(1.25), abs=1.5)


def test_a_line_that_sounds_late_in_the_window_is_placed_late() -> None:
    window, t = LineWindow(139.0, 2048), np.arange(32 * HOP) / RATE
    tone = np.sin(2 * np.pi * 300.0 * t) * (t > t[-1] / 2)
    for first, last in pairwise(range(0, 33, 8)):
        window.feed(list(tone[first * HOP : last * HOP].astype(np.float32).reshape(-1, HOP)))
    assert 0.2 < window.when(window.lines(-6.0, 14.0)) < 0.6
