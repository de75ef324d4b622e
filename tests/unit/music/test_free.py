"""Which fingerings a pitch could come from."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.music.fingerings import fingerings_of
from airladder.music.free import WITHIN_CENTS, could_be, written_name
from airladder.music.horns import HORNS, Horn
from airladder.music.names import parse
from airladder.music.pitch import cents, note_hz, raised
from airladder.music.series import HIGHEST_PARTIAL, Series

horns = st.sampled_from(list(HORNS.values()))


@given(horns, st.floats(430.0, 450.0), st.data(), st.integers(1, HIGHEST_PARTIAL), st.floats(-49.9, 49.9))
def test_every_partial_of_a_long_tube_could_be_itself(
    horn: Horn, a4_hz: float, data: st.DataObject, partial: int, off: float
) -> None:
    long = [fingering for fingering in fingerings_of(horn).values() if fingering.long]
    tube = Series(horn, data.draw(st.sampled_from(long)), a4_hz)
    found = {
        (fingering, n): away for fingering, n, away in could_be(horn, raised(tube.place_hz(partial), off), a4_hz)
    }
    assert found[tube.fingering, partial] == pytest.approx(off, abs=1e-6)


@given(horns, st.floats(20.0, 20_000.0))
def test_what_is_named_is_long_near_and_in_order(horn: Horn, hz: float) -> None:
    found = could_be(horn, hz)
    for fingering, partial, off in found:
        assert fingering.long
        assert abs(off) <= WITHIN_CENTS + 1e-9
        assert off == pytest.approx(cents(hz, Series(horn, fingering).place_hz(partial)), abs=1e-6)
    assert [partial for _, partial, _ in found] == sorted(partial for _, partial, _ in found)


def test_written_f5_of_an_alto_could_be_the_third_partial_of_low_b_flat_alone() -> None:
    """The twelfth of B flat (Helmholtz/Ellis 1885); of the other long tubes none has an F so low."""
    alto = HORNS["alto"]
    found = could_be(alto, note_hz(alto.sounding(parse("F5").number)))
    assert [(str(fingering), partial) for fingering, partial, _ in found] == [("Bb3", 3)]


def test_a_written_d6_could_be_the_fourth_partial_of_d_or_the_fifth_of_b_flat() -> None:
    """The fifteenth of D; the seventeenth of B flat (Helmholtz/Ellis 1885)."""
    tenor = HORNS["tenor"]
    found = could_be(tenor, note_hz(tenor.sounding(parse("D6").number)))
    assert {(str(fingering), partial) for fingering, partial, _ in found} >= {("D4", 4), ("Bb3", 5)}


def test_below_the_horn_there_is_no_partial() -> None:
    assert could_be(HORNS["soprano"], 100.0) == ()


@pytest.mark.parametrize("horn", HORNS.values(), ids=lambda horn: horn.name)
def test_names_are_written_ones_as_players_call_the_keys(horn: Horn) -> None:
    numbers = range(horn.sounding(58), horn.sounding(70))
    called = [str(written_name(horn, number)) for number in numbers]
    assert called == ["Bb3", "B3", "C4", "C#4", "D4", "Eb4", "E4", "F4", "F#4", "G4", "G#4", "A4"]
