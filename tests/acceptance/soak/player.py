"""The soak's player: two hours of the box's day, over and over; it plays what is wanted, and presses its way about.

Two hours: the box lies idle; a practice of today's plan; a walk through the pages; free playing; idle again. That
makes a day of 84 minutes of practice and 12 of free playing; real days have fewer practices and longer silences.

Conventions
-----------
`hop` is called by the thread of the microphone, `saw` by the one that owns the box; times are seconds of the sound.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random

from acceptance.soak.tunes import Tunes
from airladder.app.wishes import wanted_in
from airladder.hearing.block import HOP, Samples
from airladder.pages.box import Box
from airladder.pages.page import Page
from airladder.practice.presses import Button, Press
from airladder.practice.state import Phase

HOUR, TURN = 3600.0, 7200.0
PRACTICE, WALK, FREE, IDLE = 300.0, 720.0, 790.0, 850.0
"""When each begins in the two hours, s."""

_PRESS_SECONDS, _REST_SECONDS, _STUCK_SECONDS = 1.5, 1.1, 40.0
_B = Button
_WALK = (
    *(_B.BACK, _B.OK, _B.UP, _B.DOWN, _B.BACK, _B.UP, _B.DOWN, _B.DOWN, _B.BACK, _B.BACK),  # more, level, routines
    *(_B.UP, _B.DOWN, _B.DOWN, _B.UP, _B.OK, _B.OK, _B.BACK, _B.BACK, _B.BACK),  # days, date
    *(_B.DOWN, _B.OK, _B.OK, _B.OK, _B.BACK),  # setting up
)
_FIRST = (Page.CAUTIONS, Page.LEVEL, Page.COMPUTER, Page.BATTERY)
_GUESSES: Sequence[Button] = (_B.DOWN, _B.OK, _B.UP, _B.UP)


class Soaker:
    """Plays and presses.

    Parameters
    ----------
    tunes : the sounds
    now : the time

    Attributes
    ----------
    practices, notes, presses : how many there were
    leaves : whether it is time for good night
    """

    def __init__(self, tunes: Tunes, now: Callable[[], float], seed: int = 1) -> None:
        self._tunes, self._now, self._lots = tunes, now, Random(seed)
        self.post: Callable[[Press], None] = lambda press: None
        self.box: Box | None = None
        self.practices = self.notes = self.presses = 0
        self.leaves = False
        self._note: Samples | None = None
        self._at = 0
        self._quiet_since = self._pressed_at = self._moved_at = 0.0
        self._place: object = None
        self._walked = 0
        self._was_practising = False

    def hop(self) -> Samples:
        """The next 256 samples, shape (256,)."""
        if self._note is not None:
            part = self._note[self._at : self._at + HOP]
            self._at += HOP
            if self._at >= len(self._note):
                self._note, self._quiet_since = None, self._now()
            return part
        box = self.box
        if box is not None:
            self._act(box)
        return self._tunes.room()

    def _act(self, box: Box) -> None:
        now, at = self._now(), self._now() % TURN
        if now - self._pressed_at < _PRESS_SECONDS:
            return
        practising = PRACTICE <= at < WALK
        if practising and not self._was_practising:
            self.practices += 1
        self._was_practising = practising
        if self.leaves:
            self._press(_B.BACK, long=True)
        elif box.page in _FIRST:
            self._press(_B.OK)
        elif practising:
            self._practise(box, now)
        elif WALK <= at < FREE:
            self._walk(box)
        elif FREE <= at < IDLE:
            self._play_freely(box, now)
        elif box.page is not Page.TODAY and box.page is not Page.WAITING:
            self._press(_B.BACK)

    def _practise(self, box: Box, now: float) -> None:
        self._walked = 0
        state = box.session
        if box.page is not Page.PRACTICE or state is None:
            self._press(_B.OK if box.page in (Page.TODAY, Page.WAITING) else _B.BACK)
            return
        if (place := (state.place, state.tries, state.phase)) != self._place:
            self._place, self._moved_at = place, now
        wanted = wanted_in(state)
        if now - self._moved_at > _STUCK_SECONDS:
            self._press(_B.UP)
        elif state.phase is Phase.DONE:
            self._press(_B.OK)
        elif state.phase is Phase.GUESS:
            self._press(self._lots.choice(_GUESSES))
        elif state.phase is Phase.OFFER:
            self._press(self._lots.choice((_B.UP, _B.DOWN)))
        elif state.phase is Phase.FREE:
            self._play(1 + self._lots.randrange(4), now)
        elif wanted is not None and state.phase is Phase.WANTED:
            slip = self._lots.random() < 0.15
            self._play(wanted.partials[-1] + (1 if slip else 0), now)

    def _walk(self, box: Box) -> None:
        if self._walked == 0 and box.page is not Page.TODAY:
            self._press(_B.BACK)
        elif self._walked < len(_WALK):
            self._walked += 1
            self._press(_WALK[self._walked - 1])
        elif box.page is not Page.TODAY:
            self._press(_B.BACK)

    def _play_freely(self, box: Box, now: float) -> None:
        if box.page is Page.PRACTICE:
            self._play(1 + self._lots.randrange(8), now)
        else:
            self._press({Page.TODAY: _B.BACK, Page.MORE: _B.DOWN}.get(box.page, _B.BACK))

    def _press(self, button: Button, *, long: bool = False) -> None:
        self._pressed_at = self._now()
        self.presses += 1
        self.post(Press(button, long, 0.0))

    def _play(self, partial: int, now: float) -> None:
        if now - self._quiet_since >= _REST_SECONDS:
            self.notes += 1
            self._note, self._at = self._tunes.note(partial), 0
