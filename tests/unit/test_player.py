"""The invented pupil keeps to the script, and each slip of it sounds as what it is.

What sounded is measured on the pressure in the mouthpiece (bench/sounded.py), on the alto's low B flat.
"""

from __future__ import annotations

from itertools import groupby

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.faults import BadInput
from airladder.hearing.block import HOP, RATE
from airladder.music.fingerings import Fingering, fingering_named
from airladder.music.horns import HORNS
from airladder.music.names import parse
from airladder.music.pitch import cents
from airladder.music.series import Series
from airladder.virtualhorn.gesture import Gesture
from airladder.virtualhorn.mouth import PLAYABLE
from airladder.virtualhorn.physical import Performance, play
from airladder.virtualhorn.player import Player, Wanted
from bench.sounded import partial_track, repeated_hz, split_of

ALTO = Series(HORNS["alto"], fingering_named(HORNS["alto"], "Bb3"))
SETTLED_HOPS = 8

partials = st.integers(1, PLAYABLE)


def wish(partial: int, tries: int = 0) -> Wanted:
    return Wanted(ALTO, (partial,), tries=tries)


def first_try(wanted: int) -> Performance:
    return play(*Player().next_gesture(wish(wanted)))


def sounded(played: Performance) -> list[int]:
    """The partials that sounded for 43 ms or more, in their order."""
    runs = [(partial, len(list(run))) for partial, run in groupby(partial_track(played.pressure, ALTO).tolist())]
    long = [partial for partial, hops in runs if partial > 0 and hops >= SETTLED_HOPS]
    return [partial for partial, _ in groupby(long)]


def test_each_slip_is_made_once_and_then_what_is_wanted_is_played() -> None:
    player = Player()
    for wanted in range(1, 7):
        slip = player.next_gesture(wish(wanted, 0))[1]
        player.begins(wish(wanted, 0))
        plain = Gesture(wanted, slip.seconds, lip=slip.lip, level_dbfs=slip.level_dbfs)
        assert (slip != plain) == (wanted > 1)
    for wanted in range(1, 7):
        for tries in (1, 0):
            note = player.next_gesture(wish(wanted, tries))[1]
            assert note == Gesture(wanted, note.seconds, lip=note.lip, level_dbfs=note.level_dbfs)


def test_whoever_has_tried_before_makes_no_slip() -> None:
    for wanted in range(1, PLAYABLE + 1):
        note = Player().next_gesture(wish(wanted, 1))[1]
        assert note == Gesture(wanted, note.seconds, lip=note.lip, level_dbfs=note.level_dbfs)


def test_asking_decides_nothing() -> None:
    """Who changes the wish before the note begins has lost no slip by it, and the next note is the same."""
    asked = Player()
    for wanted in (4, 5, 4):
        asked.next_gesture(wish(wanted))
    assert asked.next_gesture(wish(5, 0))[1] == Player().next_gesture(wish(5, 0))[1]


def test_no_two_notes_are_quite_alike_and_another_seed_plays_others() -> None:
    player = Player()
    one = player.next_gesture(wish(1, 0))[1]
    player.begins(wish(1, 0))
    assert player.next_gesture(wish(1, 0))[1] != one != Player(2).next_gesture(wish(1, 0))[1]


def test_the_air_start_is_slow_and_reaches_its_partial() -> None:
    played = first_try(2)
    assert sounded(played) == [2]
    track = partial_track(played.pressure, ALTO)
    assert float(np.argmax(track == 2)) * HOP / RATE - played.begins > 0.2


@pytest.mark.parametrize(("wanted", "sounds"), [(1, [1]), (3, [2]), (4, [5, 4]), (6, [6])])
def test_the_wrong_partial_and_the_crack_are_what_they_are(wanted: int, sounds: list[int]) -> None:
    assert sounded(first_try(wanted)) == sounds


def test_the_split_note_is_two_partials_that_do_not_lock() -> None:
    played = first_try(5)
    held = slice(round((played.let_go - 0.7) * RATE), round((played.let_go - 0.1) * RATE))
    assert split_of(played.pressure[held], ALTO) is not None


def test_the_sixth_drifts_upwards() -> None:
    played = first_try(6)
    early, late = (
        repeated_hz(played.pressure[round(at * RATE) :][: RATE // 10], ALTO.fundamental_hz)
        for at in (played.begins + 0.1, played.let_go - 0.2)
    )
    assert early is not None
    assert late is not None
    assert 5.0 < cents(late, early) < 60.0


@given(partials, st.integers(0, 3), st.integers(0, 2**32))
def test_any_pupil_holds_the_note_with_a_lip_that_speaks(wanted: int, tries: int, seed: int) -> None:
    note = Player(seed).next_gesture(wish(wanted, tries))[1]
    assert abs(note.lip) <= 0.3
    assert note.seconds >= 1.5
    assert -20.0 <= note.level_dbfs <= -17.0
    assert note == Player(seed).next_gesture(wish(wanted, tries))[1]


@pytest.mark.parametrize("wanted", [0, PLAYABLE + 1])
def test_what_nobody_can_play_is_refused_in_a_sentence(wanted: int) -> None:
    with pytest.raises(BadInput, match=f"asked for partial {wanted}; ask for 1 to {PLAYABLE}"):
        Player().next_gesture(wish(wanted))


@pytest.mark.parametrize("partials_wanted", [(4, 3), (4, 2), (3, 1)])
def test_a_slur_downwards_goes_over_in_one_breath(partials_wanted: tuple[int, int]) -> None:
    """Upwards this reed stays where it is, as reeds do; the demo drops."""
    played = play(*Player().next_gesture(Wanted(ALTO, partials_wanted)))
    stood = sounded(played)
    assert (stood[0], stood[-1]) == partials_wanted


def test_an_air_start_that_was_asked_for_is_one_and_no_slip() -> None:
    note = Player().next_gesture(Wanted(ALTO, (3,), kind="air"))[1]
    assert (note.partial, note.kind) == (3, "air")


def test_a_note_to_be_held_is_held() -> None:
    assert Player().next_gesture(Wanted(ALTO, (2,), hold=8.0))[1].seconds > 8.0


@pytest.mark.parametrize(
    ("name", "fingered", "partial"),
    [("Bb3", "Bb3", 1), ("C#5", "C#5", 1), ("F5", "F4", 2), ("D6", "D4", 4), ("F#6", "F#4", 4)],
)
def test_a_usual_fingering_sounds_on_the_tube_of_the_octave_below(name: str, fingered: str, partial: int) -> None:
    tube = Series(ALTO.horn, Fingering(parse(name), long=False))
    series, note = Player().next_gesture(Wanted(tube, (1,), tries=1))
    assert (str(series.fingering), note.partial) == (fingered, partial)
