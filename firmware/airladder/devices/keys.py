"""Keys of the terminal that stand for the buttons.

    a s d f      the four buttons, from left to right: BACK DOWN UP OK
    A S D F      the same, held long
    space, Tab   the foot switch, short and held long
    q, Ctrl-D    leave: BACK held long

A terminal tells of no release, so keys give finished presses, not edges.
"""

from __future__ import annotations

import atexit
import os
import re
import select
import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from types import TracebackType
from typing import Self, TextIO

from airladder.devices.clock import Clock
from airladder.practice.presses import ROW, Button, Press

KEYS: dict[str, tuple[Button, bool]] = {
    **{key: (button, False) for key, button in zip("asdf", ROW, strict=True)},
    **{key: (button, True) for key, button in zip("ASDF", ROW, strict=True)},
    " ": (Button.FOOT, False),
    "\t": (Button.FOOT, True),
    "q": (Button.BACK, True),
    "\x04": (Button.BACK, True),
}
"""What each key stands for: the button, and whether it was held long."""

# Arrows, function keys and the like arrive as Escape and more letters, which must not be taken for ours
# (control sequences: ECMA-48, section 5.4).
_ESCAPES = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~]|O[ -~]|[^\[O])")
_BEGUN = re.compile(r"\x1b(?:O|\[[0-?]*[ -/]*)?\Z")

Post = Callable[[Press], None]
"""Takes a press in the thread of the keys; must neither wait nor raise."""


def presses_in(text: str) -> tuple[list[tuple[Button, bool]], str]:
    """What was pressed, as (button, long), and the begun escape sequence at the end that wants its rest."""
    plain = _ESCAPES.sub("", text)
    begun = _BEGUN.search(plain)
    rest = begun.group() if begun else ""
    return [KEYS[key] for key in plain.removesuffix(rest) if key in KEYS], rest


class NoKeys:
    """Keys where there is no terminal: nobody ever presses one. `Keys` adds the terminal."""

    def start(self) -> None:
        """Begin to listen."""

    def close(self) -> None:
        """End, and leave the terminal as it was found. Harmless when already closed."""

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


class Keys(NoKeys):
    """Listens to a terminal in a thread of its own.

    The terminal hands over each key at once and shows none (cbreak) from `start` to `close`; when the program
    ends without `close`, by an exception or by SIGINT, it is put back on the way out all the same.

    Parameters
    ----------
    stream : a terminal, as a rule standard input
    post : called with each press, from the thread
    clock : stamps the presses (monotonic; who wants the clock of the sound takes off when that began)
    patience : seconds that `close` waits for the thread
    """

    def __init__(self, stream: TextIO, post: Post, clock: Clock, *, patience: float = 1.0) -> None:
        self._file = stream.fileno()
        self._post, self._clock, self._patience = post, clock, patience
        self._undo: Callable[[], None] = _nothing
        self._wake = -1
        self._thread = threading.Thread(target=_nothing)

    def start(self) -> None:
        """Begin to listen. Harmless when already begun."""
        if self._wake >= 0:
            return
        self._undo = _one_key_at_a_time(self._file)
        atexit.register(self._undo)
        woken, self._wake = os.pipe()
        self._thread = threading.Thread(target=self._listen, args=(woken,), name="keys", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """End, and leave the terminal as it was found.

        Raises
        ------
        RuntimeError : the thread did not end, because what it posts to does not return.
        """
        if self._wake < 0:
            return
        os.close(self._wake)
        self._wake = -1
        self._undo()
        atexit.unregister(self._undo)
        self._thread.join(self._patience)
        if self._thread.is_alive():
            raise RuntimeError(f"The thread of the keys did not end within {self._patience} s.")

    def _listen(self, woken: int) -> None:
        try:
            for button, long in self._arriving(woken):
                self._post(Press(button, long, self._clock.monotonic()))
        finally:
            os.close(woken)

    def _arriving(self, woken: int) -> Iterator[tuple[Button, bool]]:
        """What is pressed, until woken by `close` or the terminal has gone."""
        rest = ""
        with suppress(OSError):  # a terminal that has gone
            while woken not in select.select([self._file, woken], [], [])[0]:
                typed = os.read(self._file, 64)
                if not typed:
                    return
                pressed, rest = presses_in(rest + typed.decode("latin-1"))
                yield from pressed


def keys_on(stream: TextIO, post: Post, clock: Clock) -> NoKeys:
    """Keys of the stream when it is a terminal; else the stand-in that never presses."""
    return Keys(stream, post, clock) if stream.isatty() else NoKeys()


def _one_key_at_a_time(file: int) -> Callable[[], None]:
    """Set the terminal so; gives back what puts it as it was."""
    import termios  # here, for there is none outside Unix
    import tty

    before = termios.tcgetattr(file)
    tty.setcbreak(file)

    def undo() -> None:
        with suppress(termios.error):  # the terminal may have gone
            termios.tcsetattr(file, termios.TCSADRAIN, before)

    return undo


def _nothing() -> None:
    pass
