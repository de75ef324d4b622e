"""The program without its threads, and the loop around it."""

from __future__ import annotations

import numpy as np

from airladder.app.inbox import Ended, Inbox
from airladder.app.loop import Loop
from airladder.app.program import Program
from airladder.devices.clock import Clock
from airladder.hearing.block import HOP, HOP_SECONDS, Block
from airladder.panel.debounce import Edge
from airladder.practice.presses import Button, Press
from airladder.practice.session import Kept, Trouble, begin
from airladder.practice.state import Phase, State
from climbing import climb
from listening import series_of


def program() -> Program:
    return Program(begin(climb(series_of("alto", "Bb3"))))


def silence(sequence: int, *, lost: bool = False) -> Block:
    return Block(np.zeros(HOP, np.float32), sequence, (sequence + 1) * HOP_SECONDS, lost)


def test_a_block_moves_the_clock_of_the_sound() -> None:
    running = program()
    for sequence in range(10):
        assert running.take(silence(sequence)) == []
    assert running.state.now == 10 * HOP_SECONDS


def test_a_press_counts_from_when_it_is_heard_of_whatever_clock_it_bears() -> None:
    """A button's own clock may be days ahead: the session must not believe that days have passed."""
    running = program()
    running.take(silence(0))
    running.take(Press(Button.UP, False, 1e6))
    assert running.state.wanted == 2
    assert running.state.now == HOP_SECONDS


def test_what_is_kept_and_what_is_wrong_reach_the_state() -> None:
    running = program()
    running.take(Kept(1))
    running.take(Trouble("log", "The disk is full."))
    assert (running.state.kept, running.state.trouble) == (1, "The disk is full.")


def looped(*letters: Edge | Press | Ended, clock: Clock | None = None) -> tuple[Loop, list[State]]:
    inbox, states = Inbox(), list[State]()
    for letter in letters:
        inbox.post_by_hand(letter)
    loop = Loop(program(), inbox, keep=lambda attempt: None, watch=states.append, clock=clock or Clock())
    return loop, states


def test_a_button_held_down_is_a_long_press_even_when_no_sound_comes() -> None:
    clock = Clock()
    loop, states = looped(Edge(Button.BACK, True, clock.monotonic()), clock=clock)
    assert loop.run() == []
    assert states[-1].phase is Phase.OVER


def test_a_button_that_chatters_is_one_press() -> None:
    clock = Clock()
    now = clock.monotonic() - 1.0
    chatter = [Edge(Button.UP, level % 2 == 0, now + 0.001 * level) for level in range(5)]
    loop, states = looped(*chatter, Edge(Button.UP, False, now + 0.2), Press(Button.BACK, True, 0.0), clock=clock)
    loop.run()
    assert {state.wanted for state in states} == {1, 2, None}


def test_the_end_of_the_sound_ends_the_loop() -> None:
    loop, states = looped(Ended())
    assert loop.run() == []
    assert states[-1].phase is Phase.WANTED


def test_a_loop_that_is_told_to_leave_leaves_like_a_player() -> None:
    loop, states = looped()
    loop.leave()
    loop.run()
    assert states[-1].phase is Phase.OVER
