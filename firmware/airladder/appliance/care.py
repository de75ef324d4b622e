"""Looks after the box while it runs: by three threads, so that a sensor or disk that hangs starves no watchdog."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from airladder import __version__
from airladder.app.program import Item
from airladder.app.pulse import LONG_S, Pulses
from airladder.appliance.condition import Condition
from airladder.appliance.feeding import Feeding
from airladder.appliance.sensors import Sensors
from airladder.appliance.telling import Telling
from airladder.appliance.ticking import Ticking
from airladder.devices.notify import Notifier

LOOK_S = 10.0
"""How often the sensors are read, and the text beside the log is looked at."""

FEED_S = 5.0
"""How often the watchdog is fed where nobody says how long it waits."""

PROVEN_FEEDS = 4
"""So often the watchdog must have been fed before a new version has proven itself."""


@dataclass(frozen=True)
class Care:
    """All that looking after the box takes.

    Attributes
    ----------
    sensors : what it can feel
    about : where the text on it lies
    pulses : how the threads get on
    notifier : by which systemd is told
    troubles : those that the box knows of now
    proven : called once, when this version has proven itself
    look_s : how often the sensors are read
    """

    sensors: Sensors
    about: Path
    pulses: Pulses
    notifier: Notifier
    troubles: Callable[[], Mapping[str, str]]
    proven: Callable[[], object]
    look_s: float = LOOK_S

    def begin(self, post: Callable[[Item], None], changed: Callable[[], None]) -> Caring:
        """Begin; the box listens now, which systemd is told."""
        return Caring(self, post, changed)


class Caring:
    """Under way until it is closed."""

    def __init__(self, care: Care, post: Callable[[Item], None], changed: Callable[[], None]) -> None:
        self._care, self._post = care, post
        self._condition = Condition(__version__)
        self._feeding = feeding = Feeding(care.pulses, care.notifier)
        self._hook = threading.excepthook
        threading.excepthook = self._died
        tell = Telling(care.about, __version__, care.troubles, lambda: feeding.stuck, care.notifier, changed)
        self._proven = False
        self._tell = tell
        care.notifier.ready()
        watchdog_s = care.notifier.watchdog_s
        at_work = {name: care.pulses.of(name, LONG_S) for name in ("sensors", "telling")}
        self._threads = (
            Ticking("watchdog", FEED_S if watchdog_s is None else watchdog_s / 2.0, feeding),
            Ticking("sensors", care.look_s, self._sense, at_work["sensors"]),
            Ticking("telling", care.look_s, self._say, at_work["telling"]),
        )

    def close(self) -> None:
        """End looking after it."""
        self._care.notifier.stopping()
        for thread in self._threads:
            thread.close()
        threading.excepthook = self._hook

    def _sense(self) -> None:
        for news in self._condition.fed(self._care.sensors.read()):
            self._post(news)

    def _say(self) -> None:
        self._tell()
        if not self._proven and self._feeding.fed >= PROVEN_FEEDS:
            self._proven = True
            self._care.proven()

    def _died(self, what: threading.ExceptHookArgs) -> None:
        self._feeding.died()
        self._hook(what)
