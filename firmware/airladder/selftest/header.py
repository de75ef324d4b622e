"""Where a processor pin is on the 40-pin header, for a maker with a meter.

Source: the pin numbers of the board family's header (Raspberry Pi documentation, "GPIO"); a test compares them with
gpiozero's own table and with the remarks in hardware/pins.toml.
"""

from __future__ import annotations

HEADER = {
    2: 3,
    3: 5,
    4: 7,
    5: 29,
    6: 31,
    7: 26,
    8: 24,
    9: 21,
    10: 19,
    11: 23,
    12: 32,
    13: 33,
    14: 8,
    15: 10,
    16: 36,
    17: 11,
    18: 12,
    19: 35,
    20: 38,
    21: 40,
    22: 15,
    23: 16,
    24: 18,
    25: 22,
    26: 37,
    27: 13,
}
"""By the processor's number (BCM)."""


def where(pin: int) -> str:
    """A pin in words, by its BCM number."""
    return f"GPIO{pin}, header pin {HEADER[pin]}"
