"""Attacks: where a note begins, how it rose, how it was started, and what is no attack; on sounds of known truth.

The recorded ones come from Debian's fluid-soundfont-gm (saxophones.py); the others are made here.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.hearing.attacks import AttackWatch
from airladder.hearing.block import HOP, HOP_SECONDS, RATE, Samples
from airladder.hearing.events import Attack
from airladder.hearing.gate import Gate, NoteGate
from airladder.hearing.kinds import Traits, air_chance, kind_of
from airladder.hearing.levels import STRETCH_SECONDS, Levels
from airladder.hearing.pitch import NOTHING
from airladder.hearing.rise import rise_of
from airladder.hearing.tracker import Tracker
from airladder.music.horns import HORNS
from airladder.music.series import SEMITONES, Series
from listening import series_of
from saxophones import START_SECONDS, render

SILENT_DBFS = -66.0


class Told:
    """What gate and attack watch say of a sound whose pitch the tracker follows."""

    def __init__(self, samples: Samples, series: Series) -> None:
        period = 1.0 / series.fundamental_hz
        self._levels, self._tracker = Levels(), Tracker(series)
        self._gate, self._watch = NoteGate(period), AttackWatch(period)
        self._open = False
        self.attacks: list[Attack] = []
        self.ends: list[float] = []
        for hop, block in enumerate(samples[: len(samples) // HOP * HOP].reshape(-1, HOP).astype(np.float32)):
            self._feed(block, (hop + 1) * HOP_SECONDS)

    def _feed(self, block: Samples, now: float) -> None:
        self._levels.feed(block)
        soft = not self._open and self._levels.level_dbfs < SILENT_DBFS
        pitch = (self._tracker.skip if soft else self._tracker.feed)(self._levels.clean)
        verdict = self._gate.feed(self._levels, pitch)
        if verdict in (Gate.ENDS, Gate.AGAIN):
            self._add(self._watch.due(self._levels, now))
            self.ends.append(now - self._gate.ago)
        if verdict in (Gate.OPENS, Gate.AGAIN):
            self._watch.expect(now, dip=self._gate.ago if verdict is Gate.AGAIN else None)
        self._open = verdict in (Gate.OPENS, Gate.AGAIN, Gate.SOUNDS)
        if self._open:
            self._add(self._watch.feed(self._levels, now, pitch))

    def _add(self, attack: Attack | None) -> None:
        if attack is not None:
            self.attacks.append(attack)


def recorded(series: Series, partial: int, velocity: int = 90, seconds: float = 0.9) -> Samples:
    """One recorded partial."""
    return render(series.horn, series.fundamental_number + SEMITONES[partial - 1], seconds, velocity)


horns = pytest.mark.parametrize("horn", sorted(HORNS))


@horns
@pytest.mark.parametrize(("partial", "velocity"), [(1, 90), (2, 40), (3, 120)])
def test_a_recorded_note_is_tongued_and_begins_where_it_was_begun(horn: str, partial: int, velocity: int) -> None:
    series = series_of(horn, "Bb3")
    (attack,) = Told(recorded(series, partial, velocity), series).attacks
    assert attack.t == pytest.approx(START_SECONDS, abs=0.010)
    assert attack.known_at < START_SECONDS + 0.35
    assert attack.kind == "tongued"


@pytest.mark.parametrize("growth_seconds", [0.12, 0.25])
def test_a_slow_growth_after_breath_is_a_start_with_the_air(growth_seconds: float) -> None:
    """The recorded note made to grow as W. Li et al. (2016) measured, after breath 32 dB below it."""
    series = series_of("alto", "Bb3")
    tone = np.concatenate([np.zeros(RATE // 2, np.float32), recorded(series, 2, seconds=1.2)])
    seconds = np.arange(len(tone)) / RATE - 0.5 - START_SECONDS
    grown = 10 ** (np.minimum(-60.0 * (1.0 - seconds / growth_seconds), 120.0) / 20.0)
    swell = grown / (1.0 + grown)
    noise = np.random.default_rng(1).standard_normal(len(tone)) * 10 ** (-32 / 20) * np.std(tone)
    noise *= np.clip(1.0 + seconds / 0.25, 0.0, 1.0) * (1.0 - swell)
    (attack,) = Told((tone * swell + noise).astype(np.float32), series).attacks
    assert attack.kind == "air"
    assert attack.confidence > 0.85
    half_way = 0.5 + START_SECONDS + growth_seconds * (1.0 - 30.0 / 60.0)
    assert attack.t == pytest.approx(half_way, abs=0.030)
    assert attack.rise_ms > 50.0


@pytest.mark.parametrize("gap_seconds", [0.06, 0.15])
@horns
def test_notes_with_gaps_are_as_many_attacks(horn: str, gap_seconds: float) -> None:
    series = series_of(horn, "Bb3")
    notes, begins, at = [np.zeros(RATE // 4, np.float32)], [], 0.25
    for partial in (2, 2, 3):
        note = recorded(series, partial)[round(START_SECONDS * RATE) :][: round(0.35 * RATE)].copy()
        note[-RATE // 50 :] *= np.linspace(1.0, 0.0, RATE // 50)
        notes += [note, np.zeros(round(gap_seconds * RATE), np.float32)]
        begins.append(at)
        at += 0.35 + gap_seconds
    told = Told(np.concatenate(notes), series)
    assert [attack.t for attack in told.attacks] == pytest.approx(begins, abs=0.010)
    assert told.ends[0] == pytest.approx(0.25 + 0.35, abs=0.020)


def joined(old: Samples, new: Samples, at: int, fade: int) -> Samples:
    """`old` until sample `at`, crossfaded in `fade` samples into `new`."""
    fall = np.clip(1.0 - (np.arange(len(old)) - at) / fade, 0.0, 1.0)
    total = old * (0.5 - 0.5 * np.cos(np.pi * fall))
    total[at:] += new[: len(total) - at]
    return total.astype(np.float32)


@pytest.mark.parametrize("dip_db", [8.0, 14.0, 40.0])
@pytest.mark.parametrize("closed_ms", [20, 50])
@horns
def test_the_tongue_on_the_reed_in_a_note_makes_two_of_it(horn: str, closed_ms: int, dip_db: float) -> None:
    """The level falls in 6 ms, stays down, and is back in 12 ms; the oscillation begins with its own phase."""
    series = series_of(horn, "Bb3")
    sound = recorded(series, 2, seconds=1.2)
    t, shut = np.arange(len(sound)) / RATE, START_SECONDS + 0.5
    opens, low = shut + closed_ms / 1000, 10 ** (-dip_db / 20)
    old = sound * np.interp(t, [shut, shut + 0.006], [1.0, low]) * np.interp(t, [opens, opens + 0.006], [1.0, 0.0])
    new = np.roll(sound, RATE // 90) * np.interp(t, [opens, opens + 0.012], [low, 1.0]) * (t >= opens)
    told = Told((old + new).astype(np.float32), series)
    assert len(told.attacks) == 2
    assert told.attacks[1].t == pytest.approx(opens, abs=0.030)
    assert told.attacks[1].kind != "air"


@horns
def test_a_slur_to_another_partial_is_no_attack(horn: str) -> None:
    """Steady parts of two recorded notes, as loud as each other, crossfaded in 25 ms."""
    series = series_of(horn, "Bb3")
    low, high = recorded(series, 2), recorded(series, 3)
    steady = high[round((START_SECONDS + 0.3) * RATE) :] * np.std(low) / np.std(high)
    fade = round(0.025 * RATE)
    steady[:fade] *= 0.5 - 0.5 * np.cos(np.pi * np.arange(fade) / fade)
    assert len(Told(joined(low, steady, round(0.75 * RATE), fade), series).attacks) == 1


def test_two_partials_at_once_beat_and_are_no_new_attacks() -> None:
    """Beats of 10 dB, seven a second, on a recorded note."""
    series = series_of("soprano", "Bb3")
    sound = recorded(series, 2, seconds=1.2)
    beats = np.abs(1.0 + 0.52 * np.exp(2j * np.pi * 7.0 * np.arange(len(sound)) / RATE)) / 1.52
    assert len(Told((sound * beats).astype(np.float32), series).attacks) == 1


@horns
def test_a_note_that_speaks_louder_on_another_partial_at_last_is_one_note(horn: str) -> None:
    """The fundamental, then the third partial 15 dB above it: a crack, however suddenly it comes."""
    series = series_of(horn, "Bb3")
    low, high = recorded(series, 1), recorded(series, 3)
    steady = high[round((START_SECONDS + 0.3) * RATE) :] * np.std(low) / np.std(high)
    fade = round(0.02 * RATE)
    steady[:fade] *= 0.5 - 0.5 * np.cos(np.pi * np.arange(fade) / fade)
    assert len(Told(joined(0.18 * low, steady, round(0.75 * RATE), fade), series).attacks) == 1


def noise(seconds: float, rms: float) -> Samples:
    """White noise."""
    return (rms * np.random.default_rng(5).standard_normal(round(seconds * RATE))).astype(np.float32)


def thumps(hz: float) -> Samples:
    """A low resonance struck twice a second, dying in 0.1 s."""
    t = np.arange(4 * RATE) / RATE % 0.5
    return (0.3 * np.sin(2 * np.pi * hz * t) * np.exp(-t / 0.1) * np.minimum(t / 0.002, 1.0)).astype(np.float32)


def clicks() -> Samples:
    """A felt-damped resonance at the second partial's place, four times a second, dying in 15 ms."""
    t = np.arange(4 * RATE) / RATE % 0.25
    hz = series_of("baritone", "Bb3").pure_hz(2)
    return (0.3 * np.sin(2 * np.pi * hz * t) * np.exp(-t / 0.015)).astype(np.float32) + noise(4.0, 1e-4)


