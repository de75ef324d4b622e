"""The program without its threads, and the loop around it."""

from __future__ import annotations

import numpy as np

from airladder.app.inbox import Ended, Inbox
from airladder.app.loop import STUCK, Loop
from airladder.app.program import Program
from airladder.devices.clock import Clock
from airladder.hearing.block import HOP, HOP_SECONDS, Block
from airladder.pages.box import Box, practising
from airladder.pages.events import KeptIn
from airladder.pages.light import Light
from airladder.pages.page import Page
from airladder.panel.debounce import Edge
from airladder.practice.presses import Button, Press
from airladder.practice.session import Kept, Trouble, begin
from airladder.practice.state import State
from climbing import climb
from listening import series_of


def program() -> Program:
    return Program(practising(begin(climb(series_of("alto", "Bb3")))))


def state_of(running: Program) -> State:
    assert running.box.session is not None
    return running.box.session


def silence(sequence: int, *, lost: bool = False) -> Block:
    return Block(np.zeros(HOP, np.float32), sequence, (sequence + 1) * HOP_SECONDS, lost)


def test_a_block_moves_the_clock_of_the_sound() -> None:
    running = program()
    for sequence in range(10):
        assert running.take(silence(sequence)) == []
    assert state_of(running).now == 10 * HOP_SECONDS


def test_a_press_counts_from_when_it_is_heard_of_whatever_clock_it_bears() -> None:
    """A button's own clock may be days ahead: the session must not believe that days have passed."""
    running = program()
    running.take(silence(0))
    running.take(Press(Button.UP, False, 1e6))
    assert state_of(running).wanted == 2
    assert state_of(running).now == HOP_SECONDS


def test_what_is_kept_and_what_is_wrong_reach_the_state() -> None:
    running = program()
    running.take(KeptIn(0, Kept(1)))
    running.take(KeptIn(7, Kept(2)))  # of another practice
    running.take(Trouble("log", "The disk is full."))
    assert (state_of(running).kept, state_of(running).trouble) == (1, "The disk is full.")


def looped(*letters: Edge | Press | Ended, clock: Clock | None = None) -> tuple[Loop, list[Box]]:
    inbox, boxes = Inbox(), list[Box]()
    for letter in letters:
        inbox.post_by_hand(letter)
    loop = Loop(program(), inbox, do=lambda effect: None, watch=boxes.append, clock=clock or Clock())
    return loop, boxes


def test_a_button_held_down_is_a_long_press_even_when_no_sound_comes() -> None:
    clock = Clock()
    loop, boxes = looped(Edge(Button.BACK, True, clock.monotonic()), clock=clock)
    assert loop.run() == []
    assert boxes[-1].page is Page.NIGHT


def test_a_button_that_chatters_is_one_press() -> None:
    clock = Clock()
    now = clock.monotonic() - 1.0
    chatter = [Edge(Button.UP, level % 2 == 0, now + 0.001 * level) for level in range(5)]
    loop, boxes = looped(*chatter, Edge(Button.UP, False, now + 0.2), Press(Button.BACK, True, 0.0), clock=clock)
    loop.run()
    assert {box.session.wanted for box in boxes if box.session} == {1, 2, None}


def test_the_end_of_the_sound_ends_the_loop() -> None:
    loop, boxes = looped(Ended())
    assert loop.run() == []
    assert boxes[-1].page is Page.PRACTICE


def test_a_loop_that_is_told_to_leave_leaves_like_a_player() -> None:
    loop, boxes = looped()
    loop.leave()
    loop.run()
    assert boxes[-1].page is Page.NIGHT


def test_without_sound_time_goes_on_by_the_clock_so_that_the_screen_may_sleep() -> None:
    running, inbox, boxes = program(), Inbox(), list[Box]()
    moved = [0.0]

    class Leaping(Clock):
        def monotonic(self) -> float:
            """Four hundred seconds later each time."""
            moved[0] += 400.0
            return moved[0]

    def enough(box: Box) -> None:
        boxes.append(box)
        if box.light is Light.DARK:
            loop.leave()

    loop = Loop(running, inbox, do=lambda effect: None, watch=enough, clock=Leaping())
    loop.run()
    assert Light.DARK in {box.light for box in boxes}
    assert all(box.session is None or box.session.now == 0.0 for box in boxes)


def test_a_button_that_stays_down_is_said_and_said_no_more_when_it_comes_up() -> None:
    clock, inbox, boxes = Clock(), Inbox(), list[Box]()
    inbox.post_by_hand(Edge(Button.DOWN, True, clock.monotonic() - 9.0))

    def watch(box: Box) -> None:
        before = boxes[-1].trouble if boxes else ""
        boxes.append(box)
        if box.trouble and not before:
            inbox.post_by_hand(Edge(Button.DOWN, False, clock.monotonic()))
        if before and not box.trouble:
            loop.leave()

    loop = Loop(program(), inbox, do=lambda effect: None, watch=watch, clock=clock)
    loop.run()
    assert {box.trouble for box in boxes} == {"", STUCK.format("down")}
    assert {box.session.wanted for box in boxes if box.session} == {1, None}  # it walked nowhere
