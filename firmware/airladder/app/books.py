"""The books thread: reads the log, makes the plan and writes the settings, so that no one else waits for a disk."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from functools import partial

from airladder.app.pulse import AT_EASE
from airladder.faults import Fault
from airladder.pages.choices import Choices
from airladder.pages.date import Date
from airladder.pages.events import Looked
from airladder.pages.glance import Glance
from airladder.practice.session import Trouble

News = Looked | Trouble
Values = Mapping[str, object]
SETTINGS, DATE = "settings", "date"
"""What a trouble with them is about."""


class Books:
    """Does what it is asked for in a thread of its own; of looks only the newest.

    Parameters
    ----------
    look : looks into the log and makes the plan for these choices
    save : writes values into the settings; may raise a Fault, which is told as a trouble
    tell : takes the date that the player set; may raise a Fault as well
    post : takes what came of it, in the thread of the books
    at_work : entered for every piece of work
    """

    def __init__(
        self,
        look: Callable[[Choices], Glance],
        save: Callable[[Values], None],
        tell: Callable[[Date], None],
        post: Callable[[News], None],
        at_work: AbstractContextManager[object] = AT_EASE,
    ) -> None:
        self._at_work = at_work
        self._do_look, self._do_save, self._do_tell, self._post = look, save, tell, post
        self._to_look: Choices | None = None
        self._to_save: Values = {}
        self._to_tell: Date | None = None
        self._closing = False
        self._changed = threading.Condition()
        self._thread = threading.Thread(target=self._run, name="books", daemon=True)
        self._thread.start()

    def look(self, choices: Choices) -> None:
        """Look into the log for these choices, soon."""
        with self._changed:
            self._to_look = choices
            self._changed.notify()

    def save(self, values: Values) -> None:
        """Write these values into the settings, soon."""
        with self._changed:
            self._to_save = {**self._to_save, **values}
            self._changed.notify()

    def tell(self, date: Date) -> None:
        """Take it for the date from now on, before the next look."""
        with self._changed:
            self._to_tell = date
            self._changed.notify()

    def close(self, timeout: float = 5.0) -> None:
        """Write what is still to be written, and end.

        Raises
        ------
        RuntimeError : when the thread does not end in time.
        """
        with self._changed:
            self._closing = True
            self._to_look = None
            self._changed.notify()
        self._thread.join(timeout)
        if self._thread.is_alive():
            raise RuntimeError("The thread of the books does not end.")

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._to_look or self._to_save or self._to_tell or self._closing)
                to_save, self._to_save = self._to_save, {}
                to_look, self._to_look = self._to_look, None
                to_tell, self._to_tell = self._to_tell, None
            with self._at_work:
                if to_save:
                    self._done(SETTINGS, partial(self._do_save, to_save))
                if to_tell is not None:
                    self._done(DATE, partial(self._do_tell, to_tell))
                if to_look is not None:
                    self._post(Looked(self._do_look(to_look), to_look))
            if not to_save and to_look is None and to_tell is None:
                return

    def _done(self, about: str, do: Callable[[], None]) -> None:
        try:
            do()
        except Fault as fault:
            self._post(Trouble(about, str(fault)))
        else:
            self._post(Trouble(about, ""))
