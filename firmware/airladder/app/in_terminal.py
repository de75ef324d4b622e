"""Practice at a terminal: the panel in Braille dots, keys for buttons, and lines of text around them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TextIO

from airladder.app.ending import told_at_the_end
from airladder.app.order import Order, Outside
from airladder.app.practising import practise
from airladder.app.sources import DEMO, speaker_for
from airladder.app.telling import told
from airladder.devices.clock import Clock
from airladder.devices.keys import NoKeys, keys_on
from airladder.devices.terminal import Terminal
from airladder.journal.log import Log
from airladder.pages.box import Box
from airladder.panel.views import picture
from airladder.practice.presses import Press

KEYS_HELP = "keys: a s d f buttons, space foot switch; capitals and Tab: held long; q leaves"
WELL_AGAIN = "All is well again."
DEMO_HELP = "A demo: the player, the horn and every tone are invented."


def practise_in_terminal(order: Order, stdin: TextIO, stdout: TextIO, clock: Clock) -> int:
    """Run at the terminal, print the summary of the last practice, write the report; the exit code.

    Raises
    ------
    LogFault : when the log cannot be used: at a desk that can be mended before the first note.
    SoundFault : when the recording cannot be opened.
    """
    Log(order.log).close()
    terminal = Terminal(stdout)
    for sentence in order.notes.values():
        terminal.say(sentence)
    if order.source == DEMO:
        terminal.say(DEMO_HELP)
    if stdin.isatty():
        terminal.say(KEYS_HELP)

    def hands(post: Callable[[Press], None]) -> NoKeys:
        keys = keys_on(stdin, post, clock)
        keys.start()
        return keys

    done = practise(
        order,
        Outside(
            terminal,
            hands,
            Narrator(terminal),
            clock,
            speaker=speaker_for(order.source, order.settings.speaker, clock),
        ),
    )
    terminal.close()
    return told_at_the_end(done, order.log, terminal.say)


class Narrator:
    """Where pictures cannot be redrawn in place: says each try, with the picture of its result, and each trouble."""

    def __init__(self, terminal: Terminal) -> None:
        self._terminal = terminal
        self._said = (0, 0)
        self._trouble = ""

    def __call__(self, box: Box) -> None:
        """Take the newest box."""
        if self._terminal.in_place:
            return
        state = box.session
        trouble = box.trouble if state is None else state.trouble
        if trouble != self._trouble:
            self._trouble = trouble
            self._terminal.say(self._trouble or WELL_AGAIN)
        tries = (box.practices, len(state.attempts) if state else 0)
        if state is not None and tries > self._said:
            self._said = tries
            if state.attempts:
                self._terminal.say(told(state.exercise, state.attempts[-1]))
                self._terminal.print_picture(picture(box))
