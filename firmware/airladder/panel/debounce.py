"""From the edges of a bouncing contact to presses, by arithmetic on the times of the edges alone.

A level counts once it has stood for `settle` seconds; what is shorter is chatter. A short press is told at its
release, a long one as soon as it has lasted `long_after` seconds, and its release then says nothing. Each button
is judged by itself, so any number may be down at once. An edge that repeats the level already known changes
nothing: a caller may report levels again and again, and a release that got lost is mended by the next such report.

Conventions
-----------
Times in seconds on any one clock, not falling for one button. The presses do not depend on how often `time` is
called, only how soon they are told does. Pure: nothing here asks for the time.
"""

from __future__ import annotations

from dataclasses import dataclass

from airladder.practice.presses import Button, Press


@dataclass(frozen=True)
class Edge:
    """The contact of `button` was seen to close (`down`) or open at `t` seconds."""

    button: Button
    down: bool
    t: float


@dataclass
class _Contact:
    """What is known of one button: the level seen last and since when, and the press that it makes."""

    down: bool = False
    since: float = 0.0
    pressed_at: float | None = None
    told: bool = False


class Debouncer:
    """Turns edges into presses.

    Parameters
    ----------
    settle : how long a level must stand to count, s
    long_after : from when on a press is a long one, s; more than `settle`
    """

    def __init__(self, settle: float = 0.02, long_after: float = 0.6) -> None:
        self._settle = settle
        self._long_after = long_after
        self._contacts = {button: _Contact() for button in Button}

    def edge(self, edge: Edge) -> list[Press]:
        """Take in an edge; the presses of its button that are certain by then."""
        contact = self._contacts[edge.button]
        presses = self._until(edge.button, edge.t)
        if edge.down != contact.down:
            contact.down, contact.since = edge.down, edge.t
        return presses

    def time(self, t: float) -> list[Press]:
        """The presses that are certain at `t`, the earliest first."""
        presses = [press for button in Button for press in self._until(button, t)]
        return sorted(presses, key=lambda press: press.t)

    def _until(self, button: Button, t: float) -> list[Press]:
        contact = self._contacts[button]
        stands = t - contact.since >= self._settle
        if contact.down:
            if stands and contact.pressed_at is None:
                contact.pressed_at = contact.since
            return self._long(button, contact, t)
        if stands and contact.pressed_at is not None:
            return self._released(button, contact)
        return []

    def _long(self, button: Button, contact: _Contact, t: float) -> list[Press]:
        if contact.pressed_at is None or contact.told or t - contact.pressed_at < self._long_after:
            return []
        contact.told = True
        return [Press(button, long=True, t=contact.pressed_at + self._long_after)]

    def _released(self, button: Button, contact: _Contact) -> list[Press]:
        told, contact.told, contact.pressed_at = contact.told, False, None
        return [] if told else [Press(button, long=False, t=contact.since)]
