"""All checks in the order of a bring-up, over the devices that they look at.

The order is that of a careful maker: what feeds the board before what hangs on it, the bus before what is on it, the
hands before what is asked of them, the sound, and last what is built on all that.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from airladder.devices.board_clock import BATTERY_CLOCKS
from airladder.devices.clock import Clock
from airladder.devices.microphone import Microphone
from airladder.devices.pins import PinMap
from airladder.devices.warmth import Warmth
from airladder.selftest import addresses, battery_clock, board, capsule, cell, drives, keeping, rate, supply
from airladder.selftest.addresses import Bus
from airladder.selftest.cell import Gauge
from airladder.selftest.contacts import Pressed
from airladder.selftest.glass import Screen
from airladder.selftest.hands import Hands
from airladder.selftest.result import Check, Result
from airladder.selftest.stage import Stage

ABOUT = {
    "board": "the computer: model, versions, memory",
    "supply": "warmth and supply voltage",
    "i2c": "who answers on the I2C bus",
    "buttons": "the four buttons, each pressed once",
    "foot": "the foot switch, pressed once",
    "screen": "the OLED: it answers, and patterns are seen whole",
    "microphone": "noise, hum and offset, then a sound",
    "rate": "the sample rate against the computer's clock",
    "clock": "the battery clock",
    "gauge": "the battery gauge and the cell",
    "log": "writing to the disk, and the log itself",
    "drive": "the image of a USB drive",
    "socket": "the USB socket as a drive",
}
"""The names of the checks, in their order, and what each looks at."""

BY_HAND = {"buttons", "foot"}
"""Nothing of these can be done without a person."""

EXCLUSIVE = {"buttons", "foot", "screen", "microphone", "rate"}
"""These need what the service has while it runs."""


@dataclass(frozen=True)
class Bench:
    """What is looked at.

    Attributes
    ----------
    pins : what should be where
    bus, gauge, microphone : devices, the microphone not open yet
    warmth, ever_low : what the board says of itself
    hands : the buttons
    stage : who is told
    clock : one that no time server turns
    model : as what the screen is driven
    log : the real one
    on_board : whether this computer is a box
    person, quick : whether somebody is there, and whether it shall be short
    root, clocks : where the files of the system and the battery clocks are
    """

    pins: PinMap
    bus: Bus
    gauge: Gauge
    microphone: Microphone
    warmth: Callable[[], Warmth]
    ever_low: Callable[[], bool | None]
    hands: Hands
    stage: Stage
    clock: Clock
    model: str
    log: Path
    on_board: bool
    person: bool
    quick: bool
    root: Path = Path("/")
    clocks: Path = BATTERY_CLOCKS


def checks(on: Bench) -> list[Check]:
    """Each of them, not run yet."""
    pins, at, box = on.pins, on.pins.addresses, on.on_board
    pressed = Pressed(on.hands, on.stage, on.clock, pins.buttons, on_board=box)
    screen = Screen(
        on.bus,
        at.display,
        (pins.i2c.sda, pins.i2c.scl),
        on.model,
        on.hands if on.person else None,
        on.stage,
        on.clock,
        on_board=box,
    )
    run: dict[str, Callable[[], Result]] = {
        "board": lambda: board.check(on.root),
        "supply": lambda: supply.check(on.warmth(), on.ever_low(), on_board=box),
        "i2c": lambda: addresses.check(on.bus, pins, on_board=box),
        "buttons": pressed.row,
        "foot": pressed.foot,
        "screen": screen.check,
        "microphone": lambda: capsule.check(on.microphone, on.stage, person=on.person, quick=on.quick, on_board=box),
        "rate": lambda: rate.check(on.microphone, on.clock, quick=on.quick, on_board=box),
        "clock": lambda: battery_clock.check(on.bus, at.clock, on.clock, quick=on.quick, clocks=on.clocks),
        "gauge": lambda: cell.check(on.gauge, on.bus, at.gauge),
        "log": lambda: keeping.check(on.log, on.clock, quick=on.quick),
        "drive": lambda: drives.check_image(on.log.parent, on.clock),
        "socket": lambda: drives.check_socket(on_board=box),
    }
    return [
        Check(name, about, run[name], by_hand=name in BY_HAND, exclusive=name in EXCLUSIVE)
        for name, about in ABOUT.items()
    ]
