"""What is to be said of the box's own condition, from what its sensors say; no clock, no device.

Conventions
-----------
Each bound has a way back that lies apart, so that a value on the bound does not make the screen flicker.
Bounds: 80 degrees Celsius is where boards of this kind begin to slow their processor down (from memory); a lithium
cell is empty for us well above the 2.5 to 3.0 V at which cells and their protection give up (common practice): the
clean stop needs some seconds of it.
"""

from __future__ import annotations

from dataclasses import dataclass

from airladder.devices.gauge import Charge
from airladder.pages.events import Battery, Leave
from airladder.pages.vitals import Vitals
from airladder.practice.session import Trouble

LOW, WELL = 0.15, 0.20
"""Charge at which the battery is low, and well again."""

EMPTY, EMPTY_VOLTS = 0.03, 3.2
"""Charge and voltage at which the box says good night while it still can."""

EMPTY_LOOKS = 2
"""So many looks one after the other must find it empty: a single bad reading ends no practice."""

CHARGING = 0.5
"""Per cent an hour: the gauge counts in steps of 0.208, and a full cell on a charger stands still."""

HOT_C, COOL_C = 80.0, 75.0
TIGHT_MB, ROOMY_MB = 20, 40

HOT = "The box is at {:.0f} degrees and slows down: take it out of the sun, or give it air."
WEAK = "The supply was too weak for a moment: use a better cable or charger, or charge the battery."
TIGHT = "Only {} MB are left on the disk of the log: take the clips to a computer and remove them."

News = Vitals | Battery | Trouble | Leave


@dataclass(frozen=True)
class Measured:
    """What the sensors say; None: there is no such sensor.

    Attributes
    ----------
    charge : of the battery
    celsius : temperature of the processor
    weak_supply : whether the supply is too weak now
    free_mb : room on the disk of the log
    """

    charge: Charge | None = None
    celsius: float | None = None
    weak_supply: bool | None = None
    free_mb: int | None = None


def is_charging(charge: Charge) -> bool:
    """Whether the charge rises, by more than the gauge's own step."""
    return charge.percent_per_hour >= CHARGING


class Condition:
    """Remembers what was said, so that it is said once.

    Parameters
    ----------
    version : of the program
    """

    def __init__(self, version: str) -> None:
        self._version = version
        self._low = False
        self._was_weak: bool | None = None
        self._empty_looks = 0
        self._said: dict[str, str] = {}

    def fed(self, measured: Measured) -> list[News]:
        """What is to be told after this look."""
        return [
            self._vitals(measured),
            *self._battery(measured.charge),
            *self._trouble("warmth", self._warmth(measured.celsius)),
            *self._trouble("supply", WEAK if measured.weak_supply else ""),
            *self._trouble("room", self._room(measured.free_mb)),
        ]

    def _vitals(self, measured: Measured) -> Vitals:
        charge = measured.charge
        if measured.weak_supply is not None:
            self._was_weak = measured.weak_supply or bool(self._was_weak)
        return Vitals(
            charge=None if charge is None else charge.fraction,
            charging=charge is not None and is_charging(charge),
            hours=None if charge is None else charge.hours_left,
            celsius=measured.celsius,
            weak_supply=self._was_weak,
            free_mb=measured.free_mb,
            version=self._version,
        )

    def _battery(self, charge: Charge | None) -> list[News]:
        if charge is None:  # a gauge that says nothing now is believed to go on as it was
            return []
        empty = not is_charging(charge) and (charge.fraction <= EMPTY or charge.volts <= EMPTY_VOLTS)
        self._empty_looks = self._empty_looks + 1 if empty else 0
        low = not is_charging(charge) and charge.fraction <= (WELL if self._low else LOW)
        news: list[News] = [Battery(low)] if low != self._low else []
        self._low = low
        return [*news, Leave(empty=True)] if self._empty_looks >= EMPTY_LOOKS else news

    def _warmth(self, celsius: float | None) -> str:
        if celsius is None:
            return ""
        bound = COOL_C if self._said.get("warmth") else HOT_C
        return HOT.format(celsius) if celsius >= bound else ""

    def _room(self, free_mb: int | None) -> str:
        if free_mb is None:
            return ""
        bound = ROOMY_MB if self._said.get("room") else TIGHT_MB
        return TIGHT.format(free_mb) if free_mb < bound else ""

    def _trouble(self, about: str, sentence: str) -> list[News]:
        """Told when it comes and when it goes, not with every degree."""
        before = self._said.get(about, "")
        self._said[about] = before if before and sentence else sentence
        return [Trouble(about, sentence)] if bool(before) != bool(sentence) else []
