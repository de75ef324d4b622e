"""From the edges of a bouncing contact to presses, by arithmetic on the times of the edges alone.

A level counts once it has stood for `settle` seconds; what is shorter is chatter. A short press is told at its
release, a long one as soon as it has lasted `long_after` seconds, and its release then says nothing. UP and DOWN,
held on, tell a further press every `repeat_every` seconds. A press is long, or goes on, only while the contact stands
still: chatter in the middle of a press tells nothing, however long it lasts. Each button is judged by itself, so any
number may be down at once. An edge that repeats the level already known changes nothing: a caller may report levels
again and again, and a release that got lost is mended by the next such report.

A contact that stays closed for `stuck_after` seconds is no hand any more: a tray leans on it, or it is broken. It
tells nothing from then on, not even its release, and works again afterwards.

Conventions
-----------
Times in seconds on any one clock, not falling for one button. The presses do not depend on how often `time` is
called, only how soon they are told does. Pure: nothing here asks for the time.
"""

from __future__ import annotations

from dataclasses import dataclass

from airladder.practice.presses import Button, Press

REPEATING = frozenset({Button.UP, Button.DOWN})
"""The buttons whose press goes on when they are held: those that walk."""


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
    long_at: float | None = None
    turns: int = 0
    stuck: bool = False


class Debouncer:
    """Turns edges into presses.

    Parameters
    ----------
    settle : how long a level must stand to count, s
    long_after : from when on a press is a long one, s; more than `settle`
    repeat_every : from one to the next of the further presses of a long one, s
    stuck_after : how long a contact may be closed before it counts as stuck, s; more than `long_after`
    """

    def __init__(
        self,
        settle: float = 0.02,
        long_after: float = 0.6,
        *,
        repeat_every: float = 0.15,
        stuck_after: float = 8.0,
    ) -> None:
        self._settle, self._long_after = settle, long_after
        self._repeat_every, self._stuck_after = repeat_every, stuck_after
        self._contacts = {button: _Contact() for button in Button}

    @property
    def stuck(self) -> frozenset[Button]:
        """The buttons that had been down too long for a hand when `time`, or an edge of theirs, was last told."""
        return frozenset(button for button, contact in self._contacts.items() if contact.stuck)

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
        presses: list[Press] = []
        if t - contact.since >= self._settle:
            presses = self._held(button, contact, t) if contact.down else self._released(button, contact)
        contact.stuck = contact.pressed_at is not None and t - contact.pressed_at >= self._stuck_after
        return presses

    def _held(self, button: Button, contact: _Contact, t: float) -> list[Press]:
        """What a contact that stands closed from `contact.since` to `t` tells besides what was told already."""
        if contact.pressed_at is None:
            contact.pressed_at = contact.since
        stands_at, stuck_at = contact.since + self._settle, contact.pressed_at + self._stuck_after
        if contact.long_at is None:
            long_at = max(contact.pressed_at + self._long_after, stands_at)
            if long_at > t or long_at >= stuck_at:
                return []
            contact.long_at = long_at
            return [Press(button, long=True, t=long_at), *self._held(button, contact, t)]
        presses = []
        while (at := contact.long_at + (contact.turns + 1) * self._repeat_every) <= t and at < stuck_at:
            contact.turns += 1
            if at >= stands_at and button in REPEATING:  # else it was open, or chattered, when its turn came
                presses.append(Press(button, long=True, t=at, again=True))
        return presses

    def _released(self, button: Button, contact: _Contact) -> list[Press]:
        if contact.pressed_at is None:
            return []
        silent = contact.long_at is not None or contact.since - contact.pressed_at >= self._stuck_after
        contact.pressed_at, contact.long_at, contact.turns = None, None, 0
        return [] if silent else [Press(button, long=False, t=contact.since)]
