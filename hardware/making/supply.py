"""The cell: what the parts draw, how long it lasts, what starting and charging ask of it, what it loses at rest.

Most currents are estimates, to be measured (BRINGUP.md); each says where it is from. Untested on hardware.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt
from pathlib import Path
from types import MappingProxyType

from making.circuit import HARDWARE, Circuit
from making.values import of, told

STATES = ("lean", "typical", "worst")
"""Two cores, no radio, no HDMI, no wanted pitch; practice; Wi-Fi, all pixels, phones as loud as they go."""
BOARD = MappingProxyType({"lean": 95.0, "typical": 150.0, "worst": 300.0})
"""Milliamperes of the computer at 5 V: idle 120 as it comes and under 75 stripped (cnx-software.com, 2021-12-09, "A
deep dive into Raspberry Pi Zero 2 W's power consumption"); the load on top is an estimate."""
RAIL = MappingProxyType(
    {
        # Data sheet WM8940 (same family), table 59 and the text above it: converters 2.6 and 1.8 mA each, bias and
        # references 1.1, digital part 4 at 48 kHz; phones' amplifiers, and 3 mA of the oscillator: estimates. Worst:
        # 8.5 mA of peak into 193 ohm is 2.7 mA of mean a channel (half a sine's mean).
        "codec": (11.5, 17.0, 22.5),
        "capsule": (0.3, 0.3, 0.5),  # parts.toml, [capsule]: 0.5 mA at most
        "display": (7.0, 12.0, 42.0),  # estimate: few pixels, a page of text, all pixels of a 1.54 inch display
        "clock": (0.1, 0.1, 0.2),  # data sheet DS3231, active supply current: 0.2 mA at most at 3.63 V
        "pull-ups": (0.5, 0.5, 0.5),  # 2.9 mA while a line is low; a sixth of the time: estimate
    }
)
"""Milliamperes at 3.3 V, in each state."""
GAUGE = 0.023
"""Milliamperes from the cell (MAX17048 data sheet, active)."""
REGULATOR, BOOST = 0.90, 0.88
"""Efficiencies of the computer's 3.3 V regulator and of the boost: estimates for such switching regulators."""
RAIL_MOST = 250.0
"""Milliamperes that we ask of the computer's 3.3 V at most: judged. We found no figure of its maker for this
board. The 50 mA that old pages tell of were the first board's linear regulator (elinux.org, RPi low-level
peripherals); since then it is a switching regulator of the 1 A class (from memory), which the board itself shares."""

CELL, USABLE = 3.7, 0.9
"""Volts of a cell in its middle (cell makers' usual figure), and the share of its charge that is used."""
START = 700.0
"""Milliamperes at 5 V, for a moment, while the board starts with all cores: estimate."""
MOST_C, FILLING = 0.5, 1.3
"""Charge rate in C that cell makers usually allow, and how much longer a charge takes for its slow end: both common
practice; the cell's own sheet decides."""
WARM = 0.8
"""What is left of a resettable fuse's hold current at 45 C in the box (makers' tables fall by about 1 % a degree
above 23 C; from memory)."""
WIRE = 0.0842
"""Ohms a metre of 24 AWG copper (ASTM B258 gauge at 20 C; from memory)."""
CONTACT, INSIDE = 0.02, 0.12
"""Ohms of one contact of the cell's plug (JST PH, 20 mohm after test; from memory), and of a protected cell of 2 Ah:
estimate."""


@dataclass(frozen=True)
class Draw:
    """What a state draws, in milliamperes, and how long the cell bears it.

    Parameters
    ----------
    rail : from the 3.3 V, beside the computer's own
    five_volts : from the boost, all together
    cell : from the cell at CELL volts
    hours : from full to empty
    """

    rail: float
    five_volts: float
    cell: float
    hours: float


def capacity(folder: Path = HARDWARE) -> float:
    """Milliampere-hours of the cell that extras.toml tells to buy."""
    with (folder / "extras.toml").open("rb") as file:
        (cell,) = (each for each in tomllib.load(file)["extra"] if each["ref"] == "X6")
    return told(cell["mpn"], "# mAh")


def draw(state: str, mah: float, board: Mapping[str, float] = BOARD) -> Draw:
    """What a state draws from a cell of so many milliampere-hours."""
    rail = sum(each[STATES.index(state)] for each in RAIL.values())
    five = board[state] + rail * 3.3 / 5 / REGULATOR
    cell = five * 5 / (CELL * BOOST) + GAUGE
    return Draw(rail, five, cell, mah * USABLE / cell)


def path_ohms(circuit: Circuit, *, cell_too: bool) -> float:
    """Ohms from the cell to the boost: fuse, plug, 100 mm of wire there and back; and the cell itself."""
    fuse = told(circuit.items["F2"].part.spec, "at most # ohm")
    return fuse + 2 * CONTACT + 2 * 0.1 * WIRE + (INSIDE if cell_too else 0.0)


def start_amperes(volts: float) -> float:
    """Amperes into the boost while the board starts, with so many volts at the boost."""
    return START / 1000 * 5 / (volts * BOOST)


def start_volts(circuit: Circuit, *, cell_too: bool = True) -> float:
    """The least volts of the cell, at rest or (not cell_too) at its plug, for a start that the boost bears."""
    least = circuit.items["A5"].part.supply["3"][0]
    return least + start_amperes(least) * path_ohms(circuit, cell_too=cell_too)


def boost_volts(circuit: Circuit, cell: float) -> float:
    """Volts at the boost while the board starts from a cell of so many volts at rest: v = cell - ohms x power / v."""
    ohms, watts = path_ohms(circuit, cell_too=True), START / 1000 * 5 / BOOST
    return (cell + sqrt(cell * cell - 4 * ohms * watts)) / 2


def charge_amperes(circuit: Circuit) -> float:
    """The most that the charger gives the cell, as parts.toml tells what to buy."""
    return told(circuit.items["A5"].part.spec, "charge <= # A")


AT_REST = MappingProxyType(
    {
        "gauge": GAUGE,
        "charger, from the cell": 0.028,  # MCP73871 data sheet, discharge current; from memory
        "boost, switched off": 0.001,  # TPS61090 data sheet, shutdown current; from memory
        "D8, backwards": 0.010,  # SS34 data sheet, curve of reverse current at 4 V, 25 C; from memory
        "cell's protection": 0.004,  # usual protection chips; from memory
    }
)
"""Milliamperes from the cell at all times."""
EN_PULL_UP = 100e3
"""Ohms of a pull-up to the cell that the module may have on EN: the least that parts.toml allows."""


def off_drain(circuit: Circuit) -> float:
    """Milliamperes with the slide at off; the module's pull-up leads through R30 to ground."""
    return sum(AT_REST.values()) + 1000 * CELL / (EN_PULL_UP + of(circuit, "R30"))


def latched_drain(circuit: Circuit) -> float:
    """Milliamperes after the box has switched itself off, with the slide still at on: R30, R31 and R32 add theirs."""
    latch = CELL / of(circuit, "R30") + CELL / EN_PULL_UP + CELL / (of(circuit, "R31") + of(circuit, "R32"))
    return sum(AT_REST.values()) + 1000 * latch


def days(mah: float, milliamperes: float) -> float:
    """Days until a full cell is empty; its own loss is not counted."""
    return mah * USABLE / milliamperes / 24
