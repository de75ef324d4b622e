"""How the box itself is: battery, warmth, supply, room on the disk."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Vitals:
    """What is known of the box at one moment; None: nobody tells.

    Attributes
    ----------
    charge : of the battery, 0 to 1
    charging : whether it is being charged
    hours : how long it lasts at the present rate; None too while it is being charged
    celsius : temperature of the processor
    weak_supply : whether the supply was too weak at some time since the switch-on
    free_mb : room on the disk of the log, MB
    version : of the program
    """

    charge: float | None = None
    charging: bool = False
    hours: float | None = None
    celsius: float | None = None
    weak_supply: bool | None = None
    free_mb: int | None = None
    version: str = ""
