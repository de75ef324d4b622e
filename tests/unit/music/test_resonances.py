"""Names are given by the places of the real tube: pure and tempered playing must not suffer by it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.music.fingerings import fingering_named, fingerings_of
from airladder.music.horns import HORNS, Horn
from airladder.music.pitch import cents, raised
from airladder.music.resonances import peak_cents
from airladder.music.series import HIGHEST_PARTIAL, Series

horns = st.sampled_from(list(HORNS.values()))
all_series = horns.flatmap(
    lambda horn: st.builds(Series, st.just(horn), st.sampled_from(list(fingerings_of(horn).values())))
)
long_series = all_series.filter(lambda series: series.fingering.long)
partials = st.integers(1, HIGHEST_PARTIAL)


def series(horn: str, fingering: str) -> Series:
    return Series(HORNS[horn], fingering_named(HORNS[horn], fingering))


def in_room(tube: Series, hz: float, partial: int) -> bool:
    below, above = tube.room_cents(partial)
    return -below - 1e-9 <= cents(hz, tube.place_hz(partial)) <= above + 1e-9


@given(long_series, st.integers(1, 8), st.floats(-60, 60))
def test_on_long_fingerings_every_pure_and_tempered_pitch_keeps_its_number(
    tube: Series, partial: int, off: float
) -> None:
    for place in (tube.pure_hz(partial), tube.tempered_hz(partial)):
        assert tube.nearest(raised(place, off))[0] == partial


@given(long_series, partials, st.floats(-45, 45))
def test_on_long_fingerings_a_pure_partial_bent_by_45_cents_is_in_its_room(
    tube: Series, partial: int, off: float
) -> None:
    assert in_room(tube, raised(tube.pure_hz(partial), off), partial)


@given(all_series, st.integers(1, 4))
def test_a_partial_that_is_not_pulled_at_all_is_in_its_room_too(tube: Series, partial: int) -> None:
    peak = peak_cents(tube.horn, tube.fingering.written.number, partial)
    hz = raised(tube.pure_hz(partial), peak)
    assert tube.nearest(hz)[0] == partial
    assert in_room(tube, hz, partial)


def test_the_fourth_resonance_of_a_on_the_alto_is_the_fourth_though_it_lies_198_cents_sharp() -> None:
    """openwind, generic alto with reed: past the middle between four and five times the first."""
    tube = series("alto", "A4")
    hz = raised(tube.pure_hz(4), 198.0)
    assert hz > math.sqrt(4 * 5) * tube.fundamental_hz
    assert tube.nearest(hz)[0] == 4


@given(all_series, st.integers(1, HIGHEST_PARTIAL - 1))
def test_between_the_rooms_of_neighbours_something_is_left_that_is_neither(tube: Series, partial: int) -> None:
    gap = cents(tube.place_hz(partial + 1), tube.place_hz(partial))
    assert 0.0 < tube.room_cents(partial)[1] + tube.room_cents(partial + 1)[0] <= 0.8401 * gap


@given(horns, st.integers(57, 68))
def test_the_series_is_stretched_more_on_shorter_tubes(horn: Horn, written: int) -> None:
    """Common practice: that is why tuning is studied on the long ones."""
    assert peak_cents(horn, written + 1, 3) >= peak_cents(horn, written, 3)
    assert peak_cents(horn, written + 1, 4) >= peak_cents(horn, written, 4)


def test_the_baritone_is_taken_like_the_tenor_and_the_soprano_like_the_alto() -> None:
    for one, other in (("soprano", "alto"), ("baritone", "tenor")):
        for written in range(58, 70):
            assert peak_cents(HORNS[one], written, 3) == peak_cents(HORNS[other], written, 3)


@pytest.mark.parametrize(("written", "cents_sharp"), [(57, 14), (58, 14), (59, 27), (60, 40), (66, 134.7), (70, 198)])
def test_between_the_fingerings_of_the_table_it_is_interpolated(written: int, cents_sharp: float) -> None:
    assert peak_cents(HORNS["alto"], written, 4) == pytest.approx(cents_sharp, abs=0.1)


@given(all_series, st.integers(1, HIGHEST_PARTIAL - 1))
def test_the_places_rise(tube: Series, partial: int) -> None:
    assert tube.place_hz(partial) < tube.place_hz(partial + 1)
    assert tube.place_hz(HIGHEST_PARTIAL) == pytest.approx(tube.pure_hz(HIGHEST_PARTIAL))
