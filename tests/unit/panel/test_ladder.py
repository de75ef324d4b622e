"""The ladder's arithmetic: where rungs stand, how far the sound rides, what it is drawn as."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.music.fingerings import fingering_named
from airladder.music.horns import horn_named
from airladder.music.series import Series
from airladder.panel import bars, gallery, ladder
from airladder.panel.heard import Heard, heard
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.judge import Outcome
from airladder.practice.state import Phase, State

ALTO = horn_named("alto")
TUBE = Series(ALTO, fingering_named(ALTO, "Bb3"))
SIX = ladder.Scale(0.0, ladder.height(TUBE, 6))


def sample(name: str) -> State:
    state = gallery.samples()[name]
    assert isinstance(state, State)
    return state


def test_heights_are_the_cents_of_the_handbook() -> None:
    """Partials 1 to 6 above the fundamental: the table of Helmholtz/Ellis (1885)."""
    heights = [ladder.height(TUBE, partial) for partial in range(1, 7)]
    assert heights == pytest.approx([0.0, 1200.0, 1901.96, 2400.0, 2786.31, 3101.96], abs=0.005)


def test_octaves_are_equally_far_apart_on_the_ladder() -> None:
    """Log frequency: 1 to 2, 2 to 4 and 3 to 6 are all octaves."""
    steps = [SIX.y(ladder.height(TUBE, n)) - SIX.y(ladder.height(TUBE, 2 * n)) for n in (1, 2, 3)]
    assert max(steps) - min(steps) <= 1


@pytest.mark.parametrize(
    ("off", "pixels"),
    [(0, 0), (1.4, 0), (-1.4, 0), (3, 1), (-6, -2), (15, 5), (-30, -6), (45, 7), (60, 8), (400, 8), (-400, -8)],
)
def test_the_sound_rides_three_cents_a_pixel_then_fifteen_then_stops(off: float, pixels: int) -> None:
    assert ladder.ride(off) == pixels


@given(st.floats(-500, 500), st.floats(-500, 500))
def test_a_sharper_sound_never_rides_lower(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert ladder.ride(low) <= ladder.ride(high)
    assert ladder.ride(-a) == -ladder.ride(a)


@pytest.mark.parametrize(
    ("sound", "form"),
    [
        (Heard(3, 0.5, 415.0), "joined"),
        (Heard(3, 9.0, 415.0), "bar"),
        (Heard(3, 61.0, 415.0), "up"),
        (Heard(3, -61.0, 415.0), "down"),
        (Heard(3, None, 415.0), "hollow"),
        (Heard(2, 0.5, 277.0), "hollow"),
        (Heard(16, 0.5, 2217.0), "up"),
        (Heard(None, None, 350.0), "dots"),
        (Heard(None, None, 60.0), "down"),
    ],
)
def test_the_sound_is_drawn_as_what_it_is(sound: Heard, form: str) -> None:
    (mark,) = ladder.marks(sound, 3, SIX, TUBE)
    assert mark.form == form
    assert bars.TOP < mark.y < bars.BOTTOM - 1


def test_a_flat_sound_stands_below_the_rung_and_a_sharp_one_above() -> None:
    rung = SIX.y(ladder.height(TUBE, 3))
    (flat,), (sharp,) = (ladder.marks(Heard(3, off, 415.0), 3, SIX, TUBE) for off in (-9.0, 9.0))
    assert (flat.y, sharp.y) == (rung + 3, rung - 3)


def test_beside_a_single_rung_another_partial_stands_where_it_is_and_not_on_that_rung() -> None:
    alone = ladder.Scale(ladder.height(TUBE, 3), ladder.height(TUBE, 3))
    below, on, above = (alone.y(ladder.height(TUBE, n)) for n in (2, 3, 4))
    assert above < on < below
    assert (below - on) / (on - above) == pytest.approx(702.0 / 498.0, rel=0.15)  # a fifth and a fourth


def test_a_split_sound_stands_on_each_of_its_partials() -> None:
    marks = ladder.marks(Heard(3, 1.0, 415.0, (2, 3)), 3, SIX, TUBE)
    assert [mark.y for mark in marks] == [SIX.y(ladder.height(TUBE, n)) for n in (2, 3)]
    assert {mark.form for mark in marks} == {"dots"}


@given(st.lists(st.integers(1, 16), min_size=1, max_size=16), st.data())
def test_rungs_shown_are_never_too_close_and_keep_the_wanted_one(partials: list[int], data: st.DataObject) -> None:
    wanted = data.draw(st.sampled_from(partials))
    rungs = ladder.shown(partials, wanted)
    assert wanted in rungs
    scale = ladder.Scale(ladder.height(TUBE, rungs[0]), ladder.height(TUBE, rungs[-1]))
    rows = [scale.y(ladder.height(TUBE, rung)) for rung in rungs]
    assert all(lower - upper >= 3 for lower, upper in pairwise(rows))


def test_the_first_exercise_shows_all_its_rungs() -> None:
    assert ladder.shown((1, 2, 3, 4, 5, 6), 1) == (1, 2, 3, 4, 5, 6)


def test_only_rungs_that_were_wanted_and_sounded_count_as_reached() -> None:
    tries = [(1, Outcome.SPOKE), (2, Outcome.CRACKED), (3, Outcome.OTHER), (4, Outcome.SPLIT), (5, Outcome.NOTHING)]
    attempts = tuple(
        Attempt(i, 0.0, wanted, outcome, None, Asked("rising", "Bb3", partials=(wanted,)))
        for i, (wanted, outcome) in enumerate(tries)
    )
    assert ladder.reached(replace(sample("wanted"), attempts=attempts)) == {1, 2}


def test_between_partials_no_cents_are_heard() -> None:
    state = sample("sounding-sharp")
    assert state.reading is not None
    lost = replace(state, reading=replace(state.reading, partial=None))
    assert heard(lost) == Heard(None, None, state.reading.hz)


def test_a_result_shows_the_medians_of_its_tone_not_the_last_reading() -> None:
    state = sample("spoke")
    assert state.reading is not None
    sound = heard(replace(state, reading=replace(state.reading, partial=1, cents=50.0)))
    assert sound is not None
    assert (sound.partial, sound.cents) == (3, -12.0)


@pytest.mark.parametrize("phase", [Phase.WANTED, Phase.DONE, Phase.OVER])
def test_nothing_is_heard_in_a_phase_that_shows_no_sound(phase: Phase) -> None:
    assert heard(replace(sample("sounding-sharp"), phase=phase)) is None
