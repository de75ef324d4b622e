"""Practice at a terminal: the panel in Braille dots, keys for buttons, and lines of text around them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TextIO

from airladder.app.practising import Done, Order, Outside, practise
from airladder.app.sources import DEMO
from airladder.app.telling import summary, told
from airladder.devices.clock import Clock
from airladder.devices.keys import NoKeys, keys_on
from airladder.devices.terminal import Terminal
from airladder.faults import LogFault
from airladder.journal.log import Log, Reader
from airladder.journal.report import report
from airladder.panel.screens import draw
from airladder.practice.presses import Press
from airladder.practice.state import State

KEYS_HELP = "keys: a s d f buttons, space foot switch; capitals and Tab: held long; q leaves"
WELL_AGAIN = "All is well again."
DEMO_HELP = "A demo: the player, the horn and every tone are invented."


def practise_at_desk(order: Order, stdin: TextIO, stdout: TextIO, clock: Clock) -> int:
    """Run one session at the terminal, print its summary, write the report; the exit code.

    Raises
    ------
    LogFault : when the log cannot be used: at a desk that can be mended before the first note.
    SoundFault : when the recording cannot be opened.
    """
    Log(order.log).close()
    terminal = Terminal(stdout)
    if order.source == DEMO:
        terminal.say(DEMO_HELP)
    if stdin.isatty():
        terminal.say(KEYS_HELP)

    def hands(post: Callable[[Press], None]) -> NoKeys:
        keys = keys_on(stdin, post, clock)
        keys.start()
        return keys

    done = practise(order, Outside(terminal, hands, Narrator(terminal), clock))
    terminal.close()
    return _told_at_the_end(done, order.log, terminal)


class Narrator:
    """Where pictures cannot be redrawn in place: says each try, with the picture of its result, and each trouble."""

    def __init__(self, terminal: Terminal) -> None:
        self._terminal = terminal
        self._said = 0
        self._trouble = ""

    def __call__(self, state: State) -> None:
        """Take the newest state."""
        if self._terminal.in_place:
            return
        if state.trouble != self._trouble:
            self._trouble = state.trouble
            self._terminal.say(self._trouble or WELL_AGAIN)
        if len(state.attempts) > self._said:
            self._said = len(state.attempts)
            self._terminal.say(told(state.exercise, state.attempts[-1]))
            self._terminal.print_picture(draw(state))


def _told_at_the_end(done: Done, log: Path, terminal: Terminal) -> int:
    for line in summary(done.state):
        terminal.say(line)
    for sentence in (*done.notes, *map(str, done.faults)):
        terminal.say(sentence)
    page = log.with_suffix(".html")
    fault = None
    try:
        with Reader(log) as reader:
            report(reader, page)
        terminal.say(f"log:    {log}\nreport: {page}")
    except LogFault as found:
        fault = found
        terminal.say(str(fault))
    faults = [*done.faults, *([fault] if fault else [])]
    return faults[0].exit_code if faults else 0
