"""An I2C bus that can be plugged into any Linux with the kernel module cuse: ``python -m i2cbus --help``.

It makes /dev/i2c-N with the chips of the box on it, at the addresses of the pin map; the programs that use it cannot
tell it from a real one. Wanted: root, Python, Pillow, and this repository's `firmware` and `tests` on the path.
"""

from __future__ import annotations

import argparse
import grp
import os
import sys
import threading
from pathlib import Path

from airladder.devices.clock import Clock
from airladder.devices.oled_driver import MODELS
from airladder.devices.pins import pin_map
from airladder.devices.recorded_gauge import GaugeChip
from i2cbus.bus import Bus, Chip
from i2cbus.chips import ClockChip, CodecChip, ScreenChip
from i2cbus.control import HELP, Control, listen
from i2cbus.cuse import CUSE, make
from i2cbus.devnode import I2cNode

_POLL_S = 0.02


def main(words: list[str]) -> int:
    """The command; it runs until it is killed, and with it ends the bus."""
    arguments = _parser().parse_args(words)
    clock, pins = Clock(), pin_map()
    bus = Bus(chips(arguments, clock), kernels=(pins.addresses.codec, pins.addresses.clock))
    listen(Control(bus, clock.monotonic), arguments.control)
    name = f"i2c-{arguments.bus}"
    threading.Thread(target=_open_to_group, args=(Path("/dev") / name, arguments.group, clock), daemon=True).start()
    try:
        make(I2cNode(bus), name)
    except FileNotFoundError:
        sys.stderr.write(f"There is no {CUSE}; wanted a kernel with it: modprobe cuse.\n")
        return 1
    return 0


def chips(arguments: argparse.Namespace, clock: Clock) -> dict[int, Chip]:
    """The chips of the box, as the words of the command say."""
    at = pin_map().addresses
    found: dict[int, Chip] = {at.codec: CodecChip(), at.clock: ClockChip()}
    if arguments.charge is not None:
        found[at.gauge] = GaugeChip(arguments.charge)
    for word in arguments.display or ["ssd1306"]:
        model, _, address = word.partition("@")
        if model not in (*MODELS, "none"):
            raise SystemExit(f"'{model}' is no display; known: {', '.join(MODELS)}, none.")
        if model != "none":
            found[int(address, 0) if address else at.display] = ScreenChip(model, clock.monotonic)
    return found


def _open_to_group(path: Path, group: str, clock: Clock) -> None:
    """Let the group use the device as soon as it is there, as the board's udev rule for i2c-dev does."""
    try:
        owners = grp.getgrnam(group).gr_gid
    except KeyError:
        return
    while not path.exists():
        clock.sleep(_POLL_S)
    os.chown(path, 0, owners)
    path.chmod(0o660)


def _charge(word: str) -> float | None:
    return None if word == "none" else float(word)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m i2cbus",
        description="Makes /dev/i2c-N with the chips of the box on it.",
        epilog=f"python -m i2cbus.ask FOLDER WORDS, while it runs:\n{HELP}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--bus", type=int, default=pin_map().i2c.bus, help="its number, 1 for /dev/i2c-1")
    parser.add_argument(
        "--display",
        action="append",
        metavar="MODEL[@ADDRESS]",
        help="ssd1306 or sh1106, at the pin map's address if not told; again for a second one; none for none",
    )
    parser.add_argument("--charge", type=_charge, default=80.0, metavar="PERCENT", help="of the gauge; none for none")
    parser.add_argument("--control", type=Path, required=True, metavar="FOLDER", help="where its socket is made")
    parser.add_argument("--group", default="i2c", help="who else may use it")
    return parser


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
