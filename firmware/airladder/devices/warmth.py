"""How the board fares: how warm its processor is, whether its supply is too low, whether it goes slower for either.

Conventions
-----------
Degrees Celsius. None where nobody tells. A board without a sensor for its supply (those of the Zero size have none,
from memory of the maker's documentation) says that all is well: `low_supply` False is then no proof. Untested on
hardware.

Sources: the kernel's Documentation/driver-api/thermal/sysfs-api (type; temp in thousandths of a degree),
Documentation/hwmon/sysfs-interface (name, lcrit_alarm) and drivers/hwmon/raspberrypi-hwmon.c (the name rpi_volt; the
alarm is asked of the firmware every two seconds); the bits of the firmware's GET_THROTTLED: the kernel's commit
be3035e3627d ("ARM: bcm2835: Add GET_THROTTLED firmware property"), bit 3 and the file of hexadecimal digits in
Raspberry Pi's own kernel from memory. Bits 16 and above tell what was, and are not looked at.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

ZONES = Path("/sys/class/thermal")
SENSORS = Path("/sys/class/hwmon")
FIRMWARE = Path("/sys/devices/platform/soc/soc:firmware/get_throttled")
_PROCESSORS = {"cpu-thermal", "cpu_thermal", "bcm2835_thermal", "x86_pkg_temp"}
_LOW_SUPPLY, _CAPPED, _THROTTLED, _SOFT_LIMIT = 0x1, 0x2, 0x4, 0x8
_COLDEST, _HOTTEST = -40.0, 150.0


@dataclass(frozen=True)
class Warmth:
    """How the board fares now.

    Attributes
    ----------
    celsius : the temperature of the processor, its warmest part
    low_supply : whether the supply is too low
    slowed : whether the processor goes slower, because it is too warm or its supply too low
    """

    celsius: float | None
    low_supply: bool | None
    slowed: bool | None


def warmth(zones: Path = ZONES, sensors: Path = SENSORS, firmware: Path = FIRMWARE) -> Warmth:
    """Look at the board.

    Parameters
    ----------
    zones, sensors : where the kernel lists thermal zones and hardware monitors
    firmware : what the firmware says, where the kernel has such a file
    """
    bits = _number(firmware, 16)
    alarm = _supply_alarm(sensors)
    told = [said for said in (alarm, None if bits is None else bool(bits & _LOW_SUPPLY)) if said is not None]
    return Warmth(
        celsius=_warmest(zones),
        low_supply=any(told) if told else None,
        slowed=None if bits is None else bool(bits & (_CAPPED | _THROTTLED | _SOFT_LIMIT)),
    )


def _warmest(zones: Path) -> float | None:
    read = (_number(zone / "temp") for zone in zones.glob("thermal_zone*") if _text(zone / "type") in _PROCESSORS)
    degrees = (thousandths / 1000 for thousandths in read if thousandths is not None)
    return max((celsius for celsius in degrees if _COLDEST < celsius < _HOTTEST), default=None)


def _supply_alarm(sensors: Path) -> bool | None:
    for sensor in sensors.glob("hwmon*"):
        if _text(sensor / "name") == "rpi_volt":
            alarm = _number(sensor / "in0_lcrit_alarm")
            return None if alarm is None else bool(alarm)
    return None


def _number(path: Path, base: int = 10) -> int | None:
    try:
        return int(_text(path), base)
    except ValueError:
        return None


def _text(path: Path) -> str:
    """What the file says; empty when there is none, or its sensor has no answer."""
    try:
        return path.read_text("ascii").strip()
    except (OSError, UnicodeDecodeError):
        return ""
