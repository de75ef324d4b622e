"""The drives at the socket: shows what goes out, takes in what comes back, one look after the other; no thread.

It decides nothing: `drive.swap` says what is to be done, and when. The log is only read, and a drive is a file of its
own: whatever a computer does with it, the trainer writes to its own disk alone.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from airladder.app.handover import told
from airladder.devices.gadget import Gadget, Held, Lun
from airladder.drive.swap import Deed, Event, State, step
from airladder.faults import Fault
from airladder.pages.events import Brought, Computer

if TYPE_CHECKING:
    from airladder.drive.intake import Accepted

logger = logging.getLogger(__name__)

News = Computer | Brought
"""What the player is told."""


class Work(Protocol):
    """What is done with the files (`building.Aside` does it)."""

    @property
    def out_image(self) -> Path:
        """The drive that goes out."""

    @property
    def in_image(self) -> Path:
        """The drive that comes in."""

    def take(self) -> tuple[Accepted, datetime | None]:
        """Take in what the incoming drive brings, and the newest time that a computer left on it."""

    def blank(self, accepted: Accepted) -> Path:
        """Make a fresh drive for what comes in, with a word on what was refused."""


class Exchange:
    """Who is at the socket, and what is done about it.

    Parameters
    ----------
    gadget : the drives
    work : what is done with the files
    post : takes what the player is told
    heed : takes the newest time that a computer left on the drive; may raise a Fault
    """

    def __init__(
        self,
        gadget: Gadget,
        work: Work,
        post: Callable[[News], None],
        heed: Callable[[datetime | None], None] = lambda newest: None,
    ) -> None:
        self._gadget, self._work, self._post, self._heed = gadget, work, post, heed
        self._state = State()
        self._later: list[Deed] = []
        self._attached = False
        self._filled: set[Lun] = set()
        self._ejected: set[Lun] = set()
        self._fresh: int | None = None
        self._taken: Accepted | None = None  # what was read, until a fresh drive is there
        self._said, self._told = "", False

    def built(self) -> None:
        """A newer drive to go out is whole on the disk."""
        self._tell(Event.BUILT)

    def look(self) -> None:
        """Who is at the socket now, and what is to be done about it."""
        attached = self._gadget.attached
        if attached != self._attached:
            self._attached = attached
            self._post(Computer(attached))
        held = attached and any(self._holds(lun) for lun in Lun)
        if self._touched() or held:  # a computer may have come and gone between two looks
            self._tell(Event.HELD)
        if not held:
            self._tell(Event.FREE)
        self._make_fresh()
        later, self._later = self._later, []
        for deed in later:
            self._do(deed)

    def tried(self, do: Callable[[], object]) -> bool:
        """Do it, or say what went wrong; whether it went well."""
        try:
            do()
        except Fault as fault:
            self._say(fault)
            return False
        self._said = ""
        return True

    def _say(self, fault: Fault) -> None:
        """The same trouble is told once, however often it is met in a row."""
        if str(fault) != self._said:
            self._said = str(fault)
            logger.warning("%s", fault)
            self._post(Brought((str(fault),)))

    def _holds(self, lun: Lun) -> bool:
        try:
            return self._gadget.holds(lun)
        except Fault:
            return True  # nobody knows, so nothing is touched

    def _tell(self, event: Event) -> None:
        self._state, deeds = step(self._state, event)
        for deed in deeds:
            self._do(deed)

    def _do(self, deed: Deed) -> None:
        if deed is Deed.TAKE:
            self._take()
        elif self._ejected:  # it comes back with the cable, not under the hands of whoever ejected it
            self._later.append(deed)
        elif deed is Deed.CHANGE:
            self._tell(Event.CHANGED if self._put(Lun.OUT, self._work.out_image) else Event.CHANGE_HELD)
        elif self._put(Lun.IN, self._work.in_image):
            self._tell(Event.OFFERED)
        else:
            self._later.append(deed)

    def _touched(self) -> bool:
        """Whether a computer ejected a drive since the last look, or wrote to the incoming one."""
        gone = {lun for lun in self._filled if not self._holds(lun)}
        self._filled -= gone
        self._ejected = self._ejected | gone if self._attached else set()
        if Lun.OUT in gone:
            self._tell(Event.BUILT)  # to be offered again
        written = Lun.IN in self._filled and self._fresh != (now := _written_at(self._work.in_image))
        if written:
            self._fresh = now
        return bool(gone) or written

    def _put(self, lun: Lun, image: Path | None) -> bool:
        """Put an image in or take it out; whether the computer and the kernel allowed it."""
        try:
            self._gadget.put(lun, image)
        except Held:
            return False
        except Fault as fault:
            self._say(fault)
            return False
        (self._filled.discard if image is None else self._filled.add)(lun)
        if lun is Lun.IN:
            self._fresh = _written_at(image)
        return True

    def _take(self) -> None:
        from airladder.drive.intake import Accepted  # late: see `handover`

        if not self._put(Lun.IN, None):
            self._tell(Event.TAKE_HELD)
            return
        accepted = Accepted()
        try:
            if self._work.in_image.exists():
                accepted, newest = self._work.take()
                self._heed(newest)
        except Fault as fault:
            accepted = Accepted(refused=(*accepted.refused, str(fault)))
        sentences = tuple(told(accepted))
        if sentences or self._told:
            self._post(Brought(sentences))
        self._told = bool(sentences)
        self._taken = accepted
        self._make_fresh()

    def _make_fresh(self) -> None:
        """The drive that was read is not offered again; where there is no room for a fresh one, it waits for room."""
        if self._taken is not None and self.tried(partial(self._work.blank, self._taken)):
            self._taken = None
            self._tell(Event.TAKEN)


def _written_at(image: Path | None) -> int | None:
    try:
        return None if image is None else image.stat().st_mtime_ns
    except OSError:
        return None
