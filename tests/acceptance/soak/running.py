"""One soak: the real program with its real threads, and stand-ins for what is around it."""

from __future__ import annotations

import json
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from acceptance.soak.leaks import EVERY_SECONDS as LEAK_EVERY
from acceptance.soak.leaks import LEAKS
from acceptance.soak.mishaps import Mishaps, Socket
from acceptance.soak.player import Soaker
from acceptance.soak.sampling import EVERY_SECONDS, as_row, kinds_of_files, kinds_of_objects, looked
from acceptance.soak.tunes import Tunes
from acceptance.soak.world import FastMicrophone, SoundClock
from airladder.app.building import Aside
from airladder.app.handing import Handing
from airladder.app.order import Order, Outside
from airladder.app.practising import practise
from airladder.config import Settings
from airladder.devices.keys import NoKeys
from airladder.devices.recorded_bus import recorded_bus
from airladder.devices.speaker import RecordedSpeaker
from airladder.hearing.block import HOP_SECONDS, Samples
from airladder.journal.log import Reader
from airladder.pages.box import Box
from airladder.places import settings_path
from airladder.practice.presses import Press
from oledwire import oled

LOOK_SECONDS = 0.05
"""How often the drive thread looks at the socket, in real seconds: 12 s and more of the sound."""

_KINDS_FROM = 0.25  # of the soak: what there is then is compared with the end


@dataclass
class Soak:
    """Runs the program for so many hours of sound.

    Attributes
    ----------
    out : the folder for samples and log
    hours : of the sound
    leak : what is left behind on purpose
    """

    out: Path
    hours: float
    leak: str = "none"
    _speakers: list[RecordedSpeaker] = field(default_factory=list)

    def run(self) -> None:
        """Run it; a line of `samples.jsonl` for every look, and `end.json`."""
        work = self.out / "work"
        work.mkdir(parents=True)
        self._clock = SoundClock()
        self._player = Soaker(Tunes(), self._clock.monotonic)
        self._microphone = FastMicrophone(self._clock, self._hop, self._waiting)
        self._bus = recorded_bus("ssd1306")
        self._gadget = Socket(_made(work / "kernel"), self._clock.monotonic)
        settings = replace(Settings(), log_folder=work)
        self._log = work / "log.sqlite"
        (work / "settings.toml").touch()
        order = Order(settings, None, "alsa:soak", self._log, settings_file=work / "settings.toml")
        aside = Aside(order.log, order.settings_file)
        self._mishaps = Mishaps(self._clock, self._microphone, self._bus, self._gadget, aside.in_image)
        self._inbox: Any = None
        self._began, self._boxes = time.monotonic(), 0
        self._next_look, self._next_leak = 0.0, LEAK_EVERY
        self._kinds: Counter[str] | None = None
        self._lines = (self.out / "samples.jsonl").open("w", encoding="utf-8")
        outside = Outside(
            oled(self._bus, "ssd1306", clock=self._clock),
            self._hands,
            self._watch,
            self._clock,
            opened_by=lambda word, clock: self._microphone,
            speaker=self._speaker,
            hand_over=lambda post: Handing(self._gadget, aside, post, every=LOOK_SECONDS),
        )
        done = practise(order, outside)
        self._end([str(fault) for fault in done.faults])

    def _hop(self) -> Samples:
        self._mishaps.look()
        self._player.leaves = self._clock.monotonic() >= self.hours * 3600.0
        return self._player.hop()

    def _hands(self, post: Callable[[Press], None]) -> NoKeys:
        self._player.post = post
        self._inbox = post.__self__  # type: ignore[attr-defined]  # whoever posts by hand posts into the inbox
        return NoKeys()

    def _waiting(self) -> int:
        return 0 if self._inbox is None else int(self._inbox._queue.qsize())

    def _speaker(self, on_fault: Callable[[str], None]) -> RecordedSpeaker:
        self._speakers.append(RecordedSpeaker(self._clock, on_fault))
        return self._speakers[-1]

    def _watch(self, box: Box) -> None:
        self._player.box = box
        self._boxes += 1
        if box.now >= self._next_leak:
            self._next_leak += LEAK_EVERY
            LEAKS[self.leak]()
        if box.now >= self._next_look:
            self._next_look += EVERY_SECONDS
            self._look(box.now)

    def _look(self, now: float) -> None:
        self._forget_what_the_stand_ins_remember()
        sample = looked(now / 3600.0, time.monotonic() - self._began, self._log, self.out / "tmp")
        if self._kinds is None and now >= _KINDS_FROM * self.hours * 3600.0:
            self._kinds = kinds_of_objects()
        print(json.dumps(as_row(sample)), file=self._lines, flush=True)
        sys.stdout.write(f"{sample.hours:6.2f} h  {sample.real_s:7.0f} s  {sample.rss} KiB  {sample.files} files\n")
        sys.stdout.flush()

    def _tries(self) -> list[int]:
        """Of each session."""
        with Reader(self._log) as log:
            return [session.tries for session in log.sessions()]

    def _forget_what_the_stand_ins_remember(self) -> None:
        self._bus.transfers.clear()
        for speaker in self._speakers:
            speaker.asked.clear()

    def _end(self, faults: list[str]) -> None:
        now, before = kinds_of_objects(), self._kinds or kinds_of_objects()
        grown = {kind: count - before[kind] for kind, count in now.items() if abs(count - before[kind]) > 20}
        told = {
            "hours": self.hours,
            "real_s": time.monotonic() - self._began,
            "hops": round(self._clock.monotonic() / HOP_SECONDS),
            "boxes": self._boxes,
            "practices": self._player.practices,
            "notes": self._player.notes,
            "presses": self._player.presses,
            "mishaps": self._mishaps.happened,
            "bytes to the screen": self._bus.sent,
            "reached": self._clock.monotonic() / 3600.0,
            "faults": faults,
            "tries in the log": self._tries(),
            "routines taken in": len(list(settings_path().parent.glob("routines/soak*.toml"))),
            "files": kinds_of_files(),
            "objects grown since a quarter": grown,
        }
        (self.out / "end.json").write_text(json.dumps(told, indent=1), encoding="utf-8")
        self._lines.close()


def _made(folder: Path) -> Path:
    folder.mkdir()
    return folder
