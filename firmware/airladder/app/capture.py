"""The capture thread: fetches blocks and posts them, and does nothing else."""

from __future__ import annotations

import logging
import threading
from collections.abc import Iterable
from dataclasses import replace

from airladder.app.inbox import Ended, Inbox
from airladder.devices.microphone import Microphone
from airladder.faults import SoundFault
from airladder.hearing.block import Block
from airladder.practice.presses import Press

logger = logging.getLogger(__name__)


class Capture:
    """Runs one microphone on a thread of its own.

    Parameters
    ----------
    microphone : already opened
    inbox : where the blocks go
    presses : presses to be made at their times on the clock of the sound (replays)
    """

    def __init__(self, microphone: Microphone, inbox: Inbox, presses: Iterable[Press] = ()) -> None:
        self._microphone = microphone
        self._inbox = inbox
        self._presses = sorted(presses, key=lambda press: press.t)
        self._stop = threading.Event()
        self._dropped = False
        self._thread = threading.Thread(target=self._run, name="capture", daemon=True)

    def start(self) -> None:
        """Begin fetching."""
        self._thread.start()

    def close(self, timeout: float = 3.0) -> None:
        """Stop fetching and close the microphone.

        Raises
        ------
        RuntimeError : when the thread does not end in time.
        """
        self._stop.set()
        if self._microphone.live:  # wakes a read that waits for a sound card
            self._microphone.close()
        if self._thread.ident is not None:
            self._thread.join(timeout)
        self._microphone.close()
        if self._thread.is_alive():
            raise RuntimeError(f"The capture thread of {self._microphone.name} does not end.")

    def _wanted(self) -> bool:
        return not self._stop.is_set()

    def _run(self) -> None:
        fault: SoundFault | None = None
        try:
            while self._wanted() and (block := self._microphone.read()) is not None:
                self._post_due_presses(block.time)
                self._post(block)
        except SoundFault as found:
            fault = found
        finally:  # whatever happens here, the loop must not wait for ever
            self._inbox.post_while(self._wanted, Ended(fault))

    def _post_due_presses(self, now: float) -> None:
        while self._presses and self._presses[0].t <= now:
            self._inbox.post_while(self._wanted, self._presses.pop(0))

    def _post(self, block: Block) -> None:
        if not self._microphone.live:
            self._inbox.post_while(self._wanted, block)
            return
        posted = self._inbox.post_if_room(replace(block, lost=True) if self._dropped else block)
        if not posted and not self._dropped:
            logger.warning("sound was dropped: the program could not keep up")
        self._dropped = not posted
