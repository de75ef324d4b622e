"""What steps become: exercises on the player's horn, within the player's reach, on the day."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.music.series import Against
from airladder.music.usual import Interval
from airladder.practice.ask import Start, Task
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.feedback import Feedback
from airladder.practice.routines.reading import read
from airladder.practice.setting import Setting
from unit.practice.routines.players import HEAD, Write, player


def exercises(write: Write, steps: str, setting: Setting | None = None) -> tuple[Exercise, ...]:
    return read(write(HEAD + steps), setting or player()).exercises


def test_a_step_of_every_kind_is_read_and_keeps_its_order(write: Write) -> None:
    read_kinds = [one.kind for one in exercises(write, "".join(f'[[step]]\nexercise = "{k.value}"\n' for k in Kind))]
    assert read_kinds == list(Kind)


def test_the_keys_of_a_step_reach_the_player(write: Write) -> None:
    (one,) = exercises(
        write,
        '[[step]]\nexercise = "long tone"\npartials = [3, 2]\nrepeats = 2\ntries = 4\nstart = "air"\nhold = 7.5\n'
        "swell = true\nguess = true\nband = 12\nevery = 3\nhush = 1\n",
    )
    assert [ask.partials for ask in one.asks] == [(3,), (2,), (3,), (2,)]
    ask = one.asks[0]
    assert (ask.task, ask.tries, ask.start, ask.hold, ask.swell, ask.guess) == (
        Task.PLAY,
        4,
        Start.AIR,
        7.5,
        True,
        True,
    )
    assert (ask.feedback, ask.hush) == (Feedback(12.0, 3), 1.0)


def test_the_cents_are_measured_from_what_the_player_has_set(write: Write) -> None:
    (one,) = exercises(write, '[[step]]\nexercise = "rising"\n', replace(player(), against=Against.PURE))
    assert one.against is Against.PURE


def test_rests_and_free_playing_last_as_long_as_they_say(write: Write) -> None:
    rest, free = exercises(
        write, '[[step]]\nexercise = "rest"\nseconds = 25\n[[step]]\nexercise = "free"\nseconds = 90\n'
    )
    assert (rest.asks[0].task, rest.asks[0].hold) == (Task.REST, 25.0)
    assert (free.asks[0].task, free.asks[0].hold) == (Task.FREE, 90.0)


def test_low_comparing_is_against_the_intervals_that_are_named(write: Write) -> None:
    (one,) = exercises(write, '[[step]]\nexercise = "compare low"\npartials = 4\nbelow = ["octave", "fifth"]\n')
    assert [ask.beside.interval for ask in one.asks if ask.beside] == [Interval.OCTAVE, Interval.FIFTH]


def test_mixed_starts_are_in_another_order_than_those_in_turn(write: Write) -> None:
    mixed, turned = exercises(
        write,
        '[[step]]\nexercise = "starts"\npartials = 2\nstart = "mixed"\n[[step]]\nexercise = "starts"\npartials = 2\n',
    )
    assert {ask.start for ask in mixed.asks} == {Start.AIR, Start.TONGUED}
    assert [ask.start for ask in turned.asks] == [Start.TONGUED, Start.AIR]
    assert [ask.start for ask in mixed.asks] != [ask.start for ask in turned.asks * 2]


@pytest.mark.parametrize(
    ("words", "fingered"),
    [
        ("", ["C4"]),
        ('fingering = "d4"', ["D4"]),
        ('fingering = "A#3"', ["Bb3"]),
        ('fingering = ["Bb3", "Eb4"]', ["Bb3", "Eb4"]),
        ('fingering = "long"', ["A3", "Bb3", "B3", "C4", "C#4", "D4"]),
        ('fingering = "short"', ["Eb4", "E4", "F4", "F#4", "G4", "G#4", "A4"]),
    ],
)
def test_each_fingering_gives_an_exercise(write: Write, words: str, fingered: list[str]) -> None:
    """The long ones of a baritone begin at low A (common practice)."""
    read_ones = exercises(write, f'[[step]]\nexercise = "rising"\n{words}\n', player("baritone", "C4"))
    assert [str(one.series.fingering) for one in read_ones] == fingered


@pytest.mark.parametrize(
    ("kind", "words", "reach", "wanted"),
    [
        ("rising", "partials = [2, 5]", 3, [(2,), (5,)]),
        ("rising", 'partials = "2-4"', 3, [(2,), (3,), (4,)]),
        ("rising", "partials = 5", 3, [(5,)]),
        ("rising", 'partials = "2-4"\nwithin_reach = false', 3, [(2,), (3,), (4,)]),
        ("rising", 'partials = "2-4"\nwithin_reach = true', 3, [(2,), (3,)]),
        ("rising", "partials = [4, 5]\nwithin_reach = true", 3, [(3,)]),
        ("rising", 'partials = "reach"', 5, [(2,), (3,), (4,), (5,)]),
        ("rising", 'partials = "reach"', 1, [(2,)]),
        ("rising", 'partials = "top 2"', 5, [(4,), (5,)]),
        ("rising", 'partials = "top 9"', 3, [(2,), (3,)]),
        ("slurs", 'partials = "top 2"', 5, [(4, 5)]),
        ("slurs", 'partials = "top 2"', 2, [(1, 2)]),
        ("slurs", "partials = [3, 2]\nwithin_reach = true", 2, [(2, 1)]),
        ("slurs", "partials = [2, 5, 2]\nwithin_reach = true", 3, [(1, 2)]),
        ("slurs", "partials = 1\nwithin_reach = true", 3, [(1, 2)]),
        ("slurs", "partials = [4, 5]\nwithin_reach = true", 3, [(2, 3)]),
    ],
)
def test_partials_are_for_everybody_or_as_far_as_the_player_has_come(
    write: Write, kind: str, words: str, reach: int, wanted: list[tuple[int, ...]]
) -> None:
    (one,) = exercises(write, f'[[step]]\nexercise = "{kind}"\n{words}\n', player(reach=reach))
    assert [ask.partials for ask in one.asks] == wanted


def test_the_highest_that_can_be_compared_is_chosen_where_the_reach_is_above_the_usual_fingerings(
    write: Write,
) -> None:
    """Partial 6 of low B flat is F6, partial 7 A flat 6; usual fingerings end at F sharp 6 (common practice)."""
    step = '[[step]]\nexercise = "compare"\npartials = "top 1"\n'
    (one,) = exercises(write, step, player(reach=12))
    (beside,) = [ask.beside for ask in one.asks if ask.beside]
    assert str(one.series.written_name(beside.partial)) == "F6"


def test_within_reach_only_what_has_all_the_intervals_is_compared(write: Write) -> None:
    """A twelfth below partial 2 of low B flat lies under the lowest note (common practice)."""
    step = '[[step]]\nexercise = "compare low"\nbelow = ["octave", "twelfth"]\npartials = "reach"\n'
    (one,) = exercises(write, step, player(reach=4))
    assert one.rungs == (3, 4)


def test_later_days_play_other_steps_and_after_the_last_it_stays(write: Write) -> None:
    steps = (
        '[[step]]\nexercise = "fundamental"\n[[step]]\nexercise = "hear first"\ndays = "1-2"\n'
        '[[step]]\nexercise = "rising"\ndays = [2, 3]\n[[step]]\nexercise = "slurs"\ndays = 4\n'
    )
    played = {day: [one.name for one in exercises(write, steps, player(day=day))] for day in (1, 2, 3, 4, 5, 400)}
    assert played == {
        1: ["fundamental", "hear first"],
        2: ["fundamental", "hear first", "rising"],
        3: ["fundamental", "rising"],
        4: ["fundamental", "slurs"],
        5: ["fundamental", "slurs"],
        400: ["fundamental", "slurs"],
    }
