"""The drive thread: keeps what goes out ready, looks after the socket, and serves sticks that are put in."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from airladder.app.exchanging import Exchange, News
from airladder.app.exchanging import Work as Exchanged
from airladder.app.handover import told
from airladder.app.pulse import AT_EASE
from airladder.devices.gadget import Gadget
from airladder.faults import Fault
from airladder.pages.events import Brought

if TYPE_CHECKING:
    from airladder.drive.intake import Accepted

logger = logging.getLogger(__name__)

LOOK_S = 1.0
"""How often the socket is looked at."""

STICK_DONE = "All is on the stick; it may be taken out."


class Work(Exchanged, Protocol):
    """What is done with the files (`building.Aside` does it)."""

    def build(self) -> Path:
        """Make the drive that goes out; called in a thread of its own."""

    def stop(self) -> None:
        """Let a building that is under way end soon."""

    def exchange(self, mounted: Path) -> Accepted:
        """Hand over to a stick, and take in what it brings."""


class Handing:
    """Does its work in a thread of its own, until it is closed.

    Parameters
    ----------
    gadget : the drives; where the kernel has none, sticks alone are served
    work : what is done with the files
    post : takes what the player is told, from the threads of this
    heed : takes the newest time that a computer left on the drive; may raise a Fault
    sticks : where sticks are mounted now
    every : how often the socket is looked at, s
    at_work : entered for every look
    """

    def __init__(
        self,
        gadget: Gadget,
        work: Work,
        post: Callable[[News], None],
        *,
        heed: Callable[[datetime | None], None] = lambda newest: None,
        sticks: Callable[[], Sequence[Path]] = lambda: (),
        every: float = LOOK_S,
        at_work: AbstractContextManager[object] = AT_EASE,
    ) -> None:
        self._at_work = at_work
        self._gadget, self._work, self._post, self._sticks = gadget, work, post, sticks
        self._exchange, self._every = Exchange(gadget, work, post, heed), every
        self._seen: frozenset[Path] = frozenset()
        self._building: threading.Thread | None = None
        self._built = False
        self._complaint = ""
        self._wanted = True  # at the start everything is made
        self._closing = False
        self._woken = threading.Condition()
        self._thread = threading.Thread(target=self._run, name="drive", daemon=True)
        self._thread.start()

    def changed(self) -> None:
        """The log has more in it than the drive; returns at once."""
        with self._woken:
            self._wanted = True
            self._woken.notify()

    def close(self, timeout: float = 10.0) -> None:
        """End, and take the drives away from the socket.

        Raises
        ------
        RuntimeError : when the thread does not end in time.
        """
        with self._woken:
            self._closing = True
            self._woken.notify()
        self._work.stop()
        self._thread.join(timeout)
        if self._thread.is_alive():
            raise RuntimeError("The thread of the drive does not end.")

    def _run(self) -> None:
        has_gadget = False
        while not self._closing:
            with self._at_work:
                has_gadget = has_gadget or self._opened()
                self._look_for_sticks()
                if has_gadget:
                    if self._build_what_is_wanted():
                        self._exchange.built()
                    self._exchange.look()
            with self._woken:
                waits = (lambda: self._wanted or self._built or self._closing) if has_gadget else self._is_closing
                self._woken.wait_for(waits, self._every)
        if self._building is not None:
            self._building.join()
        if has_gadget:
            self._exchange.tried(self._gadget.close)

    def _opened(self) -> bool:
        """Whether there are drives now: root may make them a little later than we begin, and a computer without them
        is no trouble of the player's."""
        try:
            self._gadget.open()
        except Fault as fault:
            if str(fault) != self._complaint:
                logger.warning("%s", fault)
            self._complaint = str(fault)
            return False
        return True

    def _is_closing(self) -> bool:
        return self._closing

    def _build_what_is_wanted(self) -> bool:
        """One building at a time; a wish that comes meanwhile waits. Whether a drive has become whole since."""
        if self._building is not None and not self._building.is_alive():
            self._building = None
        with self._woken:
            built, self._built = self._built, False
            start = self._wanted and self._building is None
            self._wanted = self._wanted and not start
        if start:
            self._building = threading.Thread(target=self._build, name="drive building", daemon=True)
            self._building.start()
        return built

    def _build(self) -> None:
        if self._exchange.tried(self._work.build):
            with self._woken:
                self._built = True
                self._woken.notify()

    def _look_for_sticks(self) -> None:
        now = frozenset(self._sticks())
        new, self._seen = sorted(now - self._seen), now
        for stick in new:
            self._exchange.tried(partial(self._served, stick))

    def _served(self, stick: Path) -> None:
        accepted = self._work.exchange(stick)
        self._post(Brought((*told(accepted), STICK_DONE)))
