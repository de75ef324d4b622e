"""The voice, told from recorded saxophones: made voices, and recorded choirs (see `voices`).

What was chosen on half of the recordings (every other sample of each instrument) is checked here on the other half.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from airladder.hearing.block import HOP, HOP_SECONDS, RATE, Samples
from airladder.hearing.events import Sung
from airladder.hearing.singing import VoiceWatch
from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS, Horn
from airladder.music.pitch import cents, note_hz, note_number, raised
from airladder.music.series import Series
from listening import series_of
from saxophones import START_SECONDS, Played, reach, render_many, root, stretch
from slowpitch import slow_pitch_hz
from voices import AAHS, OOHS, SYNTH_VOICE, choir, darker, made

ALTO = series_of("alto", "Bb3")
NOTICED = round(0.03 * RATE)  # a note is noticed so long after its start
LOUD, SOFT, SOFTER = 0.0, 4.0, 8.0  # dB an octave by which a horn is darker than it was recorded


def watched(samples: Samples, series: Series = ALTO, *, asked: bool = False) -> tuple[VoiceWatch, Sung | None]:
    """The watch after all of one note, shape (n,), and what was sung."""
    watch, t = VoiceWatch(series, asked=asked), 0.0
    for hop in samples[NOTICED:][: (len(samples) - NOTICED) // HOP * HOP].reshape(-1, HOP):
        t += HOP_SECONDS
        watch.feed(hop, t, -20.0)
    return watch, watch.ended(0.0, t)


def checking_half(horn: Horn) -> Iterator[int]:
    numbers = [n for n in reach(horn) if abs(stretch(horn, n)) <= 3 and note_hz(n) < 640.0]
    roots = sorted({root(horn, n) for n in numbers})
    yield from (n for n in numbers if roots.index(root(horn, n)) % 2)


def is_on_a_partial(series: Series, hz: float) -> bool:
    partial, off = series.nearest(hz)
    below, above = series.room_cents(partial)
    return -below <= off <= above


@pytest.mark.parametrize("horn", HORNS.values(), ids=lambda horn: horn.name)
def test_no_recorded_saxophone_is_taken_for_a_voice(horn: Horn) -> None:
    """On every long tube: partials of it, and the usual fingerings of other notes; as recorded, and blown softly."""
    numbers = list(checking_half(horn))[::2]
    tubes = [Series(horn, fingering) for fingering in fingerings_of(horn).values() if fingering.long][::2]
    called = []
    for number, samples in zip(numbers, render_many([Played(horn, n) for n in numbers]), strict=True):
        for darkness in (LOUD, SOFT, SOFTER):
            note = darker(samples[round(START_SECONDS * RATE) :], darkness)
            called += [(number, str(tube.fingering), darkness) for tube in tubes if watched(note, tube)[0].is_voice]
    assert numbers
    assert called == []


@pytest.mark.parametrize(
    ("hz", "least"),
    [
        (87.0, 1.0),  # below every note of an alto
        (raised(ALTO.place_hz(1), 700.0), 0.9),  # between partials 1 and 2
    ],
)
def test_a_hum_on_no_partial_is_a_voice(hz: float, least: float) -> None:
    hums = [made("hum", hz, 1.0, seed) for seed in range(10)]
    sung = [heard for _, heard in map(watched, hums) if heard is not None]
    assert len(sung) >= least * len(hums)
    for heard in sung:
        assert heard.known_at <= 0.26
        assert abs(cents(heard.hz, hz)) < 25.0  # it was still sliding when it was first heard


def test_on_a_partial_it_is_the_horn_unless_a_voice_was_asked_for() -> None:
    """The physical baritone's partials are as dark as a hum: colour alone would call them one."""
    hum = made("hum", ALTO.place_hz(2), 1.0, 1)
    assert not watched(hum)[0].is_voice
    assert watched(hum, asked=True)[0].is_voice


@pytest.mark.parametrize(("program", "least"), [(OOHS, 0.6), (SYNTH_VOICE, 0.4)])
def test_recorded_voices_on_no_partial_are_told_from_the_horn(program: int, least: float) -> None:
    """More than half: the rest is left to the horn, which is the cost of never calling a horn a voice."""
    numbers = [n for n in range(46, 72) if (n // 6) % 2 and not is_on_a_partial(ALTO, note_hz(n))]
    assert np.mean([watched(samples)[0].is_voice for samples in choir(program, numbers)]) >= least


@pytest.mark.parametrize("program", [AAHS, OOHS])
def test_asked_for_it_hears_recorded_voices(program: int) -> None:
    """Within 20 cents of Praat (see `slowpitch`): a choir is many voices."""
    for samples in choir(program, [48, 55, 62, 69]):
        sung = watched(samples, asked=True)[1]
        assert sung is not None
        assert abs(cents(sung.hz, slow_pitch_hz(samples))) < 20.0


@pytest.mark.parametrize("number", [48, 55, 60, 67])
def test_asked_for_it_hears_whatever_is_sung(number: int) -> None:
    for vowel in ("hum", "ah", "ee"):
        watch, sung = watched(made(vowel, note_hz(number), 1.0, number), asked=True)
        assert watch.is_voice
        assert sung is not None
        assert note_number(sung.hz) == pytest.approx(number, abs=0.2)
        assert sung.known_at < 0.2
        assert sung.spread_cents < 40.0


def test_noise_is_no_voice_though_one_is_asked_for() -> None:
    noise = np.random.default_rng(1).normal(0.0, 0.05, RATE).astype(np.float32)
    watch, sung = watched(noise, asked=True)
    assert not watch.is_voice
    assert sung is None


def test_silence_is_no_voice() -> None:
    watch, sung = watched(np.zeros(RATE, np.float32))
    assert not watch.is_voice
    assert sung is None


def test_the_horn_that_follows_a_voice_without_a_pause_is_the_horn() -> None:
    (horn,) = render_many([Played(HORNS["alto"], round(note_number(ALTO.place_hz(3))))])
    both = np.concatenate([made("hum", 208.0, 0.6, 3)[: RATE // 2], horn[round(START_SECONDS * RATE) :][:RATE]])
    assert watched(both[: RATE // 2])[0].is_voice
    assert not watched(both)[0].is_voice


def test_a_horn_that_dies_away_darkly_stays_the_horn() -> None:
    (samples,) = render_many([Played(HORNS["alto"], round(note_number(ALTO.place_hz(2))))])
    bright = samples[round(START_SECONDS * RATE) :][:RATE]
    fade = np.clip((np.arange(RATE) / RATE - 0.3) / 0.2, 0.0, 1.0)
    pure = 0.1 * np.sin(2.0 * np.pi * ALTO.place_hz(2) * np.arange(RATE) / RATE)
    assert not watched((bright * (1.0 - fade) + pure * fade).astype(np.float32))[0].is_voice


def test_a_new_note_is_heard_afresh() -> None:
    watch, sung = watched(made("hum", 208.0, 1.0, 3))
    assert sung is not None
    watch.restart()
    assert not watch.is_voice
    assert watch.ended(0.0, 1.0) is None
