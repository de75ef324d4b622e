"""Tones as sound: cut out of the newest minute and written as FLAC by a thread of its own, only if it was asked for.

The main thread hands over blocks and tries and never waits. When the folder holds as much as it may, or the disk is
full, no more is kept; one sentence says so, and the practice goes on: a clip is no try, and may be missed. Nothing in
a clip names a person.

Conventions
-----------
Times in seconds on the clock of the blocks. A clip is a tone with `MARGIN_SECONDS` on each side, or, where the tone
is longer than `KEPT_SECONDS`, its end.
"""

from __future__ import annotations

import errno
import os
import queue
import shutil
import threading
from collections import deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from airladder.devices.flacfile import flac
from airladder.faults import Fault
from airladder.hearing.block import HOP_SECONDS, Block, Samples
from airladder.practice.attempt import Attempt

MARGIN_SECONDS = 0.2
KEPT_SECONDS = 60.0
"""So much of the newest sound is held, and as much again may wait for the disk; what comes then is missed."""

SPARE_BYTES = 64_000_000
"""So much of the disk is left to the log."""

Encode = Callable[[Samples, Mapping[str, str]], bytes]

_BLOCKS = round(KEPT_SECONDS / HOP_SECONDS)


def clips_bytes(folder: Path) -> int:
    """How many bytes of clips the folder holds; 0 where there is none."""
    return sum(path.stat().st_size for path in folder.glob("*.flac"))


@dataclass(frozen=True)
class _Cut:
    """A clip that is wanted: the file's `name`, when the tone begins and ends, s, and what is known of it."""

    name: str
    begin: float
    end: float
    tags: Mapping[str, str]


class Clips:
    """Keeps tones as sound in a folder.

    Parameters
    ----------
    folder : made when the first clip is written
    most_bytes : what it may hold
    tell : takes a sentence when clips are missed; called from the thread of the clips
    encode : samples and tags -> the bytes of a file
    """

    def __init__(self, folder: Path, most_bytes: int, tell: Callable[[str], None], *, encode: Encode = flac) -> None:
        self._folder, self._most, self._tell, self._encode = folder, most_bytes, tell, encode
        self._newest: deque[Block] = deque(maxlen=_BLOCKS)
        self._wanted: deque[_Cut] = deque()
        self._queue: queue.SimpleQueue[tuple[_Cut, list[Block]] | None] = queue.SimpleQueue()
        self._handed = self._done = 0  # blocks; each counted by one thread alone
        self._missed, self._over = threading.Event(), threading.Event()
        # A daemon, so that a program that dies elsewhere is not kept alive; `close` joins it.
        self._thread = threading.Thread(target=self._run, name="clips", daemon=True)
        self._thread.start()

    def take(self, block: Block) -> None:
        """Take the next block; never waits."""
        if self._over.is_set():
            self._newest.clear()
            return
        self._newest.append(block)
        while self._wanted and block.time >= self._wanted[0].end + MARGIN_SECONDS:
            self._hand_on(self._wanted.popleft())

    def keep(self, session: str, attempt: Attempt) -> None:
        """Keep the tone of a try, if there was one, as soon as the sound after it has come; never waits.

        Parameters
        ----------
        session : tells it from all others in the names of files, such as ``00012``
        attempt : of that session
        """
        tone = attempt.tone
        if tone is not None and not self._over.is_set():
            name = f"{session}-{attempt.number:03}.flac"
            self._wanted.append(_Cut(name, tone.start, tone.end, _tags(session, attempt)))

    def close(self, timeout: float = 3.0) -> None:
        """Write what is wanted still, with the sound that there is, and end; a disk that does not answer is left."""
        while self._wanted:
            self._hand_on(self._wanted.popleft())
        self._queue.put(None)
        self._thread.join(timeout)

    def _hand_on(self, cut: _Cut) -> None:
        blocks = _blocks(self._newest, cut)
        if self._handed - self._done + len(blocks) > _BLOCKS:
            self._missed.set()
        elif blocks:
            self._handed += len(blocks)
            self._queue.put((cut, blocks))

    def _run(self) -> None:
        slow = False
        try:
            for part in self._folder.glob(".*.part"):  # of a program that was switched off
                part.unlink()
            held = clips_bytes(self._folder)
            while (item := self._queue.get()) is not None:
                cut, blocks = item
                content = self._encode(np.concatenate([block.samples for block in blocks]), cut.tags)
                self._check_room(held + len(content))
                self._write(cut.name, content)
                held += len(content)
                self._done += len(blocks)
                if self._missed.is_set() and not slow:
                    slow = True
                    self._tell(f"The disk under {self._folder} is too slow for clips of tones, and some are missed.")
        except Fault as fault:
            self._end(str(fault))
        except OSError as refused:
            self._end(self._refused(refused))

    def _check_room(self, wanted: int) -> None:
        if wanted > self._most:
            raise Fault(
                f"The clips in {self._folder} hold as much as they may ({self._most / 1e6:g} MB), so no more tones"
                " are kept as sound: take some away, or allow more with clips_mb."
            )
        self._folder.mkdir(parents=True, exist_ok=True)
        if shutil.disk_usage(self._folder).free < SPARE_BYTES:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def _write(self, name: str, content: bytes) -> None:
        """Put in place whole, and not flushed: tries must not wait for clips at the card."""
        part = self._folder / f".{name}.part"
        try:
            part.write_bytes(content)
            part.replace(self._folder / name)
        except OSError:
            part.unlink(missing_ok=True)
            raise

    def _refused(self, error: OSError) -> str:
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            return f"The disk has no room for clips, so no more tones are kept as sound in {self._folder}: make some."
        why = error.strerror or str(error)
        return f"Tones cannot be kept as sound in {self._folder} ({why}); it wants a folder that may be written in."

    def _end(self, sentence: str) -> None:
        self._over.set()
        self._tell(sentence)


def _blocks(newest: Iterable[Block], cut: _Cut) -> list[Block]:
    """The blocks of a tone and its margins, as far as they are there; none from beyond a gap before or after it."""
    chosen: list[Block] = []
    for block in newest:
        if block.time <= cut.begin - MARGIN_SECONDS:
            continue
        begins = block.time - HOP_SECONDS
        if begins >= cut.end + MARGIN_SECONDS:
            break
        if block.lost and begins <= cut.begin:
            chosen.clear()
        elif block.lost and begins >= cut.end:
            break
        chosen.append(block)
    return chosen


def _tags(session: str, attempt: Attempt) -> dict[str, str]:
    tone = attempt.tone
    partial = "none" if tone is None or tone.partial is None else str(tone.partial)
    cents = "unknown" if tone is None or tone.cents is None else f"{tone.cents:+.1f}"
    return {
        "title": f"partial {partial}, {cents} cents",
        "album": f"session {session}",
        "tracknumber": str(attempt.number),
        "comment": f"session={session} try={attempt.number} partial={partial} cents={cents}",
    }
