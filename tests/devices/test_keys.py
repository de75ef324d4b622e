"""Keys of a real terminal (a pseudo-terminal of the kernel) become presses, and the terminal is put back."""

from __future__ import annotations

import io
import os
import pty
import queue
import signal
import subprocess
import sys
import termios
import threading
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import TextIO

import pytest

from airladder.devices.clock import StillClock
from airladder.devices.keys import KEYS, Keys, NoKeys, keys_on, presses_in
from airladder.practice.presses import Button, Press

Terminal = tuple[int, TextIO]


@pytest.fixture
def terminal() -> Iterator[Terminal]:
    """The typist's end, and the program's end."""
    typist, program = pty.openpty()
    with os.fdopen(program, "r") as stream:
        yield typist, stream
    os.close(typist)


def clock() -> StillClock:
    return StillClock(datetime(2024, 1, 1, tzinfo=UTC))


def typed(terminal: Terminal, text: bytes, count: int) -> list[tuple[Button, bool]]:
    """What `count` presses come of the typed bytes; fails if there are fewer or more."""
    arrived: queue.Queue[Press] = queue.Queue()
    with keys_on(terminal[1], arrived.put, clock()):
        os.write(terminal[0], text)
        presses = [arrived.get(timeout=2) for _ in range(count)]
        with pytest.raises(queue.Empty):
            arrived.get(timeout=0.05)
    return [(press.button, press.long) for press in presses]


def test_the_row_of_four_are_the_buttons_from_left_to_right(terminal: Terminal) -> None:
    assert typed(terminal, b"asdf", 4) == [
        (Button.BACK, False),
        (Button.DOWN, False),
        (Button.UP, False),
        (Button.OK, False),
    ]


def test_capitals_are_held_long(terminal: Terminal) -> None:
    assert typed(terminal, b"ASDF", 4) == [
        (Button.BACK, True),
        (Button.DOWN, True),
        (Button.UP, True),
        (Button.OK, True),
    ]


def test_space_and_tab_are_the_foot_and_q_and_ctrl_d_leave(terminal: Terminal) -> None:
    assert typed(terminal, b" \tq\x04", 4) == [
        (Button.FOOT, False),
        (Button.FOOT, True),
        (Button.BACK, True),
        (Button.BACK, True),
    ]


def test_other_keys_and_arrows_press_nothing(terminal: Terminal) -> None:
    """An arrow up ends in a capital A, and F4 in an S: they must not be held buttons."""
    assert typed(terminal, b"x1\r\x1b[A\x1b[D\x1bOS\x1b[15~\x1b[1;5D\xc3\xa4\x00s", 1) == [(Button.DOWN, False)]


def test_an_escape_sequence_that_comes_in_two_parts_presses_nothing() -> None:
    pressed, rest = presses_in("s\x1b[1;")
    assert (pressed, rest) == ([(Button.DOWN, False)], "\x1b[1;")
    assert presses_in(rest + "5Ds") == ([(Button.DOWN, False)], "")
    assert presses_in("\x1b") == ([], "\x1b")


def test_every_button_can_be_pressed_short_and_long() -> None:
    assert set(KEYS.values()) == {(button, long) for button in Button for long in (False, True)}


def test_keys_are_stamped_and_not_shown(terminal: Terminal) -> None:
    arrived: queue.Queue[Press] = queue.Queue()
    still = clock()
    still.sleep(7.5)
    with keys_on(terminal[1], arrived.put, still):
        os.write(terminal[0], b"s")
        assert arrived.get(timeout=2).t == 7.5
        assert not termios.tcgetattr(terminal[1])[3] & (termios.ECHO | termios.ICANON)
        os.set_blocking(terminal[0], False)
        with pytest.raises(BlockingIOError):
            os.read(terminal[0], 10)


def test_the_terminal_is_put_back_at_the_end_also_after_an_exception(terminal: Terminal) -> None:
    before = termios.tcgetattr(terminal[1])
    keys = keys_on(terminal[1], print, clock())

    def practise_and_fail() -> None:
        with keys:
            assert termios.tcgetattr(terminal[1]) != before
            keys.start()  # harmless
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        practise_and_fail()
    assert termios.tcgetattr(terminal[1]) == before
    keys.close()


FORGETFUL = """
import sys, time
from airladder.devices.clock import Clock
from airladder.devices.keys import Keys
Keys(sys.stdin, print, Clock()).start()
sys.stdout.write("ready")
sys.stdout.flush()
{then}
"""


@pytest.mark.parametrize(
    ("then", "sign"), [("time.sleep(20)", signal.SIGINT), ("raise ZeroDivisionError", None), ("sys.exit(3)", None)]
)
def test_the_terminal_is_put_back_by_a_program_that_never_closes(
    terminal: Terminal, then: str, sign: signal.Signals | None
) -> None:
    before = termios.tcgetattr(terminal[1])
    with subprocess.Popen(
        [sys.executable, "-c", FORGETFUL.format(then=then)],
        stdin=terminal[1],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    ) as program:
        assert program.stdout
        assert program.stdout.read(5) == b"ready"
        if sign:
            assert termios.tcgetattr(terminal[1]) != before
            program.send_signal(sign)
        assert program.wait(timeout=10) != 0
    assert termios.tcgetattr(terminal[1]) == before


def gone(name: str) -> None:
    """Wait until no thread of that name runs."""
    limit = time.monotonic() + 2
    while any(thread.name == name for thread in threading.enumerate()):
        assert time.monotonic() < limit
        time.sleep(0.005)


def test_no_thread_stays_and_no_file_is_left_open(terminal: Terminal) -> None:
    def open_files() -> int:
        return sum(1 for number in range(256) if _is_open(number))

    before = open_files(), threading.active_count()
    keys = Keys(terminal[1], print, clock())
    for _ in range(3):
        keys.start()
        keys.close()
    assert (open_files(), threading.active_count()) == before


def _is_open(number: int) -> bool:
    try:
        os.fstat(number)
    except OSError:
        return False
    return True


def test_a_thread_that_does_not_die_is_told(terminal: Terminal) -> None:
    held, let_go = threading.Event(), threading.Event()

    def stuck(_: Press) -> None:
        held.set()
        let_go.wait(5)

    before = termios.tcgetattr(terminal[1])
    keys = Keys(terminal[1], stuck, clock(), patience=0.05)
    keys.start()
    os.write(terminal[0], b"s")
    assert held.wait(2)
    with pytest.raises(RuntimeError, match=r"^The thread of the keys did not end within 0\.05 s\.$"):
        keys.close()
    assert termios.tcgetattr(terminal[1]) == before
    let_go.set()
    gone("keys")


def test_a_terminal_that_goes_away_ends_the_thread_quietly() -> None:
    typist, program = pty.openpty()
    with os.fdopen(program, "r") as stream, Keys(stream, print, clock()):
        os.close(typist)
        gone("keys")


def test_without_a_terminal_nobody_presses() -> None:
    keys = keys_on(io.StringIO("asdf"), print, clock())
    assert type(keys) is NoKeys
    with keys:
        pass
