"""A virtual board as a person has it: looks at its screen, presses its buttons, and asks its shell.

The job must read `inside/serve.sh`, and run `inside/watch.py`. Time inside is counted in instructions, so a press is
as long as the board says, not this computer.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from PIL import Image

from airladder.practice.presses import Button
from board.machine import OURS, TESTS, Machine
from board.seen import picture_of

STEADY = ("-icount", "shift=1,sleep=on")
"""2 ns an instruction: half of what the board's core can do at best, and the same however busy this computer is."""

SHORT_S = 0.15
"""How long a finger stays on a button."""

EVERYTHING: Mapping[str, Path] = {**OURS, **TESTS}


class Board:
    """Somebody in front of a started machine.

    Attributes
    ----------
    pictures : (seconds on the board's clock, picture) of all that was seen
    """

    def __init__(self, machine: Machine) -> None:
        self._machine = machine
        self.pictures: list[tuple[float, Image.Image]] = []

    def run(self, command: str) -> str:
        """What a line of shell says on the board.

        Raises
        ------
        AssertionError : when it fails there; with what it said.
        """
        code, said = self.tried(command)
        assert code == 0, f"'{command}' ended with {code}: {said}"
        return said

    def tried(self, command: str) -> tuple[int, str]:
        """The exit code of a line of shell, and what it says."""
        self._machine.tell(command)
        said: list[str] = []
        while not (line := self._next()).startswith("done "):
            if line.startswith("= "):
                said.append(line.removeprefix("= "))
        return int(line.split()[1]), "\n".join(said)

    def press(self, button: Button, seconds: float = SHORT_S) -> None:
        """Press and let go."""
        self._machine.press(button)
        self.run(f"sleep {seconds}")
        self._machine.release(button)
        self.run("sleep 0.1")

    @property
    def picture(self) -> Image.Image:
        """What was seen last; a dark glass, before anything was."""
        return self.pictures[-1][1] if self.pictures else Image.new("1", (128, 64))

    def see(self, what: Callable[[Image.Image], bool]) -> float:
        """Look at the screen until it shows that; when it did, on the board's clock.

        Raises
        ------
        RuntimeError : when the machine is off before it does.
        """
        while not (self.pictures and what(self.picture)):
            self._next()
        return self.pictures[-1][0]

    def _next(self) -> str:
        line = self._machine.until("")
        if line.startswith("glass "):
            _, at, packed = line.split()
            self.pictures.append((float(at), picture_of(packed)))
        return line
