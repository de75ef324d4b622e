"""When the power of a virtual board is cut: by a clock, or in the middle of a write."""

from __future__ import annotations

import threading
from dataclasses import dataclass

from board.machine import Machine


@dataclass(frozen=True)
class Moment:
    """When the power is cut.

    Attributes
    ----------
    said, times : after the board has said this so many times; 0: from its start on
    seconds : so long after that
    writes : in the middle of this write after that; 0: at once. A clock alone seldom hits the few ms between a write
        and its flush.
    """

    said: str
    times: int
    seconds: float = 0.0
    writes: int = 0

    def __str__(self) -> str:
        since = f'"{self.said}" {self.times}' if self.times else "the start"
        when = f"{self.seconds:.2f} s after {since}" if self.seconds else f"after {since}"
        return f"write {self.writes} {when}" if self.writes else when


class Fuse:
    """Cuts the power of `board` at a `moment`; `burnt` says whether it has."""

    board: Machine

    def __init__(self, moment: Moment) -> None:
        self.moment, self.burnt = moment, False
        self._times, self._left, self._lit = moment.times, moment.writes, False
        self._timer = threading.Timer(moment.seconds, self._burn)
        self._timer.daemon = True

    def starts(self) -> None:
        """The board is started."""
        if self._times == 0:
            self._timer.start()

    def hear(self, line: str) -> None:
        """The board says something."""
        if line.startswith(f'cut: {{"said": "{self.moment.said}"'):
            self._times -= 1
            if self._times == 0:
                self._timer.start()

    def goes(self) -> bool:
        """One write more; whether the power goes with it, or has gone."""
        if self._lit and not self.burnt:
            self._left -= 1
            if self._left <= 0:
                self._cut()
        return self.burnt

    def end(self) -> None:
        """The board is off."""
        self._timer.cancel()

    def _burn(self) -> None:
        self._lit = True
        if self._left == 0:
            self._cut()

    def _cut(self) -> None:
        self.burnt = True
        self.board.kill()
