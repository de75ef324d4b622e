"""What each stage of the Ear costs: its parts are put behind watchers that count the time spent inside them.

A stage is any part that the Ear holds and that is made in airladder.hearing; so a new stage appears by itself.
Time that a stage spends in another one is the other one's.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from typing import Any

from airladder.hearing.block import Block
from airladder.hearing.ear import Ear
from airladder.music.series import Series

REST = "the Ear itself"


class Watch:
    """Counts seconds by name; whoever is called while another runs stops the other's clock."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = {}
        self._running = [REST]
        self._since = 0.0

    def enter(self, name: str) -> None:
        """From now on the time is that of `name`."""
        self._count()
        self._running.append(name)

    def leave(self) -> None:
        """From now on it is that of whoever ran before."""
        self._count()
        self._running.pop()

    def start(self) -> None:
        """What passed before is nobody's."""
        self._since = time.perf_counter()

    def _count(self) -> None:
        now, name = time.perf_counter(), self._running[-1]
        self.seconds[name] = self.seconds.get(name, 0.0) + now - self._since
        self._since = now

    def stop(self) -> None:
        """Counts what is still running."""
        self._count()


class Watched:
    """Stands for a stage, and watches its public methods."""

    def __init__(self, stage: object, watch: Watch) -> None:
        self._stage = stage
        self._watch = watch

    def __getattr__(self, name: str) -> Any:
        found = getattr(self._stage, name)
        return self._timed(found) if callable(found) else found

    def __setattr__(self, name: str, value: Any) -> None:
        if name in ("_stage", "_watch"):
            object.__setattr__(self, name, value)
        else:
            setattr(self._stage, name, value)

    def _timed(self, method: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kwargs: Any) -> Any:
            self._watch.enter(type(self._stage).__name__)
            try:
                return method(*args, **kwargs)
            finally:
                self._watch.leave()

        return call


def stage_seconds(sounds: Sequence[tuple[Series, Sequence[Block]]]) -> tuple[dict[str, float], int]:
    """Seconds by stage, the dearest first, and the hops they were spent on."""
    watch, hops = Watch(), 0
    for series, blocks in sounds:
        ear = _watched_ear(series, watch)
        for block in blocks:
            watch.start()
            ear.feed(block)
            watch.stop()
        hops += len(blocks)
    return dict(sorted(watch.seconds.items(), key=lambda item: -item[1])), hops


def _watched_ear(series: Series, watch: Watch) -> Ear:
    ear = Ear(series)
    for name, part in list(vars(ear).items()):
        if type(part).__module__.startswith("airladder.hearing"):
            setattr(ear, name, Watched(part, watch))
    return ear
