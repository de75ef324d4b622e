"""Reads what the box can feel of itself: gauge, temperature, supply, room."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from airladder.appliance.condition import Measured
from airladder.devices.gauge import Charge
from airladder.devices.warmth import Warmth
from airladder.faults import Fault

T = TypeVar("T")


@dataclass(frozen=True)
class Sensors:
    """All of them; each may be missing, and none hinders another.

    Attributes
    ----------
    charge : asks the gauge
    warmth : asks the kernel
    folder : on the disk whose room is looked at
    """

    charge: Callable[[], Charge | None]
    warmth: Callable[[], Warmth]
    folder: Path

    def read(self) -> Measured:
        """What they say now; None for those that cannot be asked."""
        warmth = self.warmth()
        free_mb = _asked(lambda: _free_mb(self.folder))
        return Measured(_asked(self.charge), warmth.celsius, warmth.low_supply, free_mb)


def _asked(ask: Callable[[], T | None]) -> T | None:
    try:
        return ask()
    except (Fault, OSError):
        return None


def _free_mb(folder: Path) -> int:
    return shutil.disk_usage(folder).free // 1_000_000
