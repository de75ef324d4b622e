"""The buttons, each by itself: one whose pin cannot be had hinders no other, and is tried again."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from typing import Any, Protocol

from airladder.app.pulse import LONG_S, Pulses
from airladder.appliance.ticking import Ticking
from airladder.faults import Fault
from airladder.pages.events import Handless
from airladder.practice.presses import Button
from airladder.practice.session import Trouble

RETRY_S = 10.0
"""How often a button that could not be had is tried again."""

BUTTONS = "buttons"
"""What a trouble with them is about."""


class Contacts(Protocol):
    """Buttons that post their edges."""

    def close(self) -> None:
        """Give their pins back."""


class PatientHands:
    """Those of the buttons that can be had now; the others as soon as they can.

    Parameters
    ----------
    pins : BCM number of each
    listen : listens to some of them; may raise a Fault
    post : takes what the player is told about them, and whether there are any
    pulses : how the threads get on
    """

    def __init__(
        self,
        pins: Mapping[Button, int],
        listen: Callable[[Mapping[Button, int]], Contacts],
        post: Callable[[Trouble | Handless], None],
        pulses: Pulses,
    ) -> None:
        self._missing, self._listen, self._post = dict(pins), listen, post
        self._had: list[Contacts] = []
        self._said, self._none = "", False
        self._closing = threading.Lock()
        self._closed = False
        self._try()
        self._thread = Ticking("hands", RETRY_S, self._try, pulses.of("hands", LONG_S)) if self._missing else None

    def close(self) -> None:
        """Give all pins back."""
        if self._thread is not None:
            self._thread.close()
        with self._closing:
            self._closed = True
            for contacts in self._had:
                contacts.close()
            self._had.clear()

    def _try(self) -> None:
        said = ""
        with self._closing:
            if self._closed:
                return
            for button, pin in list(self._missing.items()):
                try:
                    self._had.append(self._listen({button: pin}))
                except Fault as fault:
                    said = said or str(fault)
                else:
                    del self._missing[button]
        none = not self._had
        if none != self._none:
            self._post(Handless(none))
        if said != self._said:
            self._post(Trouble(BUTTONS, said))
        self._none, self._said = none, said


def shared(make: Callable[[], Any]) -> Callable[[], Any]:
    """Makes what all buttons need once, as soon as it can be made."""
    made: list[Any] = []

    def give() -> Any:
        if not made:
            made.append(make())
        return made[0]

    return give
