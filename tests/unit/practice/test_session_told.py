"""What the session tells beside its results: what is kept, what is wrong, how long something has held."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.music.series import Against
from airladder.practice.session import Kept, Tick, Trouble, listening
from airladder.practice.state import Phase
from stories import SERIES, attack, note, reading, told, tone


def test_only_what_is_on_the_disk_is_called_kept() -> None:
    state, _ = told(note(1, 3, 1))
    assert state.kept == 0
    state, _ = told([Kept(1)], state)
    assert state.kept == 1


def test_troubles_come_and_go_each_by_itself() -> None:
    state, _ = told([Trouble("microphone", "Waiting for it."), Trouble("log", "Disk full.")])
    assert state.trouble == "Disk full."
    state, _ = told([Trouble("log", "")], state)
    assert state.trouble == "Waiting for it."
    state, _ = told([Trouble("microphone", "")], state)
    assert state.trouble == ""


def test_a_note_that_was_cut_off_for_half_a_second_is_said_to_be_too_loud_until_one_is_not() -> None:
    loud = replace(tone(1.0, 3.0, 1), clipped=0.25)
    state, _ = told([loud])
    assert state.trouble == "Too loud for the microphone: turn it down."
    state, _ = told([replace(loud, clipped=0.1), tone(4.0, 5.0, 1)], state)
    assert state.trouble != ""
    state, _ = told([replace(loud, clipped=0.0)], state)
    assert state.trouble == ""


def test_a_knock_that_is_cut_off_is_not_remarked() -> None:
    assert told([replace(tone(1.0, 3.0, 1), clipped=0.24)])[0].trouble == ""
    assert told([tone(1.0, 3.0, 1)])[0].trouble == ""


def test_listening_names_and_judges_nothing() -> None:
    state, effects = told([reading(1.05, 4), attack(1.0)], listening(SERIES, Against.TEMPERED))
    assert state.reading is not None
    assert (state.phase, state.reading.partial, state.wanted) == (Phase.FREE, 4, None)
    state, effects = told([tone(1, 2, 4)], state)
    assert (state.reading, state.attempts, effects) == (None, (), [])


def test_the_time_held_starts_anew_with_each_partial() -> None:
    state, _ = told([reading(1.0, 2), reading(1.5, 2)])
    assert state.held == pytest.approx(0.5)
    state, _ = told([reading(1.6, 3), reading(1.8, 3)], state)
    assert state.held == pytest.approx(0.2)


def test_a_late_tick_turns_no_clock_back() -> None:
    state, _ = told([Tick(5.0), Tick(4.0)])
    assert state.now == 5.0
