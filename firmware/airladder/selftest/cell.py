"""The battery gauge: it answers, and what it says of the cell can be.

A lithium cell is between 2.5 V, where its protection lets go, and 4.2 V, with what a gauge and a charger may be off
(common practice; the data sheet of the cell that was bought decides). A swollen, hot or damaged cell is not tested:
it is taken to where such cells are collected.
"""

from __future__ import annotations

from typing import Protocol

from airladder.faults import Fault
from airladder.selftest.addresses import Bus
from airladder.selftest.result import Result, failed, not_there, well

LEAST_V, MOST_V = 2.5, 4.3
MOST_FRACTION = 1.2
"""The gauge's own sum may run a little beyond full."""


class Charge(Protocol):
    """What the gauge says."""

    @property
    def fraction(self) -> float:
        """Of a full cell."""

    @property
    def volts(self) -> float:
        """Of the cell."""

    @property
    def percent_per_hour(self) -> float:
        """How fast it fills, or empties where below 0."""


class Gauge(Protocol):
    """A battery gauge."""

    def read(self) -> Charge | None:
        """What it says now; None when there is none."""


def check(gauge: Gauge, bus: Bus, address: int) -> Result:
    """Ask it once.

    Parameters
    ----------
    gauge : what is asked
    bus, address : where it would answer, asked when it says nothing
    """
    charge = gauge.read()
    if charge is None:
        return _none(bus, address)
    figures = {
        "volts": round(charge.volts, 3),
        "charge_percent": round(100.0 * charge.fraction, 1),
        "percent_per_hour": round(charge.percent_per_hour, 1),
    }
    if not LEAST_V <= charge.volts <= MOST_V:
        return failed(
            f"The gauge says {charge.volts:.2f} V, a lithium cell has {LEAST_V:g} to {MOST_V:g} V: look at polarity"
            " and plug with a meter, and do not charge a cell that is below.",
            **figures,
        )
    if not 0.0 <= charge.fraction <= MOST_FRACTION:
        return failed(f"The gauge says {100.0 * charge.fraction:.0f} %, which cannot be.", **figures)
    flow = f"{charge.percent_per_hour:+.1f} % an hour"
    return well(f"The cell has {charge.volts:.2f} V, {100.0 * charge.fraction:.0f} %, {flow}.", **figures)


def _none(bus: Bus, address: int) -> Result:
    try:
        answers = bus.known(address).there
    except Fault:
        answers = False
    if answers:
        return failed(f"Something answers at {address:#04x}, but not as a gauge does: is it another sort?")
    return not_there("No battery gauge is fitted: the box does not know how full its cell is.")
