"""The Ear on made sounds: what it must tell apart, and what it must not take for a note.

The made tones (`additive`) are invented; their pitches are exact, so cents are held to tenths here.
"""

from __future__ import annotations

import itertools
import json

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from additive.note import Note
from additive.voice import sound
from airladder.devices.microphone import Reblocker
from airladder.hearing.block import RATE, Samples
from airladder.hearing.ear import Ear
from airladder.hearing.events import Attack, Event, Reading, Sung, Tone, as_json
from airladder.music.horns import HORNS
from airladder.music.pitch import cents, raised
from airladder.music.series import Against, Series
from listening import attacks, heard, readings, series_of, tones

horns = pytest.mark.parametrize("horn", HORNS)
ROOM_DBFS = -70.0


def room(seconds: float, dbfs: float = ROOM_DBFS, seed: int = 0) -> Samples:
    noise = np.random.default_rng(seed).standard_normal(round(seconds * RATE))
    return (10 ** (dbfs / 20) * noise).astype(np.float32)


def in_room(*sounds: Samples) -> Samples:
    samples = np.concatenate([np.zeros(RATE // 2, np.float32), *sounds, np.zeros(RATE // 2, np.float32)])
    return samples + room(len(samples) / RATE)


def played(series: Series, *notes: Note) -> Samples:
    return in_room(*(sound(series, note, seed) for seed, note in enumerate(notes)))


@horns
@pytest.mark.parametrize("partial", [1, 2, 3, 5, 8, 12, 16])
def test_a_clean_tone_is_its_partial_within_a_few_cents(horn: str, partial: int) -> None:
    series = series_of(horn, "Bb3")
    (tone,) = tones(heard(played(series, Note(partial, cents=7.0)), series, Against.PURE))
    assert tone.partial == partial
    assert tone.cents == pytest.approx(7.0, abs=5.0)  # yinfast reads 3 cents sharp at 3.3 kHz
    assert tone.end - tone.start == pytest.approx(1.5, abs=0.1)
    assert tone.split == 0.0


@horns
def test_every_reading_of_a_held_tone_is_its_partial(horn: str) -> None:
    series = series_of(horn, "C4")
    found = readings(heard(played(series, Note(3)), series))
    steady = [reading.partial for reading in found if 0.6 < reading.t < 1.95]
    assert set(steady) == {3}
    assert len(steady) > 200


@horns
@pytest.mark.parametrize("other", [1, 2, 3, 5])
def test_a_crack_is_told_with_its_time_and_in_its_order(horn: str, other: int) -> None:
    series = series_of(horn, "Bb3")
    (tone,) = tones(heard(played(series, Note(4, crack=(other, 0.2))), series))
    assert tone.partial == 4
    assert [partial for partial, _ in tone.path] == [other, 4]
    assert tone.path[0][1] == pytest.approx(0.2, abs=0.08)
    assert tone.speak_ms == pytest.approx(200, abs=80)


@horns
@pytest.mark.parametrize(("one", "other"), [(5, 4), (3, 2), (6, 5)])
def test_a_split_note_is_called_split(horn: str, one: int, other: int) -> None:
    """Which two it is cannot be told from lines added up: any two of f1, f2 and f2 - f1 make all the others.

    Names are asked for where modes of a tube really sound, in test_splits.
    """
    series = series_of(horn, "Bb3")
    events = heard(played(series, Note(one, split_with=other)), series)
    (tone,) = tones(events)
    assert tone.split > 0.4
    assert tone.partial in (None, one, other)
    named = {reading.split for reading in readings(events) if reading.split}
    assert {len(split) for split in named} == {2}
    assert all({one, other} & set(split) for split in named)
    # The spacing of the lines is heard as a fundamental, which is none.
    assert all(
        reading.partial is None or reading.partial >= reading.split[0]
        for reading in readings(events)
        if reading.split
    )


@horns
def test_vibrato_drift_and_a_bent_note_are_no_split(horn: str) -> None:
    series = series_of(horn, "Bb3")
    for note in (Note(3, vibrato_cents=25), Note(5, drift_cents=40), Note(2, cents=-45)):
        (tone,) = tones(heard(played(series, note), series))
        assert (tone.partial, tone.split) == (note.partial, 0.0)


def test_an_undertone_is_a_split_when_it_is_loud_and_none_when_it_is_soft() -> None:
    series = series_of("tenor", "Bb3")
    (loud,) = tones(heard(played(series, Note(4, undertone_db=-12)), series))
    (soft,) = tones(heard(played(series, Note(4, undertone_db=-30)), series))
    assert (loud.partial, soft.partial) == (4, 4)
    assert loud.split > 0.4
    assert soft.split == 0.0


@horns
def test_tongued_and_air_starts_are_told_apart_in_a_quiet_room(horn: str) -> None:
    series = series_of(horn, "Bb3")
    for kind in ("tongued", "air"):
        (attack,) = attacks(heard(played(series, Note(2, kind=kind)), series))
        assert attack.kind == kind
        assert 0.5 < attack.confidence <= 1.0
        assert attack.known_at >= attack.t


@horns
def test_notes_tongued_apart_are_as_many_tones(horn: str) -> None:
    series = series_of(horn, "Bb3")
    events = heard(played(series, Note(3, seconds=0.6), Note(3, seconds=0.6), Note(2, seconds=0.6)), series)
    assert [tone.partial for tone in tones(events)] == [3, 3, 2]
    assert len(attacks(events)) == 3


def test_a_slur_is_one_tone_that_tells_its_way() -> None:
    series = series_of("alto", "Bb3")
    (tone,) = tones(heard(played(series, Note(4, crack=(3, 0.9), seconds=2.0)), series))
    assert [partial for partial, _ in tone.path] == [3, 4]


def test_a_soft_note_under_a_room_that_is_not_quiet_is_still_heard() -> None:
    series = series_of("alto", "Bb3")
    samples = played(series, Note(3, level_dbfs=-40))
    (tone,) = tones(heard(samples + room(len(samples) / RATE, -62), series))
    assert tone.partial == 3


@pytest.mark.parametrize(
    "samples",
    [
        pytest.param(np.zeros(2 * RATE, np.float32), id="silence"),
        pytest.param(np.full(2 * RATE, 0.5, np.float32), id="a constant offset"),
        pytest.param(room(2.0, -20.0), id="noise"),
        pytest.param(np.where(np.arange(2 * RATE) % 9000 < 40, 0.8, 0.0).astype(np.float32), id="key clicks"),
        pytest.param(room(2.0, -66.0), id="a quiet room"),
        pytest.param(np.zeros(0, np.float32), id="no sample at all"),
    ],
)
def test_what_is_no_note_gives_no_event(samples: Samples) -> None:
    assert heard(samples, series_of("alto", "Bb3")) == []


def test_a_constant_offset_changes_nothing() -> None:
    series = series_of("baritone", "A3")
    samples = 0.5 * played(series, Note(2))
    plain, offset = (tones(heard(x, series)) for x in (samples, (samples + 0.4).astype(np.float32)))
    assert plain[0].partial == offset[0].partial == 2
    assert offset[0].cents == pytest.approx(plain[0].cents, abs=0.1)


def test_a_clipped_tone_keeps_its_partial() -> None:
    series = series_of("tenor", "Bb3")
    samples = np.clip(8.0 * played(series, Note(3)), -1.0, 1.0)
    (tone,) = tones(heard(samples.astype(np.float32), series))
    assert tone.partial == 3


def test_the_measured_target_is_known_after_the_fundamental_was_sounded() -> None:
    """A horn 20 cents sharp, whose overtone lies 20 cents sharp of the pure place, is in tune with itself."""
    series = series_of("alto", "Bb3")
    overtone = Note(3, cents=20.0)
    before, fundamental, after = tones(
        heard(played(series, overtone, Note(1, cents=20.0), overtone), series, Against.MEASURED)
    )
    assert before.cents is None
    assert fundamental.cents is None
    assert after.cents == pytest.approx(0.0, abs=3.0)


def test_a4_moves_the_target() -> None:
    low, high = series_of("alto", "Bb3"), series_of("alto", "Bb3", a4_hz=446.0)
    samples = played(low, Note(2))
    (from_low,), (from_high,) = tones(heard(samples, low)), tones(heard(samples, high))
    assert from_low.cents is not None
    assert from_high.cents is not None
    assert from_low.cents - from_high.cents == pytest.approx(cents(446, 440), abs=0.01)


def test_a_gap_forgets_what_was_before_it_and_what_follows_has_no_attack() -> None:
    series = series_of("alto", "Bb3")
    samples = played(series, Note(1, crack=(2, 0.5), seconds=2.0))
    cut = RATE
    cutter, ear, events = Reblocker(), Ear(series), list[Event]()
    for block in cutter.blocks(samples[:cut]):
        events += ear.feed(block)
    cutter.gap(0.1)
    for block in (*cutter.blocks(samples[cut + RATE // 10 :]), *cutter.last()):
        events += ear.feed(block)
    (tone,) = tones(events + ear.finish())
    assert (tone.partial, tone.attack, tone.speak_ms) == (1, None, None)
    assert tone.start > 1.0
    assert [partial for partial, _ in tone.path] == [1]


def test_a_tone_that_the_recording_cuts_off_is_told_all_the_same() -> None:
    series = series_of("alto", "Bb3")
    samples = played(series, Note(2, seconds=1.5))[: round(1.5 * RATE)]
    (tone,) = tones(heard(samples, series))
    assert tone.partial == 2


def test_a_drone_in_the_room_is_cut_into_tones_so_that_it_cannot_fill_the_memory() -> None:
    series = series_of("alto", "Bb3")
    turns = series.fundamental_hz * np.arange(250 * RATE) / RATE % 1.0
    drone = (0.2 * (turns - 0.5)).astype(np.float32)  # a saw: reeds have high harmonics, a voice hardly any
    found = tones(heard(drone, series))
    assert [round(tone.end - tone.start) for tone in found] == [120, 120, 10]
    assert [tone.attack is None for tone in found] == [False, True, True]


def test_the_public_form_has_the_fields_of_the_contract() -> None:
    series = series_of("alto", "Bb3")
    lines = [json.loads(json.dumps(as_json(event))) for event in heard(played(series, Note(3)), series)]
    reading, attack, tone = (next(x for x in lines if x["event"] == name) for name in ("reading", "attack", "tone"))
    assert list(reading) == ["event", "t", "hz", "partial", "cents", "level_dbfs", "clarity", "split", "clipped"]
    assert list(attack) == ["event", "t", "known_at", "kind", "rise_ms", "confidence"]
    assert list(tone) == [
        "event", "t", "start", "end", "partial", "cents", "spread_cents",
        "attack", "speak_ms", "path", "split", "level_dbfs", "push_db", "unsteady_db", "clipped",
    ]  # fmt: skip
    assert tone["path"] == [[3, pytest.approx(1.5, abs=0.1)]]
    assert tone["attack"] == {key: value for key, value in attack.items() if key != "event"}


@settings(max_examples=15, deadline=None)
@given(
    st.sampled_from(sorted(HORNS)),
    st.lists(
        st.builds(
            Note,
            st.integers(1, 8),
            st.floats(0.4, 0.8),
            st.sampled_from(["tongued", "air"]),
            st.floats(-45, 45),
        ),
        max_size=3,
    ),
    st.integers(0, 255),
)
def test_events_are_in_order_and_every_note_ends_in_one_tone(horn: str, notes: list[Note], shift: int) -> None:
    series = series_of(horn, "D4")
    samples = played(series, *notes)[shift:]
    events = heard(samples, series)
    assert heard(samples, series) == events
    told = [
        event.t if isinstance(event, Reading) else event.known_at if isinstance(event, Attack) else event.end
        for event in events
    ]
    assert all(a <= b + 0.6 for a, b in itertools.pairwise(told))
    assert [tone.partial for tone in tones(events)] == [note.partial for note in notes]
    assert len(attacks(events)) == len(notes)
    for event in events:
        match event:
            case Reading():
                assert event.hz > 0
                assert 0 <= event.clarity <= 1
                assert (event.cents is None) == (event.partial is None)
            case Tone():
                assert event.start <= event.end
                assert 0 <= event.split <= 1
            case Attack():
                assert event.t <= event.known_at


def fed_to(ear: Ear, samples: Samples) -> list[Event]:
    """All that this Ear says of whole blocks of `samples`."""
    events: list[Event] = []
    cutter = Reblocker()
    for block in (*cutter.blocks(samples), *cutter.last()):
        events += ear.feed(block)
    return events + ear.finish()


def test_measured_cents_are_from_the_players_own_usual_fingering_where_it_is_known() -> None:
    series = series_of("alto", "Bb3")
    ear = Ear(series, Against.MEASURED)
    ear.usual_hz[3] = raised(series.pure_hz(3), 12.0)
    (third,) = tones(fed_to(ear, played(series, Note(3))))
    assert third.cents == pytest.approx(-12.0, abs=0.2)
    (second,) = tones(fed_to(ear, played(series, Note(2))))
    assert second.cents is None  # neither its usual fingering nor the fundamental has been sounded


def test_who_is_asked_to_sing_is_heard_singing_whatever_the_pitch() -> None:
    series = series_of("alto", "Bb3")
    ear = Ear(series, sings=True)
    events = fed_to(ear, played(series, Note(1, seconds=1.2)))
    (sung,) = (event for event in events if isinstance(event, Sung))
    assert sung.hz == pytest.approx(series.pure_hz(1), rel=0.002)
    assert tones(events) == []
    ear.asks(sings=False)
    assert [tone.partial for tone in tones(fed_to(ear, played(series, Note(1))))] == [1]
