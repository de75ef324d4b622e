"""What the screen costs: drawing and sending ten pictures a second of a lively practice: python -m bench.panel_cost.

Cents, riding half and time change with every picture, so that every picture is drawn and something is sent of it; the
real `Oled` sends by luma and smbus2. Only the last step is left out, the call to the kernel: what the kernel's I2C
driver does is not counted, nor are caches and memory.

Two measures, as no counter of instructions is to be had on every computer. arm64 instructions are counted as in
`instructions`, and set against the board's Cortex-A53 at 1 GHz, of which nobody here has one to measure: it is
**assumed** to do 0.5 to 1 instruction a cycle in such code, and the lower number decides. CPU seconds a second are
measured on this computer as they are.

Each step is run with all the steps before it, short and long, and subtracted: what starting takes falls out.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import luma.core
import smbus2

from bench.instructions import instructions_of, missing_tools
from bench.store import CACHE

PICTURES_A_SECOND = 10
ALLOWED_SHARE = 0.05
A53_MILLIONS = (500.0, 1000.0)
"""Instructions a second of the board's core, in millions: 0.5 to 1 a cycle at 1 GHz. From memory, not measured."""
STEPS = ("changing", "drawing", "packing", "sending")

_PICTURES = 100
_TESTS = Path(__file__).parents[1]
_GUEST = """
import random, sys, time
from dataclasses import replace
import smbus2
from oledwire import BoardWire
from airladder.devices.oled import Oled
from airladder.devices.oled_driver import pages
from airladder.panel import gallery, screens

step, count = sys.argv[1], int(sys.argv[2])
smbus2.smbus2.ioctl = lambda device, request, argument: 0  # the kernel
screen = Oled("sh1106", BoardWire(smbus2.SMBus()))
first = gallery.samples()["sounding-sharp"]
lots, cents = random.Random(1), 0.0
began = time.process_time()
for number in range(count):
    cents = 0.95 * cents + lots.gauss(0.0, 6.0)
    state = replace(first, now=first.now + number / 10, reading=replace(first.reading, cents=cents))
    if step != "changing":
        picture = screens.draw(state)
    if step == "packing":
        pages(picture)
    if step == "sending":
        screen.show(picture)
print(time.process_time() - began)
"""


def main() -> int:
    """Prints both measures step by step; 1 where it is too much, 2 where instructions cannot be counted."""
    seconds = by_step(cpu_seconds)
    print_steps("ms of CPU a second, on this computer", {step: 1000 * each for step, each in seconds.items()}, 1000.0)
    if missing_tools():
        sys.stderr.write(f"panel_cost: arm64 not on this computer: {', '.join(missing_tools())}\n")
        return 2
    millions = by_step(million_instructions)
    for rate in A53_MILLIONS:
        print_steps(f"M arm64 instructions a second, of {rate:.0f} M (assumed)", millions, rate)
    return 0 if total(millions) <= ALLOWED_SHARE * min(A53_MILLIONS) else 1


def print_steps(what: str, costs: dict[str, float], core: float) -> None:
    """One line a step and one for all, each with its share of one core."""
    sys.stdout.write(f"{what}:\n")
    for step, cost in (*costs.items(), ("the whole screen", total(costs))):
        sys.stdout.write(f"  {step:<18} {cost:8.2f}  {100 * cost / core:6.2f} %\n")


def total(costs: dict[str, float]) -> float:
    """Of all that belongs to the screen; states change without one, too."""
    return sum(costs[step] for step in STEPS if step != "changing")


def by_step(cost: Callable[[str, int], float]) -> dict[str, float]:
    """The cost of a second of pictures by step, each without the steps before it."""
    seconds = _PICTURES / PICTURES_A_SECOND
    upto = {step: (cost(step, 2 * _PICTURES) - cost(step, _PICTURES)) / seconds for step in STEPS}
    alone = {"changing": upto["changing"], "drawing": upto["drawing"] - upto["changing"]}
    alone["packing"] = upto["packing"] - upto["drawing"]
    return alone | {"sending": upto["sending"] - upto["packing"]}


def million_instructions(step: str, count: int) -> float:
    """arm64 instructions of a run of that many pictures, up to that step; its start included."""
    return instructions_of(_GUEST, [step, str(count)], [_TESTS, *_packages()]) / 1e6


def cpu_seconds(step: str, count: int) -> float:
    """CPU seconds of such a run on this computer, without its start: the least of five."""
    command = [sys.executable, "-c", _GUEST, step, str(count)]
    path = ":".join(str(folder) for folder in (_TESTS.parent / "firmware", _TESTS))
    runs = [
        subprocess.run(command, capture_output=True, text=True, check=True, env={"PYTHONPATH": path})
        for _ in range(5)
    ]
    return min(float(run.stdout) for run in runs)


def _packages() -> list[Path]:
    """A folder with this computer's luma and smbus2, which are Python alone; the rest beside them is not."""
    folder = CACHE / "arm64-luma"
    folder.mkdir(parents=True, exist_ok=True)
    for package in (Path(luma.core.__path__[0]).parent, Path(smbus2.__path__[0])):
        link = folder / package.name
        link.unlink(missing_ok=True)
        link.symlink_to(package)
    return [folder]


if __name__ == "__main__":
    sys.exit(main())
