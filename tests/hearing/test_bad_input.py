"""Whatever comes in, the Ear goes on: no exception, no note where none was, and 100 ms later all is as it was.

A full-scale square wave is periodic, so it is a tone like any other: on the place of a partial it is that partial,
between the places it is none.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import saxophones
from additive.note import Note
from additive.voice import sound
from airladder.hearing.block import HOP, HOP_SECONDS, RATE, Block, Samples
from airladder.hearing.ear import Ear
from airladder.hearing.events import Event, as_json
from airladder.music.pitch import cents
from airladder.music.series import Series
from listening import readings, series_of, tones

SERIES = series_of("alto", "Bb3")
RECOVERS_SECONDS = 0.1
NOISE = np.random.default_rng(7).standard_normal(2 * RATE).astype(np.float32)

Stretch = Callable[[int], Samples]


def constant(value: float) -> Stretch:
    return lambda count: np.full(count, value, np.float32)


def now_and_then(value: float) -> Stretch:
    """Soft noise with one bad sample in every third block."""
    return lambda count: np.where(np.arange(count) % 768 == 300, np.float32(value), 0.001 * NOISE[:count])


def noise(dbfs: float) -> Stretch:
    return lambda count: (10 ** (dbfs / 20) * NOISE[:count]).clip(-1, 1).astype(np.float32)


def square(hz: float) -> Stretch:
    return lambda count: np.where(np.arange(count) * hz / RATE % 1.0 < 0.5, 1.0, -1.0).astype(np.float32)


def by_turns(count: int) -> Samples:
    """Noise at full scale and digital silence, 20 ms each."""
    return np.where(np.arange(count) // 960 % 2 == 0, np.sign(NOISE[:count]), 0.0).astype(np.float32)


BROKEN: dict[str, Stretch] = {
    "not a number": constant(np.nan),
    "not a number now and then": now_and_then(np.nan),
    "infinite": constant(np.inf),
    "infinite downwards now and then": now_and_then(-np.inf),
    "huge": constant(3e38),
    "huge now and then": now_and_then(-1e20),
}
"""What no microphone gives."""

NO_NOTE: dict[str, Stretch] = {
    "all zero": constant(0.0),
    "a constant offset at full scale": constant(-1.0),
    "denormal": constant(1e-42),
    "denormal noise": lambda count: (NOISE[:count] * np.float32(1e-40)).astype(np.float32),
    "noise at full scale": noise(0.0),
    "soft noise": noise(-50.0),
    "noise and silence by turns": by_turns,
}
"""What a microphone may give, though nobody plays."""

STRETCHES = BROKEN | NO_NOTE
every_stretch = pytest.mark.parametrize("name", STRETCHES)
lengths = st.integers(1, 90)


@cache
def note(partial: int, seconds: float = 1.2) -> Samples:
    samples = sound(SERIES, Note(partial, seconds=seconds), 3)[: round(seconds * RATE) // HOP * HOP]
    return (samples + 10 ** (-70 / 20) * NOISE[np.arange(len(samples)) % len(NOISE)]).astype(np.float32)


def blocks(*parts: tuple[Samples, bool], skip: float = 0.0) -> Iterator[Block]:
    """Parts of whole hops, one after the other; True marks the first block of a part `lost`, `skip` s later."""
    sequence, time = 0, 0.0
    for samples, lost in parts:
        time += skip * lost
        for index, hop in enumerate(samples.reshape(-1, HOP)):
            time += HOP_SECONDS
            yield Block(hop, sequence, time, lost and index == 0)
            sequence += 1


def all_heard(series: Series, fed: Iterator[Block]) -> list[Event]:
    ear, events = Ear(series), list[Event]()
    for block in fed:
        events += ear.feed(block)
    return events + ear.finish()


def in_order(events: Sequence[Event]) -> bool:
    """Every event can be written as strict JSON (no number is infinite or none), and readings go forward."""
    for event in events:
        json.dumps(as_json(event), allow_nan=False)
    return all(before < after for before, after in pairwise(reading.t for reading in readings(list(events))))


def between_places(hz: float) -> bool:
    """Whether `hz` is on no partial, and not near one either."""
    partial, off = SERIES.nearest(hz)
    below, above = SERIES.room_cents(partial)
    return not -below - 15.0 <= off <= above + 15.0


kinds = st.sampled_from([*STRETCHES, *(f"partial {n}" for n in (1, 2, 3, 5, 8))])
pieces = st.lists(st.tuples(kinds, st.integers(1, 60), st.booleans()), min_size=1, max_size=12)


def piece(kind: str, hops: int) -> Samples:
    count = hops * HOP
    return STRETCHES[kind](count) if kind in STRETCHES else note(int(kind.split()[1]))[5 * HOP :][:count]


@settings(max_examples=60, deadline=None)
@given(pieces, st.sampled_from([0.0, 0.003, 5.0]))
def test_no_order_of_good_and_bad_ends_the_hearing(order: list[tuple[str, int, bool]], skip: float) -> None:
    parts = [(piece(kind, hops).astype(np.float32), lost) for kind, hops, lost in order]
    assert in_order(all_heard(SERIES, blocks(*parts, skip=skip)))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(list(STRETCHES)), lengths, st.booleans()), min_size=1, max_size=6))
def test_nothing_bad_is_taken_for_a_partial(order: list[tuple[str, int, bool]]) -> None:
    events = all_heard(SERIES, blocks(*((STRETCHES[kind](HOP * hops), lost) for kind, hops, lost in order)))
    assert [tone for tone in tones(events) if tone.partial is not None] == []


@every_stretch
@pytest.mark.parametrize("hops", [1, 19, 188])
def test_a_note_is_heard_as_before_100_ms_after_a_bad_stretch_in_its_middle(name: str, hops: int) -> None:
    """Where samples fail to come (the broken ones), they are missed; the sound that goes on is the same."""
    count, middle = hops * HOP, 112 * HOP
    head, tail = note(3, 2.0)[:middle], note(3, 2.0)[middle:]
    clean = all_heard(SERIES, blocks((head, False), (tail, False)))
    after = all_heard(SERIES, blocks((head, False), (STRETCHES[name](count), False), (tail, False)))
    since, late = middle / RATE + RECOVERS_SECONDS, hops * HOP_SECONDS
    wanted = {round(r.t / HOP_SECONDS): r for r in readings(clean) if since < r.t < 1.9}
    found = {round((r.t - late) / HOP_SECONDS): r for r in readings(after) if r.t - late > since}
    assert len(wanted) > 150
    missing = [hop for hop in wanted if hop not in found or found[hop].partial != 3]
    assert missing == [], f"{len(missing)} of {len(wanted)} readings are missing or wrong"
    assert max(abs(cents(found[hop].hz, wanted[hop].hz)) for hop in wanted) < 1.0


@every_stretch
def test_a_note_after_a_bad_stretch_is_the_tone_that_it_is_without(name: str) -> None:
    quiet = 0.0003 * NOISE[: 94 * HOP]
    rest = (np.concatenate([note(5), quiet]), False)
    clean = tones(all_heard(SERIES, blocks((quiet, False), rest)))
    after = tones(all_heard(SERIES, blocks((STRETCHES[name](94 * HOP), False), rest)))
    assert [tone.partial for tone in clean] == [5]
    assert [tone.partial for tone in after if tone.partial is not None] == [5]
    assert after[-1].cents == pytest.approx(clean[-1].cents, abs=0.5)


@settings(max_examples=40, deadline=None)
@given(st.floats(60.0, 2200.0).filter(between_places))
def test_a_square_wave_at_full_scale_between_the_places_is_no_partial(hz: float) -> None:
    events = all_heard(SERIES, blocks((square(hz)(188 * HOP), False)))
    assert [(tone.partial, hz) for tone in tones(events) if tone.partial is not None] == []


@pytest.mark.parametrize("partial", [1, 2, 3, 4, 6, 8])
def test_a_square_wave_at_full_scale_on_a_place_is_that_partial_and_is_cut_off(partial: int) -> None:
    wave = square(SERIES.pure_hz(partial))(188 * HOP)
    told = tones(all_heard(SERIES, blocks((np.concatenate([np.zeros(94 * HOP, np.float32), wave]), False))))
    assert [tone.partial for tone in told] == [partial]
    assert told[0].clipped is not None
    assert told[0].clipped > 0.9


def at_another_rate(samples: Samples, rate: int) -> Samples:
    """Samples that were taken `rate` times a second and are given out as 48 kHz."""
    places = np.arange(0, len(samples) - 1, RATE / rate)
    resampled: Samples = np.interp(places, np.arange(len(samples)), samples).astype(np.float32)
    return resampled


@cache
def recorded(partial: int, rate: int = RATE) -> Samples:
    """A recorded saxophone, half a second from its steady part, whole hops."""
    number = SERIES.fundamental_number + round(cents(SERIES.tempered_hz(partial), SERIES.fundamental_hz) / 100)
    samples = at_another_rate(saxophones.render(SERIES.horn, number, 1.0)[RATE // 5 : RATE // 5 + RATE // 2], rate)
    whole: Samples = samples[: len(samples) // HOP * HOP]
    return whole


cuts = st.lists(
    st.tuples(
        *(st.integers(1, 6), st.sampled_from([22_050, 44_100, 48_000, 96_000]), st.integers(2, 40), st.booleans())
    ),
    min_size=1,
    max_size=6,
)


@settings(max_examples=30, deadline=None)
@given(cuts, st.integers(1, 6), st.booleans())
def test_recordings_cut_together_at_any_rate_leave_the_next_note_unharmed(
    cut: list[tuple[int, int, int, bool]], partial: int, lost: bool
) -> None:
    """Other rates without a word: the pitch is another one, so what is heard there is not judged here."""
    before = [(recorded(n, rate)[: hops * HOP], gap) for n, rate, hops, gap in cut]
    begins = sum(len(part) for part, _ in before) // HOP
    alone = partials_by_hop(all_heard(SERIES, blocks((recorded(partial), False))))
    events = all_heard(SERIES, blocks(*before, (recorded(partial), lost)))
    after = partials_by_hop(events, begins)
    late = [hop for hop in alone if hop * HOP_SECONDS > RECOVERS_SECONDS]
    assert in_order(events)
    assert len(late) > 60
    assert [(hop, after.get(hop)) for hop in late if after.get(hop) != alone[hop]] == []


def partials_by_hop(events: list[Event], begins: int = 0) -> dict[int, int | None]:
    """What each reading says, by the number of its hop, counted from `begins`."""
    return {round(reading.t / HOP_SECONDS) - begins: reading.partial for reading in readings(events)}
