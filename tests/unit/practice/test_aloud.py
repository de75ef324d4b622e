"""The wanted pitch, sounded by the box: when it begins, what pitch, how long, and what ends it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.music.fingerings import fingering_named
from airladder.music.series import Against
from airladder.practice.aloud import DRONE_SECONDS, LEAKING_SECONDS, TONE_SECONDS, begun, can_sound
from airladder.practice.ask import Ask, Task
from airladder.practice.effects import Effect, Hush, Sound
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.presses import Press
from airladder.practice.routine import Routine
from airladder.practice.session import PATIENCE_SECONDS, SING_SECONDS, Event, Gap, Leak, PlayedOver, Tick, begin
from airladder.practice.state import Aloud, Phase, State
from stories import ALTO, BACK, DOWN, FOOT, FOOT_HELD, LEAVE, OK, SERIES, UP, keeps, note, reading, sung, told, tone

F5_HZ = 415.305
"""Partial 3 of low B flat on an alto, written F5, at its tempered pitch (MIDI 68 in the MIDI Tuning Standard)."""

THREE = Exercise(Kind.RISING, SERIES, tuple(Ask(Task.PLAY, SERIES, (partial,)) for partial in (1, 3, 5)))
HEAR = built(Wish(Kind.HEAR, SERIES, (3,)))


def at(*exercises: Exercise, sounds: Aloud = Aloud.TONE) -> State:
    return begin(Routine("story", exercises), sounds=sounds)


def third(sounds: Aloud = Aloud.TONE) -> State:
    """Before partial 3."""
    return told([UP], at(THREE, sounds=sounds))[0]


def sounded(effects: list[Effect], hz: float, seconds: float = TONE_SECONDS) -> bool:
    """Whether this pitch, and nothing else, was made to sound."""
    match heard(effects):
        case [Sound(pitch, lasts)]:
            return lasts == seconds and abs(pitch - hz) < 0.002
    return False


def heard(effects: list[Effect]) -> list[Effect]:
    """What concerns the sound."""
    return [effect for effect in effects if isinstance(effect, Sound | Hush)]


@pytest.mark.parametrize(("sounds", "seconds"), [(Aloud.TONE, TONE_SECONDS), (Aloud.DRONE, DRONE_SECONDS)])
@pytest.mark.parametrize("press", [OK, FOOT])
def test_a_press_sounds_what_is_wanted_and_another_ends_it(press: Press, sounds: Aloud, seconds: float) -> None:
    state, effects = told([Tick(7.0), press], third(sounds))
    assert sounded(effects, F5_HZ, seconds)
    assert (state.phase, state.wanted, state.sounds_until) == (Phase.WANTED, 3, 7.0 + seconds)
    state, effects = told([press], state)
    assert (state.phase, state.wanted, state.sounds_until, effects) == (Phase.WANTED, 3, None, [Hush()])


@pytest.mark.parametrize(("sounds", "seconds"), [(Aloud.TONE, TONE_SECONDS), (Aloud.DRONE, DRONE_SECONDS)])
def test_it_ends_with_its_time_once(sounds: Aloud, seconds: float) -> None:
    state, effects = told([OK, Tick(seconds - 0.01)], third(sounds))
    assert len(effects) == 1
    assert told([Tick(seconds), Tick(seconds + 1), Tick(seconds + 9)], state)[1] == [Hush()]


@pytest.mark.parametrize("press", [UP, DOWN, BACK, LEAVE, FOOT_HELD])
def test_it_ends_with_what_it_was_for(press: Press) -> None:
    sounding, _ = told([OK], third(Aloud.DRONE))
    state, effects = told([press], sounding)
    assert (state.sounds_until, effects) == (None, [Hush()])


def test_a_box_that_cannot_or_is_not_to_sound_repeats_instead() -> None:
    silent = third(Aloud.SILENT)
    assert not can_sound(silent)
    tried, _ = told([*note(1, 3, 1), Tick(6)], silent)
    assert tried.tries == 1
    state, effects = told([OK], tried)
    assert (state.wanted, state.tries, effects) == (3, 0, [])
    assert told([Tick(1), Tick(2)], at(HEAR, sounds=Aloud.SILENT))[1] == []


def test_it_sounds_only_where_a_pitch_is_wanted_and_nothing_sounds() -> None:
    elsewhere = [
        told([reading(1.0, 3)], third())[0],
        told(note(1, 3, 3), third())[0],
        told([BACK], third())[0],
        at(built(Wish(Kind.REST, SERIES, hold=30.0))),
        at(built(Wish(Kind.FREE, SERIES, hold=30.0))),
    ]
    phases = [Phase.SOUNDING, Phase.RESULT, Phase.DONE, Phase.REST, Phase.FREE]
    assert [state.phase for state in elsewhere] == phases
    for state in elsewhere:
        assert not can_sound(state)
        assert heard(told([OK], state)[1]) == []


def test_the_players_own_time_begins_when_the_tone_is_over() -> None:
    """Silence is waited out from the end of the tone on, not from its beginning."""
    played, _ = told([*note(1, 3, 1), Tick(6), OK], third())
    late = 6 + TONE_SECONDS + PATIENCE_SECONDS
    state, effects = told([Tick(late - 0.01)], played)
    assert (state.phase, keeps(effects)) == (Phase.WANTED, [])
    assert len(keeps(told([Tick(late)], state)[1])) == 1


def test_a_drone_goes_on_under_the_player_and_into_the_result() -> None:
    state, effects = told([OK, *note(5, 8, 3)], third(Aloud.DRONE))
    assert state.phase is Phase.RESULT
    assert len(heard(effects)) == 1
    assert heard(told([Tick(11)], state)[1]) == [Hush()]  # on to partial 5


def test_a_drone_that_the_microphone_hears_ends_before_the_player_begins() -> None:
    state, _ = told([OK, Tick(1.0), Leak()], third(Aloud.DRONE))
    assert state.sounds_until == 1.0 + LEAKING_SECONDS
    assert told([Tick(3.0), Leak()], state)[0].sounds_until == 1.0 + LEAKING_SECONDS
    assert told([Tick(1.0 + LEAKING_SECONDS)], state)[1] == [Hush()]


def test_a_leak_shortens_no_tone_and_begins_nothing() -> None:
    tone, _ = told([OK, Tick(1.0), Leak()], third())
    assert tone.sounds_until == TONE_SECONDS
    assert told([Leak(), PlayedOver()], third(Aloud.DRONE)) == (third(Aloud.DRONE), [])


def test_whoever_plays_over_it_is_let_play() -> None:
    state, effects = told([OK, PlayedOver(), PlayedOver()], third(Aloud.DRONE))
    assert state.sounds_until is None
    assert effects[1:] == [Hush()]


# ---- what is to be sung sounds by itself


def test_what_is_to_be_sung_sounds_once_when_it_is_asked_for() -> None:
    state, effects = told([UP, UP, UP, *(Tick(0.1 * n) for n in range(15))], at(THREE, HEAR))
    assert (state.ask.task, state.wanted) == (Task.SING, 3)
    assert sounded(effects, F5_HZ)


def test_a_practice_that_begins_with_singing_begins_with_its_pitch() -> None:
    state, effects = begun(at(HEAR))
    assert [type(effect) for effect in effects] == [Sound]
    assert told([Tick(0.5), Tick(TONE_SECONDS)], state)[1] == [Hush()]
    assert begun(third()) == (third(), ())
    assert begun(at(HEAR, sounds=Aloud.SILENT))[1] == ()


@pytest.mark.parametrize("noise", [[reading(3.0, None), Tick(4.0)], [reading(3.0, 2), Gap(3.2)]])
def test_a_cough_or_a_gap_brings_no_second_tone(noise: list[Event]) -> None:
    """Else a box in a room that is never still would go on sounding for ever."""
    state, _ = told([Tick(2.5)], begun(at(HEAR))[0])
    state, effects = told(noise, state)
    assert (state.phase, state.ask.task, effects) == (Phase.WANTED, Task.SING, [])


def test_singing_is_waited_for_from_the_end_of_the_tone_on() -> None:
    state, _ = told([Tick(TONE_SECONDS + SING_SECONDS - 0.01)], begun(at(HEAR))[0])
    assert state.ask.task is Task.SING
    assert told([Tick(TONE_SECONDS + SING_SECONDS)], state)[0].ask.task is Task.PLAY


def test_what_is_sung_is_shown_and_the_pitch_to_be_played_does_not_sound_by_itself() -> None:
    state, effects = told([sung(2.5, 3.5, F5_HZ / 2), Tick(9)], begun(at(HEAR))[0])
    assert (state.phase, state.ask.task, heard(effects)) == (Phase.WANTED, Task.PLAY, [Hush()])


def test_singing_that_is_asked_for_again_sounds_again() -> None:
    played, _ = told([UP, Tick(3)], begun(at(HEAR))[0])
    assert [type(effect) for effect in told([DOWN], played)[1]] == [Sound]
    done, _ = told([BACK, Tick(4)], begun(at(HEAR))[0])
    assert (done.phase, done.place) == (Phase.DONE, 0)
    assert [type(effect) for effect in told([OK], done)[1]] == [Sound]


# ---- which pitch


def test_it_is_what_counts_as_0_cents() -> None:
    """Against pure, partial 5 lies 13.69 cents below its tempered note (Helmholtz/Ellis): n times the fundamental."""
    exercise = replace(THREE, against=Against.PURE)
    _, effects = told([UP, UP, OK], at(exercise))
    assert sounded(effects, 5 * 138.5913)


def test_measured_it_is_the_players_own_fundamental_once_that_was_sounded() -> None:
    exercise = replace(THREE, against=Against.MEASURED)
    _, unmeasured = told([UP, OK], at(exercise))
    assert sounded(unmeasured, F5_HZ)
    _, effects = told([*note(1, 3, 1), Tick(6), OK], at(exercise))  # 140 Hz, see `stories`
    assert sounded(effects, 3 * 140.0)
    _, missed = told([*note(1, 3, 2), UP, OK], at(exercise))
    assert heard(missed) == unmeasured
    _, another = told([UP, *note(1, 3, 3), UP, OK], at(exercise))
    assert sounded(another, 698.4565)  # partial 5, written D6, tempered (MIDI 77): a third partial is no fundamental


def test_it_is_the_newest_fundamental_of_the_same_tube() -> None:
    both = [Ask(Task.PLAY, tube, (1,)) for tube in (replace(SERIES, fingering=fingering_named(ALTO, "B3")), SERIES)]
    third = Ask(Task.PLAY, SERIES, (3,))
    first = Exercise(Kind.RISING, SERIES, (*both, both[1], third), Against.MEASURED)
    other = at(first)
    state, _ = told([*note(1, 3, 1), Tick(6), UP, UP], other)
    assert sounded(told([OK], state)[1], F5_HZ)  # only the other tube was measured
    newer = replace(tone(13, 15, 1), hz=141.0)
    state, effects = told([*note(1, 3, 1), Tick(6), *note(7, 9, 1), Tick(12), newer, Tick(18), OK], other)
    assert state.wanted == 3
    assert sounded(effects, 3 * 141.0)


def test_of_a_slur_it_is_the_partial_that_is_to_stand_in_the_end() -> None:
    slur = Exercise(Kind.SLURS, SERIES, (Ask(Task.SLUR, SERIES, (2, 3)),))
    assert sounded(told([OK], at(slur))[1], F5_HZ)
