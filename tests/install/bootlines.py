"""What is known of config.txt, and what is wrong with lines of it.

The facts are of the kernel's arch/arm/boot/dts/overlays/README and of the board's documentation of config.txt: names,
parameters, and the pins that an overlay takes (from memory where the README names none).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

LONGEST = 98
"""Characters of a line that the board's firmware reads."""

KEYS = {"dtparam", "dtoverlay", "gpio", "camera_auto_detect", "display_auto_detect", "disable_splash", "boot_delay"}
PARAMETERS = {"i2c_arm", "i2c_arm_baudrate", "i2s", "audio", "watchdog"}
OVERLAYS: dict[str, tuple[set[str], set[int]]] = {  # parameters, and pins taken of themselves
    "airladder-codec": ({"mclk"}, {18, 19, 20, 21}),
    "i2c-rtc": ({"ds3231", "addr"}, {2, 3}),
    "dwc2": ({"dr_mode"}, set()),
    "gpio-poweroff": ({"gpiopin", "active_low"}, set()),
    "gpio-shutdown": ({"gpio_pin"}, set()),
    "disable-bt": (set(), set()),
    "disable-wifi": (set(), set()),
}
PIN_PARAMETERS = {"gpiopin", "gpio_pin"}
PULLED_UP = re.compile(r"gpio=([\d,]+)=ip,pu")


def pulled_up(lines: Iterable[str]) -> set[int]:
    """The pins that have the processor's pull-up from the start on."""
    found = (PULLED_UP.fullmatch(line) for line in lines)
    return {int(pin) for match in found if match for pin in match[1].split(",")}


def faults(lines: Iterable[str], wanted_up: set[int], used: dict[int, str]) -> Iterator[str]:
    """Everything that is wrong, a sentence each.

    Parameters
    ----------
    lines : of config.txt
    wanted_up : the pins to be pulled up
    used : what the pins are for, of which an overlay may take only those that are meant for it
    """
    lines = list(lines)
    for line in lines:
        if len(line) > LONGEST:
            yield f"{line[:20]}... has {len(line)} characters, {LONGEST} are read"
        if line.startswith("[") or not line:
            continue
        key, _, value = line.partition("=")
        if key not in KEYS:
            yield f"{key} is no known key"
        elif key == "dtparam":
            yield from (f"{word} is no known parameter" for word in _names(value) - PARAMETERS)
        elif key == "dtoverlay":
            yield from _of_overlay(value, used)
        elif key == "gpio" and not PULLED_UP.fullmatch(line):
            yield f"{line} is not understood"
    if pulled_up(lines) != wanted_up:
        yield f"pulled up are {sorted(pulled_up(lines))}, wanted {sorted(wanted_up)}"


def _names(words: str) -> set[str]:
    return {word.partition("=")[0] for word in words.split(",")}


def _of_overlay(value: str, used: dict[int, str]) -> Iterator[str]:
    name, _, words = value.partition(",")
    if name not in OVERLAYS:
        yield f"{name} is no known overlay"
        return
    known, pins = OVERLAYS[name]
    yield from (f"{name} has no parameter {word}" for word in (_names(words) if words else set()) - known)
    given = {int(word.partition("=")[2]) for word in words.split(",") if word.partition("=")[0] in PIN_PARAMETERS}
    if name.startswith("gpio-") and not given:
        yield f"{name} takes a pin that is not named"
    for pin in pins | given:
        if used.get(pin, name) != name:
            yield f"{name} takes GPIO{pin}, which is for {used[pin]}"
