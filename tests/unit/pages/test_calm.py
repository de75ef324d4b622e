"""What is read on the screen does not flicker, and what truly changes arrives."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.hearing.block import HOP_SECONDS
from airladder.hearing.events import Reading
from airladder.music.pitch import cents, raised
from airladder.pages.calm import PAUSE_SECONDS, STANDS_SECONDS, Calm

TARGET_HZ = 415.305


def reading(t: float, off: float = 0.0, partial: int | None = 3, split: tuple[int, ...] = ()) -> Reading:
    hz = raised(TARGET_HZ, off)
    return Reading(t, hz, partial, None if partial is None else off, -20.0, 0.99, split)


def calmed(readings: Iterable[Reading], calm: Calm | None = None) -> list[Reading]:
    """What is shown after each reading."""
    calm, shown = calm or Calm(), []
    for one in readings:
        calm = calm.fed(one)
        assert calm.shown is not None
        assert calm.heard is one
        shown.append(calm.shown)
    return shown


def hops(offs: Iterable[float], start: float = 0.0, partial: int | None = 3) -> list[Reading]:
    """One reading a hop."""
    return [reading(start + HOP_SECONDS * n, off, partial) for n, off in enumerate(offs)]


wobbles = st.lists(st.floats(-0.9, 0.9), min_size=1, max_size=300)
slow = st.lists(st.tuples(st.floats(-0.9, 0.9), st.integers(1, 200)), min_size=1, max_size=8).map(
    lambda parts: [off for off, count in parts for _ in range(count)]
)


@given(st.floats(-80, 80), wobbles | slow)
def test_what_wobbles_by_less_than_a_cent_round_any_value_stands_still(value: float, wobble: list[float]) -> None:
    shown = calmed(hops([value, *(value + off for off in wobble)]))
    assert {one.hz for one in shown} == {shown[0].hz}
    assert all(one.cents == pytest.approx(value, abs=1e-6) for one in shown)


@given(st.floats(-80, 80), wobbles | slow)
def test_half_of_that_stands_still_from_wherever_in_it_the_note_began(value: float, wobble: list[float]) -> None:
    assert len({one.hz for one in calmed(hops([value + 0.55 * off for off in wobble]))}) == 1


@given(st.floats(-80, 80), st.sampled_from([-1.0, 1.0]), st.floats(2.0, 60.0))
def test_a_change_of_two_cents_or_more_arrives_within_three_tenths_of_a_second(
    value: float, way: float, much: float
) -> None:
    """By then an eighth of it is left at most, and the cent within which what is shown stands."""
    before = hops([value] * 100)
    there = hops([value + way * much] * 120, before[-1].t + HOP_SECONDS)
    shown = calmed([*before, *there])[100:]
    off = [abs(cents(one.hz, raised(TARGET_HZ, value + way * much))) for one in shown]
    in_time = [distance for one, distance in zip(there, off, strict=True) if one.t >= before[-1].t + 0.3]
    assert max(in_time) <= 1.0 + much / 8
    assert off[-1] <= 1.0 + 1e-6


@pytest.mark.parametrize("turns", [4.0, 4.5, 5.0, 5.5, 6.0])
@pytest.mark.parametrize("depth", [8.0, 15.0])
def test_a_vibrato_stands_nearly_still(turns: float, depth: float) -> None:
    """What is left of it after a moment: no more than a tenth, and the band."""
    sways = [depth * math.sin(2 * math.pi * turns * HOP_SECONDS * n) for n in range(600)]
    shown = [cents(one.hz, TARGET_HZ) for one in calmed(hops(sways))[100:]]
    assert max(map(abs, shown)) <= 0.1 * depth + 1.0


@given(st.lists(st.floats(-30, 30), min_size=1, max_size=200))
def test_what_is_shown_lies_within_what_was_heard_and_its_cents_with_it(offs: list[float]) -> None:
    readings = hops(offs)
    for n, one in enumerate(calmed(readings)):
        assert min(offs[: n + 1]) - 1e-6 <= cents(one.hz, TARGET_HZ) <= max(offs[: n + 1]) + 1e-6
        assert one.cents == pytest.approx(cents(one.hz, TARGET_HZ), abs=1e-6)
        assert (one.t, one.level_dbfs) == (readings[n].t, readings[n].level_dbfs)


def test_the_first_partial_of_a_note_is_shown_at_once() -> None:
    assert calmed([reading(5.0, 7.3, 4)]) == [reading(5.0, 7.3, 4)]


def test_after_a_pause_it_is_another_note_and_shown_at_once() -> None:
    played = hops([0.0] * 50)
    next_note = reading(played[-1].t + PAUSE_SECONDS + 0.001, 20.0, 2)
    assert calmed([*played, next_note])[-1] == next_note
    same = reading(played[-1].t + PAUSE_SECONDS + 0.001, 20.0, 3)
    assert calmed([*played, same])[-1] == same


def test_another_partial_is_shown_when_it_has_stood_for_a_moment() -> None:
    played = hops([0.0] * 50)
    other = hops([5.0] * 20, played[-1].t + HOP_SECONDS, partial=2)
    shown = calmed([*played, *other])[50:]
    turned = next(n for n, one in enumerate(shown) if one.partial == 2)
    assert STANDS_SECONDS <= other[turned].t - other[0].t < STANDS_SECONDS + HOP_SECONDS
    assert shown[turned] == other[turned]
    assert all((one.partial, one.hz) == (3, TARGET_HZ) for one in shown[:turned])


def test_a_blink_of_another_partial_or_of_a_split_is_never_shown() -> None:
    steady = hops([0.0] * 200)
    blinks = [replace(one, partial=2) if n % 20 < 8 and n > 20 else one for n, one in enumerate(steady)]
    assert {one.partial for one in calmed(blinks)} == {3}
    splits = [replace(one, split=(3, 4)) if n % 20 < 8 and n > 20 else one for n, one in enumerate(steady)]
    assert {one.split for one in calmed(splits)} == {()}


def test_two_others_in_turn_are_each_another_one() -> None:
    """Only what has itself stood is shown."""
    steady = hops([0.0] * 20)
    turns = [reading(0.11 + HOP_SECONDS * n, 0.0, 1 + n // 5 % 2) for n in range(60)]
    assert {one.partial for one in calmed([*steady, *turns])} == {3}


def test_a_split_that_stands_is_shown() -> None:
    split = [reading(HOP_SECONDS * n, 0.0, 3, (3, 4) if n > 20 else ()) for n in range(60)]
    assert calmed(split)[-1].split == (3, 4)


def test_a_clock_that_begins_anew_is_another_note() -> None:
    assert calmed([reading(50.0, 0.0), reading(1.0, 9.0)])[-1] == reading(1.0, 9.0)


def test_the_same_reading_told_twice_changes_nothing() -> None:
    one = reading(1.0)
    calm = Calm().fed(one)
    assert calm.fed(one) is calm
