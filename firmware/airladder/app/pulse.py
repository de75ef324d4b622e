"""Whether each thread gets on with its work: who has nothing to do is well, who does not come to an end is not."""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from types import TracebackType

from airladder.devices.clock import Clock

MAIN, CAPTURE = "main", "capture"
"""The threads without which nothing is heard."""

SHORT_S = 5.0
"""So long a turn of theirs may last: a microphone that gives nothing is given up after 2 s."""

LONG_S = 30.0
"""So long a piece of work of the others may last: a busy disk, or a look into ten years of log."""

AT_EASE: AbstractContextManager[object] = nullcontext()
"""The pulse that nobody feels."""


class Pulse(AbstractContextManager["Pulse"]):
    """Of one thread, which enters it for every piece of work.

    Parameters
    ----------
    longest_s : so long a piece of work may last
    clock : measures it

    Attributes
    ----------
    turns : pieces of work that were done
    """

    def __init__(self, longest_s: float, clock: Clock) -> None:
        self._longest_s, self._clock = longest_s, clock
        self._since: float | None = None
        self.turns = 0

    def __enter__(self) -> Pulse:
        self._since = self._clock.monotonic()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._since = None
        self.turns += 1

    @property
    def stuck(self) -> bool:
        """Whether a piece of work lasts too long."""
        since = self._since  # another thread may end it now
        return since is not None and self._clock.monotonic() - since > self._longest_s


class Pulses:
    """Those of all threads, by their names.

    Parameters
    ----------
    clock : measures them
    """

    def __init__(self, clock: Clock | None = None) -> None:
        self._clock = clock or Clock()
        self._all: dict[str, Pulse] = {}

    def of(self, name: str, longest_s: float) -> Pulse:
        """The pulse of a thread, made anew."""
        self._all[name] = Pulse(longest_s, self._clock)
        return self._all[name]

    @property
    def stuck(self) -> tuple[str, ...]:
        """The threads whose work lasts too long."""
        return tuple(name for name, pulse in self._all.items() if pulse.stuck)

    def turns(self, name: str) -> int:
        """Pieces of work that a thread has done so far; 0 for one that has not begun."""
        pulse = self._all.get(name)
        return 0 if pulse is None else pulse.turns
