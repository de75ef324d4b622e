"""What the benchmark listens to is what it says: levels, onsets, halves, rows."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice, pairwise

import numpy as np
import pytest

from airladder.hearing.block import HOP, RATE
from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Series
from bench import corpus, noises, variants
from bench.airstart import air_start
from bench.bleed import bleed_track
from bench.clip import Clip, Floats
from bench.distractors import LEVEL, distractor_clips
from bench.envelope import smooth_power
from bench.recorded import Take, clips_of, takes
from bench.sequences import sequence_clips
from saxophones import root, stretch

TENOR = Series(HORNS["tenor"], fingering_named(HORNS["tenor"], "C4"))


def db(ratio: float) -> float:
    return float(20.0 * np.log10(ratio))


def added(changed: Clip, clip: Clip) -> Floats:
    """What a variant added, re the level of the note."""
    difference = changed.samples.astype(np.float64) - variants.led_in(clip).samples
    return np.asarray(difference / variants.level_of(clip))


@pytest.fixture(scope="module")
def overtone() -> Clip:
    return next(clips_of([Take(TENOR, 4)]))


def test_no_recording_is_in_both_halves_and_every_horn_is_in_each() -> None:
    tuning, checking = (
        {(take.series.horn.name, root(take.series.horn, take.number)) for take in takes(half)}
        for half in ("tuning", "checking")
    )
    assert not tuning & checking
    assert {horn for horn, _ in tuning} == {horn for horn, _ in checking} == set(HORNS)
    assert 0.8 < len(takes("tuning")) / len(takes("checking")) < 1.25


def test_no_note_is_far_from_where_it_was_recorded() -> None:
    assert max(abs(stretch(take.series.horn, take.number)) for take in takes("checking")) <= 7


@pytest.mark.parametrize("snr_db", [20.0, 10.0, 0.0])
def test_pink_noise_lies_as_far_below_the_note_as_it_says_and_is_there_before_it(
    overtone: Clip, snr_db: float
) -> None:
    noise = added(variants.pink(overtone, snr_db), overtone)
    assert db(noises.rms(noise)) == pytest.approx(-snr_db, abs=0.1)
    assert db(noises.rms(noise[:RATE])) == pytest.approx(-snr_db, abs=1.5)


def test_pink_noise_has_equal_power_in_every_octave() -> None:
    power = np.abs(np.fft.rfft(noises.pink(20 * RATE, np.random.default_rng(1)))) ** 2
    hz = np.fft.rfftfreq(20 * RATE, 1 / RATE)
    octaves = [10 * np.log10(power[(hz >= low) & (hz < 2 * low)].sum()) for low in (100, 400, 1600, 6400)]
    assert np.ptp(octaves) < 0.5


@pytest.mark.parametrize("level_db", [-25.0, -8.0])
def test_an_undertone_is_the_fundamental_at_its_level(overtone: Clip, level_db: float) -> None:
    steady = added(variants.undertone(overtone, level_db), overtone)[round(1.7 * RATE) : round(2.4 * RATE)]
    assert db(noises.rms(steady)) == pytest.approx(level_db, abs=1.5)
    strongest = float(np.argmax(np.abs(np.fft.rfft(steady)))) / 0.7
    assert strongest / TENOR.fundamental_hz == pytest.approx(round(strongest / TENOR.fundamental_hz), abs=0.02)
    with pytest.raises(ValueError, match="is no overtone"):
        variants.undertone(next(clips_of([Take(TENOR, 1)])), level_db)


def test_bleed_is_as_loud_as_it_says_and_no_music_is_in_both_halves() -> None:
    tuning, checking = bleed_track("piano", "tuning", "tenor"), bleed_track("piano", "checking", "tenor")
    power = np.mean(tuning[: len(tuning) // HOP * HOP].reshape(-1, HOP) ** 2, axis=1)
    assert np.mean(power[power >= np.median(power)]) == pytest.approx(1.0)
    assert abs(np.corrcoef(tuning, checking)[0, 1]) < 0.5


def test_hum_lies_at_the_mains_and_30_db_below_the_note(overtone: Clip) -> None:
    sound = added(variants.hum(overtone, 60.0), overtone)
    assert db(noises.rms(sound)) == pytest.approx(-30.0, abs=0.1)
    assert np.argmax(np.abs(np.fft.rfft(sound))) * RATE / len(sound) == pytest.approx(60.0, abs=0.5)


def test_a_room_lies_6_db_below_the_direct_sound_and_dies_by_60_db() -> None:
    response = noises.room(np.random.default_rng(3))
    tail = response[1:]
    assert response[0] == 1.0
    assert 10 * np.log10(np.sum(tail**2)) == pytest.approx(-6.0, abs=0.01)
    left = 10 * np.log10(np.cumsum(tail[::-1] ** 2)[::-1])  # backward integration, as ISO 3382 has it
    fall = np.argmax(left < left[0] - 25.0) - np.argmax(left < left[0] - 5.0)
    assert 3.0 * fall / RATE == pytest.approx(len(response) / RATE, rel=0.15)


def test_clipping_cuts_at_half_the_peak(overtone: Clip) -> None:
    cut = variants.clipped(overtone)
    assert np.abs(cut.samples).max() == pytest.approx(np.abs(overtone.samples).max() / 2.0, rel=0.01)


@pytest.mark.parametrize("bumped", [variants.thumps, variants.key_clicks])
def test_bumps_and_clicks_fall_into_the_silence_too(overtone: Clip, bumped: variants.Variant) -> None:
    sound = np.abs(added(bumped(overtone), overtone))
    assert sound[: round(1.2 * RATE)].max() > 0.02
    assert sound.max() < 2.5


def test_an_air_start_grows_slowly_out_of_breath(overtone: Clip) -> None:
    clip, level = air_start(overtone), variants.level_of(overtone)
    (onset,), (sounding,) = clip.onsets, clip.soundings
    assert onset.kind == "air"
    assert onset.rise_ms is not None
    assert 40.0 < onset.rise_ms < 300.0
    assert onset.t == sounding.start
    begun = variants.led_in(overtone).onsets[0].t
    assert 0.03 < onset.t - begun < 0.2
    before = clip.samples[round((begun - 0.1) * RATE) : round(begun * RATE)]
    assert -42.0 < db(noises.rms(before.astype(np.float64)) / level) < -27.0


@pytest.mark.parametrize("joined", ["gaps", "abutting"])
def test_every_note_of_a_sequence_has_its_onset_where_its_sound_starts(joined: str) -> None:
    clip = next(corpus.clips(f"notes {joined}", "checking"))
    assert len(clip.onsets) == len(clip.soundings) == 6
    assert all(0.0 <= s.start - onset.t < 0.02 for onset, s in zip(clip.onsets, clip.soundings, strict=True))
    assert all(before.end <= after.start for before, after in pairwise(clip.soundings))
    if joined == "gaps":
        for onset in clip.onsets:
            at = round(onset.t * RATE)
            assert not clip.samples[at - 200 : at - 1].any()
            assert clip.samples[at : at + round(0.02 * RATE)].any()


def test_slurred_notes_have_one_onset_and_no_hole() -> None:
    clip = next(sequence_clips("checking", "slurred"))
    assert len(clip.onsets) == 1
    assert len(clip.soundings) == 6
    inside = clip.samples[round((clip.soundings[0].start + 0.1) * RATE) : round(clip.soundings[-1].end * RATE) - 1500]
    power = smooth_power(inside, round(0.01 * RATE))
    assert 10 * np.log10(power.min() / np.median(power)) > -20.0


@pytest.mark.parametrize("kind", ["key clicks", "breath", "pink -20 dB", "saxophone -10 dB"])
def test_what_is_no_note_has_no_onset(kind: str) -> None:
    clip = next(distractor_clips("tuning", kind))
    assert not clip.onsets
    assert not clip.soundings
    assert np.isnan(clip.hz).all()
    assert -45.0 < db(noises.rms(clip.samples.astype(np.float64)) / LEVEL) < -5.0


def test_every_row_gives_clips_that_bear_its_name_and_fit_the_contract() -> None:
    for row in corpus.rows():
        if row == "no note: talk":
            continue  # made by a program that not every computer has
        clip = next(corpus.clips(row, "tuning"))
        assert clip.row == row
        assert clip.half == "tuning"
        assert len(clip.hz) == len(clip.samples) // HOP
        assert clip.samples.dtype == np.float32
        assert np.abs(clip.samples).max() < 2.0
    with pytest.raises(ValueError, match="There is no row 'nonsense'; wanted one of clean, steady"):
        corpus.clips("nonsense", "tuning")


def test_a_share_takes_the_same_clips_each_time_out_of_the_whole() -> None:
    whole, some = ({take.name for take in takes("tuning", share)} for share in (1.0, 0.2))
    assert some < whole
    assert len(some) == pytest.approx(0.2 * len(whole), rel=0.4)
    one, again = (list(islice(corpus.clips("pink 0 dB", "tuning", 0.05), 2)) for _ in range(2))
    assert all(np.array_equal(a.samples, b.samples) for a, b in zip(one, again, strict=True))


def test_leading_in_shifts_all_truth_alike(overtone: Clip) -> None:
    later = variants.led_in(overtone)
    assert later.partials().tolist() == [0] * variants.LEAD_HOPS + overtone.partials().tolist()
    assert np.array_equal(later.hz[variants.LEAD_HOPS :], overtone.hz, equal_nan=True)
    assert later.onsets[0] == replace(overtone.onsets[0], t=overtone.onsets[0].t + variants.LEAD_SECONDS)
