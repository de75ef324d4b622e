"""The battery gauge MAX17048: how full the cell is, its voltage, and how fast that changes.

A gauge that does not answer is no fault: a box on a power bank has none. What cannot be is not believed, so that
noise on the bus never switches the box off.

Conventions
-----------
Fractions 0 to 1, volts, per cent an hour (negative while the cell empties). Untested on hardware.

Sources: MAX17048/MAX17049 data sheet (19-6171), register summary, from memory: VCELL 78.125 uV, SOC 1/256 %, CRATE
0.208 %/h, CONFIG with ATHD (32 less the per cent) and ALRT, STATUS with the reset indicator RI, VERSION 0x001_; the
supply is the cell itself, 2.5 to 4.5 V. Two's-complement ATHD and clearing ALRT are the same in the kernel's
drivers/power/supply/max17040_battery.c; register numbers and the check of VERSION in Adafruit's MAX1704X library.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from airladder.devices.clock import Clock

if TYPE_CHECKING:
    from airladder.devices.i2c_bus import I2cBus

ALERT_PERCENT = 5
"""Below this charge the gauge pulls the pin `power.battery_alert` low, if not told otherwise."""
PAUSES = (0.0, 0.02, 0.1)
"""Seconds before each try: noise is shorter than the second, a chip that starts is ready after the third."""

VCELL, SOC, VERSION, CONFIG, CRATE, STATUS = 0x02, 0x04, 0x08, 0x0C, 0x16, 0x1A
RESET_INDICATOR = 0x0100
ALERTING = 0x0020
VOLTS_A_STEP, PERCENT_A_STEP, RATE_A_STEP = 78.125e-6, 1 / 256, 0.208
_COMPENSATION = 0xFF00
_VERSIONS = range(0x0010, 0x0020)
_VOLTS_MIN, _VOLTS_MAX = 2.0, 5.0  # a little more than what the gauge can live on
_PERCENT_MAX = 110.0  # a full cell may be said to hold a little over 100

_log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Charge:
    """What the gauge says.

    Attributes
    ----------
    fraction : of a full cell, 0 to 1
    volts : at the cell
    percent_per_hour : how fast the charge changes; negative while the cell empties
    """

    fraction: float
    volts: float
    percent_per_hour: float

    @property
    def hours_left(self) -> float | None:
        """Until the cell is empty at this rate; None while it does not empty."""
        return 100 * self.fraction / -self.percent_per_hour if self.percent_per_hour < 0 else None


class _Unbelievable(Exception):
    """What was read cannot be."""


class Gauge:
    """The gauge on an I2C bus.

    Parameters
    ----------
    open_bus : opens the bus, for one look; see `open_gauge`
    address : of the gauge on it
    clock : the time, for the pauses between tries
    alert_percent : where the alert pin falls, 1 to 32
    """

    def __init__(
        self,
        open_bus: Callable[[], I2cBus],
        address: int,
        clock: Clock | None = None,
        alert_percent: int = ALERT_PERCENT,
    ) -> None:
        self._open_bus, self._address = open_bus, address
        self._clock = clock or Clock()
        self._alert_percent = alert_percent
        self._answers: bool | None = None
        """As it was the last time; None before the first."""

    def read(self) -> Charge | None:
        """How full the cell is; None when nobody tells, or nothing that can be.

        Waits for the bus, a second or more when it hangs: for a thread that may.
        """
        reason = ""
        for pause in PAUSES:
            self._clock.sleep(pause)
            try:
                charge = self._look()
            except TimeoutError as error:  # each try of a bus that hangs takes a second
                reason = str(error)
                break
            except (OSError, _Unbelievable) as error:
                reason = str(error)
            else:
                self._found()
                return charge
        self._lost(reason)
        return None

    def _look(self) -> Charge:
        with self._open_bus() as bus:
            version = bus.word(self._address, VERSION)
            if version not in _VERSIONS:
                raise _Unbelievable(f"a version 0x{version:04x}, wanted 0x001_")
            charge = charge_of(*(bus.word(self._address, register) for register in (VCELL, SOC, CRATE)))
            if charge is None:
                raise _Unbelievable("values that cannot be")
            self._set_alert(bus, charge)
            self._look_for_reset(bus)
            return charge

    def _set_alert(self, bus: I2cBus, charge: Charge) -> None:
        """The alert stands while the charge is low; after that nobody but we takes it back."""
        config = bus.word(self._address, CONFIG)
        alerting = config & ALERTING if 100 * charge.fraction < self._alert_percent else 0
        wanted = config & _COMPENSATION | alerting | 32 - self._alert_percent
        if config != wanted:
            bus.tell_word(self._address, CONFIG, wanted)

    def _look_for_reset(self, bus: I2cBus) -> None:
        status = bus.word(self._address, STATUS)
        if status & RESET_INDICATOR:
            _log.info("The battery gauge has begun anew: it was without a cell, and guesses the charge at first.")
            bus.tell_word(self._address, STATUS, status & ~RESET_INDICATOR)

    def _lost(self, reason: str) -> None:
        if self._answers is None:
            _log.info("No battery gauge (%s); a box on a power bank has none.", reason)
        elif self._answers:
            _log.warning("The battery gauge tells nothing (%s); it is asked again.", reason)
        self._answers = False

    def _found(self) -> None:
        if self._answers is False:
            _log.warning("The battery gauge tells again.")
        self._answers = True


def charge_of(vcell: int, soc: int, crate: int) -> Charge | None:
    """What the three registers mean.

    Parameters
    ----------
    vcell, soc, crate : as they were read, 0 to 65535

    Returns
    -------
    None when that cannot be: a bus that says only ones or zeros, a cell too low or too high for the gauge to live on.
    """
    volts, percent = vcell * VOLTS_A_STEP, soc * PERCENT_A_STEP
    if not _VOLTS_MIN <= volts <= _VOLTS_MAX or percent > _PERCENT_MAX:
        return None
    signed = crate - 0x10000 if crate & 0x8000 else crate
    return Charge(min(1.0, percent / 100), volts, signed * RATE_A_STEP)


def open_gauge(port: int, address: int, clock: Clock | None = None, alert_percent: int = ALERT_PERCENT) -> Gauge:
    """The gauge on /dev/i2c-`port`, which is opened for each look; no bus is as no gauge."""
    from airladder.devices.i2c_bus import I2cBus

    return Gauge(lambda: I2cBus(port), address, clock, alert_percent)
