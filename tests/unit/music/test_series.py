"""The series of partials against the table of the handbooks."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.music.fingerings import fingering_named, fingerings_of
from airladder.music.horns import HORNS
from airladder.music.pitch import cents, raised
from airladder.music.series import HIGHEST_PARTIAL, Against, Series

# Partial: cents above the fundamental, nearest semitones, distance from them. The table stands in Helmholtz/Ellis,
# On the Sensations of Tone (1885), and in Benade, Fundamentals of Musical Acoustics.
TABLE = {
    1: (0.00, 0, 0.00),
    2: (1200.00, 12, 0.00),
    3: (1901.96, 19, 1.96),
    4: (2400.00, 24, 0.00),
    5: (2786.31, 28, -13.69),
    6: (3101.96, 31, 1.96),
    7: (3368.83, 34, -31.17),
    8: (3600.00, 36, 0.00),
    9: (3803.91, 38, 3.91),
    10: (3986.31, 40, -13.69),
    11: (4151.32, 42, -48.68),
    12: (4301.96, 43, 1.96),
    13: (4440.53, 44, 40.53),
    14: (4568.83, 46, -31.17),
    15: (4688.27, 47, -11.73),
    16: (4800.00, 48, 0.00),
}

all_series = st.sampled_from(list(HORNS.values())).flatmap(
    lambda horn: st.builds(
        Series, st.just(horn), st.sampled_from(list(fingerings_of(horn).values())), st.floats(430.0, 450.0)
    )
)
partials = st.integers(1, HIGHEST_PARTIAL)


def series(horn: str, fingering: str, a4: float = 440.0) -> Series:
    return Series(HORNS[horn], fingering_named(HORNS[horn], fingering), a4)


@pytest.mark.parametrize("partial", TABLE)
def test_partials_lie_where_the_handbooks_say(partial: int) -> None:
    above, semitones, off = TABLE[partial]
    tube = series("alto", "Bb3")
    assert cents(tube.pure_hz(partial), tube.fundamental_hz) == pytest.approx(above, abs=5e-3)
    assert cents(tube.tempered_hz(partial), tube.fundamental_hz) == pytest.approx(100 * semitones, abs=1e-6)
    assert cents(tube.pure_hz(partial), tube.tempered_hz(partial)) == pytest.approx(off, abs=5.1e-3)


def test_the_partials_of_low_b_flat_are_the_written_notes_players_know() -> None:
    """Common practice: B flat 4, F5, B flat 5, D6, F6, A flat 6, B flat 6, C7."""
    tube = series("tenor", "Bb3")
    assert [str(tube.written_name(n)) for n in range(1, 10)] == [
        "Bb3", "Bb4", "F5", "Bb5", "D6", "F6", "Ab6", "Bb6", "C7",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("fingering", "names"),
    [
        ("B3", ["B3", "B4", "F#5", "B5", "D#6", "F#6", "A6", "B6", "C#7"]),
        ("C4", ["C4", "C5", "G5", "C6", "E6", "G6", "Bb6", "C7", "D7"]),
        ("C#4", ["C#4", "C#5", "G#5", "C#6", "F6", "G#6", "B6", "C#7", "D#7"]),
        ("D4", ["D4", "D5", "A5", "D6", "F#6", "A6", "C7", "D7", "E7"]),
    ],
)
def test_partials_are_spelled_in_the_key_of_their_fundamental(fingering: str, names: list[str]) -> None:
    tube = series("alto", fingering)
    assert [str(tube.written_name(n)) for n in range(1, 10)] == names


def test_the_highest_partials_are_spelled_as_thirds_and_sevenths_of_the_key() -> None:
    """Ninth, tenth, sharp eleventh, twelfth, flat thirteenth, both sevenths, octave (common practice)."""
    assert [str(series("alto", "D4").written_name(n)) for n in range(9, 17)] == [
        "E7", "F#7", "G#7", "A7", "Bb7", "C8", "C#8", "D8",
    ]  # fmt: skip


@given(all_series, partials)
def test_a_written_name_sounds_as_the_tempered_target(tube: Series, partial: int) -> None:
    written = tube.written_name(partial)
    assert tube.horn.sounding(written.number) - tube.fundamental_number == TABLE[partial][1]


@given(all_series, partials, st.floats(-1, 1))
def test_the_nearest_partial_is_found_from_anywhere_in_its_room(tube: Series, partial: int, share: float) -> None:
    off = share * tube.room_cents(partial)[0 if share < 0 else 1]
    found, found_off = tube.nearest(raised(tube.place_hz(partial), off))
    assert found == partial
    assert found_off == pytest.approx(off, abs=1e-6)


@given(all_series, st.floats(10.0, 10_000.0))
def test_no_partial_is_nearer_than_the_nearest(tube: Series, hz: float) -> None:
    found, off = tube.nearest(hz)
    assert abs(off) <= min(abs(cents(hz, tube.place_hz(n))) for n in range(1, HIGHEST_PARTIAL + 1)) + 1e-9
    assert 1 <= found <= HIGHEST_PARTIAL


def test_a_measured_target_needs_a_measured_fundamental() -> None:
    tube = series("alto", "Bb3")
    assert tube.target_hz(3, Against.MEASURED) is None
    assert tube.target_hz(3, Against.MEASURED, 140.0) == 420.0
    assert tube.target_hz(5, Against.PURE) == 5 * tube.fundamental_hz
    assert tube.target_hz(5, Against.TEMPERED) == tube.tempered_hz(5)
