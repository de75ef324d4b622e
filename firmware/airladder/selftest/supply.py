"""Warmth and supply: how hot the processor is, and whether its voltage is or was too low since the switch-on.

Source of the bit that remembers: Raspberry Pi documentation, "vcgencmd", get_throttled (bit 16, under-voltage has
occurred since the last boot). Boards of the Zero size have no sensor for it (see `devices.warmth`): that nothing was
low is then no proof, and a meter at the header is.
"""

from __future__ import annotations

from pathlib import Path

from airladder.devices.warmth import FIRMWARE, Warmth
from airladder.selftest.result import Result, failed, missing, well

HOT_C = 80.0
"""From here on the processor slows itself down (Raspberry Pi documentation, "Frequency management and thermal
control")."""

_WAS_LOW = 0x1_0000


def was_low(firmware: Path = FIRMWARE) -> bool | None:
    """Whether the supply was ever too low since the switch-on; None where nobody tells."""
    try:
        return bool(int(firmware.read_text("ascii").strip(), 16) & _WAS_LOW)
    except (OSError, ValueError):
        return None


def check(found: Warmth, ever_low: bool | None, *, on_board: bool) -> Result:
    """What the board said of itself.

    Parameters
    ----------
    found : now
    ever_low : since the switch-on
    on_board : whether this computer is a box
    """
    celsius = None if found.celsius is None else round(found.celsius, 1)
    figures = {"celsius": celsius, "low_now": found.low_supply, "low_since_start": ever_low, "slowed": found.slowed}
    told = [said for said in (found.low_supply, ever_low) if said is not None]
    if any(told):
        when = "is too low now" if found.low_supply else "was too low since the switch-on"
        return failed(
            f"The supply {when}: 4.9 to 5.2 V are wanted at the board under load; look at booster, wires (24 AWG or"
            " thicker) and cell.",
            **figures,
        )
    if celsius is not None and celsius >= HOT_C:
        return failed(f"The processor has {celsius:.0f} °C, less than {HOT_C:.0f} is wanted: give it air.", **figures)
    if found.slowed:
        return failed("The processor goes slower than it should, for heat or supply: look at both.", **figures)
    if celsius is None:
        return missing("This computer does not tell its temperature.", on_board=on_board, **figures)
    supply = (
        "its supply was never told to be too low (boards of the Zero size cannot tell: measure 4.9 to 5.2 V at the"
        " header)"
        if told
        else "of its supply it tells nothing: measure 4.9 to 5.2 V at the header"
    )
    return well(f"The processor has {celsius:.0f} °C; {supply}.", **figures)
