"""Every exercise on every fingering of every horn; what cannot be given is refused in a sentence."""

from __future__ import annotations

from itertools import pairwise

import pytest

from airladder.faults import BadInput
from airladder.music.fingerings import fingering_named, fingerings_of
from airladder.music.horns import HORNS, Horn
from airladder.music.series import Series
from airladder.music.usual import Interval
from airladder.practice.ask import Start, Task
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.catalogue import about, catalogue
from airladder.practice.exercises.length import seconds_of
from airladder.practice.exercises.wish import Wish

TUBES = [Series(horn, fingering) for horn in HORNS.values() for fingering in fingerings_of(horn).values()]
ALTO = HORNS["alto"]
LOW = Series(ALTO, fingering_named(ALTO, "Bb3"))

WRITTEN_LOW_B_FLAT_SOUNDS = {"soprano": 207.652, "alto": 138.591, "tenor": 103.826, "baritone": 69.296}
"""Hz at A4 = 440 (ISO 16; MIDI Tuning Standard), transposed as in any orchestration handbook."""

ELLIS_CENTS = (0.0, 1200.0, 1901.96, 2400.0, 2786.31, 3101.96, 3368.83, 3600.0, 3803.91, 3986.31, 4151.32, 4301.96)
"""Partials 1 to 12 above the fundamental (Helmholtz/Ellis 1885, the table in every handbook of acoustics)."""

ELLIS_SEMITONES = (0, 12, 19, 24, 28, 31, 34, 36, 38, 40, 42, 43)


def steps(exercise: Exercise) -> list[tuple[int, ...]]:
    return [ask.partials for ask in exercise.asks]


@pytest.mark.parametrize("kind", Kind)
def test_every_exercise_can_be_had_on_every_fingering_of_every_horn(kind: Kind) -> None:
    for series in TUBES:
        exercise = built(Wish(kind, series))
        assert exercise.asks, (series.horn.name, str(series.fingering))
        assert len(exercise.name) <= 20
        assert all(1 <= partial <= series.top_partial for partial in exercise.rungs)
        assert 5.0 < seconds_of(exercise) < 600.0


@pytest.mark.parametrize("horn", HORNS.values(), ids=lambda horn: horn.name)
@pytest.mark.parametrize("kind", [kind for kind in Kind if kind not in (Kind.REST, Kind.FREE, Kind.FUNDAMENTAL)])
def test_the_pitches_asked_for_are_those_of_the_printed_series(horn: Horn, kind: Kind) -> None:
    """Overtones lie where Ellis prints them above the sounding low B flat; usual fingerings on the tempered note."""
    low_hz = WRITTEN_LOW_B_FLAT_SOUNDS[horn.name]
    partials = (2, 3) if kind is Kind.SLURS else () if kind is Kind.LOW else (2, 3, 5)
    for ask in built(Wish(kind, Series(horn, fingerings_of(horn)["Bb3"]), partials)).asks:
        for partial in ask.partials if ask.beside is None else ():
            assert ask.series.pure_hz(partial) == pytest.approx(
                low_hz * 2 ** (ELLIS_CENTS[partial - 1] / 1200), rel=2e-5
            )
            assert ask.series.tempered_hz(partial) == pytest.approx(
                low_hz * 2 ** (ELLIS_SEMITONES[partial - 1] / 12), rel=2e-5
            )
        if ask.beside is not None:
            semitones = ELLIS_SEMITONES[ask.beside.partial - 1] - ask.beside.interval.semitones
            assert ask.partials == (1,)
            assert ask.series.fundamental_hz == pytest.approx(low_hz * 2 ** (semitones / 12), rel=2e-5)


def test_rising_falling_and_skipping_are_what_they_say() -> None:
    assert steps(built(Wish(Kind.RISING, LOW, (4, 2, 3)))) == [(2,), (3,), (4,)]
    assert steps(built(Wish(Kind.FALLING, LOW, (4, 2, 3)))) == [(4,), (3,), (2,)]
    skipping = [ask.partials[0] for ask in built(Wish(Kind.SKIPPING, LOW)).asks]
    assert set(skipping) == {2, 3, 4, 5, 6}
    assert any(abs(low - high) > 1 for low, high in pairwise(skipping))
    assert all(low != high for low, high in pairwise(skipping))


def test_starts_come_in_turn_mixed_or_one_way_alone() -> None:
    def starts(wish: Wish) -> list[Start]:
        return [ask.start for ask in built(wish).asks]

    assert starts(Wish(Kind.STARTS, LOW, (3,))) == [Start.TONGUED, Start.AIR]
    assert starts(Wish(Kind.STARTS, LOW, (3,), start=Start.AIR)) == [Start.AIR]
    mixed = starts(Wish(Kind.STARTS, LOW, (3,), mixed=True))
    assert sorted(start.value for start in mixed) == ["air", "air", "tongued", "tongued"]
    assert mixed != [Start.TONGUED, Start.AIR] * 2


