"""The maker's hands: the buttons of the box, and for answers the keys of the terminal as well.

Conventions
-----------
Times in seconds on the given clock. Edges and presses come from other threads; all else is for one thread.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Mapping
from typing import Any, Protocol

from airladder.devices.buttons import Buttons
from airladder.devices.buttons import Post as PostEdge
from airladder.devices.clock import Clock
from airladder.devices.keys import NoKeys
from airladder.devices.keys import Post as PostPress
from airladder.faults import Fault
from airladder.panel.debounce import Debouncer, Edge
from airladder.practice.presses import Button, Press

STEP_S = 0.01
"""How often somebody who waits looks."""


class Contacts(Buttons):
    """The buttons, which also tell a contact that is closed from the beginning: as an edge, at that moment.

    Parameters and faults are those of `Buttons`.
    """

    def _listen(self, button: Button, pin: int, pin_factory: Any) -> Any:
        contact = super()._listen(button, pin, pin_factory)
        if contact.is_active:
            self._post(Edge(button, True, self._clock.monotonic()))
        return contact


class Closable(Protocol):
    """What can be given back."""

    def close(self) -> None:
        """Give it back; harmless when done twice."""


class Hands:
    """Whoever presses.

    Parameters
    ----------
    contacts : opens the buttons of the box; raises a `Fault` where they cannot be had
    keys : the terminal, where there is one
    clock : the time

    Attributes
    ----------
    trouble : why there are no buttons; None when there are. Known after `open`.
    """

    def __init__(
        self,
        contacts: Callable[[PostEdge], Closable],
        keys: Callable[[PostPress], NoKeys],
        clock: Clock,
    ) -> None:
        self._contacts, self._keys, self._clock = contacts, keys, clock
        self._edges: deque[Edge] = deque()
        self._presses: deque[Press] = deque()
        self._opened: Closable | None = None
        self.trouble: str | None = None

    def open(self) -> None:
        """Have the buttons from now on; harmless when they are had already."""
        if self._opened is None:
            try:
                self._opened = self._contacts(self._edges.append)
                self.trouble = None
            except Fault as fault:
                self.trouble = str(fault)

    def close(self) -> None:
        """Give them back."""
        if self._opened is not None:
            self._opened.close()
            self._opened = None

    def edges(self) -> list[Edge]:
        """What came since the last look."""
        return [self._edges.popleft() for _ in range(len(self._edges))]

    def answer(self, patience_s: float) -> Button | None:
        """OK or BACK, whichever is pressed first; None when nobody presses either in time."""
        self.open()
        self.edges()
        debouncer = Debouncer()
        end = self._clock.monotonic() + patience_s
        with self._keys(self._presses.append):
            while (now := self._clock.monotonic()) < end:
                presses = [press for edge in self.edges() for press in debouncer.edge(edge)] + debouncer.time(now)
                presses += [self._presses.popleft() for _ in range(len(self._presses))]
                for press in presses:
                    if press.button in (Button.OK, Button.BACK):
                        return press.button
                self._clock.sleep(STEP_S)
        return None


def contacts_on(pins: Mapping[Button, int], clock: Clock) -> Callable[[PostEdge], Closable]:
    """Opens the buttons on those pins of the board."""
    return lambda post: Contacts(pins, post, clock)