@pytest.mark.parametrize(
    "samples",
    [
        pytest.param(np.zeros(2 * RATE, np.float32), id="silence"),
        pytest.param(noise(4.0, 0.05), id="noise"),
        pytest.param(noise(4.0, 0.05) * (np.arange(4 * RATE) / RATE % 1.0 > 0.5), id="breaths"),
        pytest.param(thumps(series_of("baritone", "Bb3").fundamental_hz), id="thumps on the fundamental"),
        pytest.param(clicks(), id="key clicks on a partial"),
        pytest.param(np.ones(2 * RATE, np.float32), id="a constant at full scale"),
    ],
)
def test_what_is_no_note_has_no_attack(samples: Samples) -> None:
    assert Told(samples, series_of("baritone", "Bb3")).attacks == []


@pytest.mark.parametrize("hz", [101.0, 160.0])
def test_what_is_on_no_partial_has_no_attack_and_the_same_on_one_has(hz: float) -> None:
    """A train of pulses, as of a voice or the neighbour's horn: at its own pitch, and at the second partial's."""
    series = series_of("baritone", "Bb3")
    for pitch, expected in ((hz, 0), (series.pure_hz(2), 1)):
        phase = np.arange(RATE) * pitch / RATE % 1.0
        pulses = 0.3 * np.exp(-phase * 12.0) * (np.arange(RATE) > RATE // 4)
        assert len(Told((pulses - pulses.mean()).astype(np.float32), series).attacks) == expected


def test_full_scale_squares_are_forgotten_in_a_tenth_of_a_second() -> None:
    series = series_of("alto", "Bb3")
    square = np.sign(np.sin(2 * np.pi * 37.0 * np.arange(RATE) / RATE)).astype(np.float32)
    note = recorded(series, 3)[round(START_SECONDS * RATE) :]
    samples = np.concatenate([square, np.zeros(RATE // 10, np.float32), note])
    assert Told(samples, series).attacks[-1].t == pytest.approx(1.1, abs=0.010)


def test_a_note_that_rises_over_the_neighbours_is_found_though_it_follows_no_silence() -> None:
    series = series_of("alto", "Bb3")
    t = np.arange(2 * RATE) / RATE
    beside = 0.004 * sum(np.sin(2 * np.pi * n * 293.7 * 0.94 * t) / n for n in range(1, 30))
    note = recorded(series, 2)[round(START_SECONDS * RATE) :]
    samples = np.asarray(beside, np.float32)
    samples[RATE : RATE + len(note)] += note[: len(samples) - RATE]
    assert 1.0 in [pytest.approx(attack.t, abs=0.030) for attack in Told(samples, series).attacks]


def envelope(rise_ms: float, room_db: float = -90.0) -> Samples:
    """Mean squares: half a second of room, an even rise of the amplitude to 1, 0.1 s of tone."""
    quiet, rise, held = round(0.5 / STRETCH_SECONDS), round(rise_ms / 1000 / STRETCH_SECONDS), 75
    tone = np.concatenate([np.zeros(quiet), np.linspace(0.0, 1.0, rise), np.ones(held)])
    return (tone**2 + 10 ** (room_db / 10)).astype(np.float32)


@pytest.mark.parametrize("rise_ms", [20.0, 60.0, 200.0])
def test_the_rise_is_measured_from_10_to_90_per_cent(rise_ms: float) -> None:
    """Of an even rise these are four fifths; the start, 30 dB down, comes after 3 per cent of it."""
    rise = rise_of(envelope(rise_ms), steps=3)
    assert rise.rise_ms == pytest.approx(0.8 * rise_ms, abs=4.0)
    assert rise.start * STRETCH_SECONDS == pytest.approx(0.1 + 0.97 * rise_ms / 1000, abs=0.004)


def test_in_a_loud_room_the_growth_is_followed_back_to_the_start() -> None:
    """An amplitude that grows by 300 dB a second out of a room 15 dB below the note: 30 dB down is 24 ms earlier."""
    db = np.clip((np.arange(600) - 450) * STRETCH_SECONDS * 300.0, -100.0, 0.0)
    quiet, loud = (rise_of((10 ** (db / 10) + 10 ** (room / 10)).astype(np.float32), 3) for room in (-90.0, -15.0))
    assert quiet.start * STRETCH_SECONDS == pytest.approx(150 * STRETCH_SECONDS + 0.1, abs=0.003)
    assert loud.start == pytest.approx(quiet.start, abs=0.030 / STRETCH_SECONDS)
    assert loud.floor_db == pytest.approx(-14.8, abs=0.5)


@pytest.mark.parametrize(
    ("traits", "kind"),
    [
        (Traits(20.0, -90.0, -90.0, -90.0), "tongued"),
        (Traits(110.0, -33.0, -90.0, -90.0), "air"),
        (Traits(48.0, -44.0, -55.0, -50.0), "unsure"),  # a rise that tells nothing, and hardly any breath
        (Traits(20.0, -33.0, -90.0, -90.0), "tongued"),
        (Traits(40.0, -33.0, -90.0, -90.0), "unsure"),  # quick, but breath before it
        (Traits(20.0, -15.0, -15.0, -10.0), "unsure"),  # the room is as loud as that
        (Traits(20.0, None, -90.0, -5.0), "tongued"),  # after a dip
    ],
)
def test_rise_and_breath_tell_the_kind(traits: Traits, kind: str) -> None:
    assert kind_of(traits)[0] == kind


@given(
    st.floats(0.0, 3000.0),
    st.one_of(st.none(), st.floats(-120.0, 0.0)),
    st.floats(-120.0, 10.0),
    st.floats(-120.0, 10.0),
)
def test_the_confidence_is_the_chance_of_the_kind(
    rise: float, breath: float | None, room: float, before: float
) -> None:
    traits = Traits(rise, breath, room, before)
    kind, confidence = kind_of(traits)
    assert confidence == pytest.approx(max(air_chance(traits), 1.0 - air_chance(traits)))
    assert 0.5 <= confidence <= 1.0
    assert (kind == "unsure") == (confidence < 0.85)
    slower = Traits(rise + 10.0, breath, room, before)
    assert air_chance(slower) >= air_chance(traits) - 1e-12


def test_nothing_is_due_when_nothing_is_expected_or_nothing_stood() -> None:
    levels, watch = Levels(), AttackWatch(1 / 140)
    assert watch.due(levels, 1.0) is None
    watch.expect(1.0)
    assert watch.feed(levels, 1.01, NOTHING) is None
    assert watch.due(levels, 1.02) is None
    assert math.isfinite(levels.level_dbfs)