def test_slurs_join_neighbours_leap_and_drop_to_the_fundamental() -> None:
    assert steps(built(Wish(Kind.SLURS, LOW))) == [(2, 3), (3, 4), (2, 4), (4, 1)]
    assert steps(built(Wish(Kind.SLURS, LOW, (2, 3, 2)))) == [(2, 3, 2)]


def test_hearing_comes_before_sounding_and_overtones_before_their_usual_fingerings() -> None:
    assert [ask.task for ask in built(Wish(Kind.HEAR, LOW, (3, 4))).asks] == [Task.SING, Task.PLAY] * 2
    low = built(Wish(Kind.LOW, LOW, (8,))).asks
    assert [(ask.task, str(ask.series.fingering)) for ask in low] == [
        (Task.PLAY, "Bb3"),
        (Task.USUAL, "Bb5"),
        (Task.USUAL, "Eb6"),
        (Task.USUAL, "Eb5"),
    ]


def test_where_partials_are_not_named_only_those_that_have_their_fingering_are_compared() -> None:
    short = Series(ALTO, fingering_named(ALTO, "A4"))
    assert {ask.beside.partial for ask in built(Wish(Kind.COMPARE, short)).asks if ask.beside} == {2, 3}


def test_cold_is_asked_once_before_anything_else_is_said() -> None:
    asks = built(Wish(Kind.COLD, LOW, (1, 3))).asks
    assert all(ask.cold and ask.tries == 1 and ask.hush == 0.0 and not ask.guess for ask in asks)


def test_repeats_go_through_the_whole() -> None:
    assert steps(built(Wish(Kind.RISING, LOW, (2, 3), repeats=2))) == [(2,), (3,), (2,), (3,)]


@pytest.mark.parametrize(
    ("wish", "sentence"),
    [
        (Wish(Kind.RISING, LOW, (13,)), r"Partial 13 of B♭3 was asked for; wanted 1 to 12"),
        (Wish(Kind.RISING, Series(ALTO, fingering_named(ALTO, "A4")), (7,)), r"Partial 7 of A4 .* wanted 1 to 6"),
        (Wish(Kind.RISING, LOW, (0,)), r"Partial 0 of B♭3"),
        (Wish(Kind.COMPARE, LOW, (3, 8)), r"Partial 8 \(B♭6\) has no usual fingering at the unison; choose another"),
        (Wish(Kind.LOW, LOW, (12,), intervals=(Interval.FIFTH,)), r"Partial 12 \(F7\) has no .* at the fifth"),
        (Wish(Kind.SLURS, LOW, (3,)), r"A slur over partial 3 alone was asked for; wanted two partials or more"),
        (Wish(Kind.SLURS, LOW, (3, 3)), r"from a partial to itself"),
        (Wish(Kind.FUNDAMENTAL, LOW, (2,)), r"The fundamental is partial 1"),
        (Wish(Kind.RISING, LOW, repeats=0), r"repeats of 0 was asked for; wanted 1 to 20"),
        (Wish(Kind.RISING, LOW, tries=99), r"tries of 99 was asked for; wanted 1 to 10"),
        (Wish(Kind.LONG, LOW, hold=-1.0), r"hold of -1 was asked for; wanted 0 to 600"),
        (Wish(Kind.LONG, LOW, hold=float("nan")), r"hold of nan was asked for"),
        (Wish(Kind.RISING, LOW, hush=1e9), r"hush of 1e\+09 was asked for"),
    ],
)
def test_what_cannot_be_given_is_refused_in_a_sentence(wish: Wish, sentence: str) -> None:
    with pytest.raises(BadInput, match=sentence):
        built(wish)


def test_the_catalogue_knows_every_kind_and_says_what_it_is_for() -> None:
    assert set(catalogue()) == set(Kind)
    assert all(about(kind).endswith((".", "?")) for kind in Kind)


def test_a_longer_hold_and_more_tries_take_longer() -> None:
    short, long = (seconds_of(built(Wish(Kind.LONG, LOW, (2,), hold=hold))) for hold in (4.0, 12.0))
    assert long > short + 8.0 - 1e-9
    assert seconds_of(built(Wish(Kind.RISING, LOW, (2,), tries=3))) > seconds_of(
        built(Wish(Kind.RISING, LOW, (2,), tries=1))
    )
