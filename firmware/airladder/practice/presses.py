"""What a hand or a foot can tell the session.

Conventions
-----------
The four buttons stand in a row under the screen, named from left to right by what they mean on the ladder:
BACK leaves, DOWN and UP go to the rung below and above, OK does the one thing offered. The foot switch does what
both hands on the horn cannot. A press is short or long, never both: a short one is told at release, a long one as
soon as it has lasted long enough. UP and DOWN, held on, go on telling long presses, marked `again`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Button(Enum):
    """Where a press came from; the value is its name in the pin map and in press files."""

    BACK = "back"
    DOWN = "down"
    UP = "up"
    OK = "ok"
    FOOT = "foot"


ROW = (Button.BACK, Button.DOWN, Button.UP, Button.OK)
"""The buttons under the screen, from left to right."""


@dataclass(frozen=True)
class Press:
    """One finished press.

    Attributes
    ----------
    button, long : which, and whether it was held
    t : s on the clock of the sound
    again : one of the further presses that a held button makes
    """

    button: Button
    long: bool
    t: float
    again: bool = False

    @property
    def meant(self) -> Button:
        """The button under the screen that does the same: the foot switch does as OK, and held as UP."""
        if self.button is not Button.FOOT:
            return self.button
        return Button.UP if self.long else Button.OK
