"""What the bus is told to do while it runs: a line in, a line of JSON out, on a socket in a folder.

See `HELP` for the words. `python -m i2cbus.ask FOLDER WORDS` says one and prints the answer.
"""

from __future__ import annotations

import json
import os
import socketserver
import threading
from collections.abc import Callable
from pathlib import Path

from airladder.devices.recorded_gauge import GaugeChip
from i2cbus.bus import Bus, Chip
from i2cbus.chips import ClockChip, CodecChip, ScreenChip

SOCKET = "ask"
HELP = """\
WHO is display, codec, clock, gauge, or an address such as 0x3d.
  state                                what all chips hold, and when the screens were first lit (CLOCK_MONOTONIC)
  picture FILE [WHO]                   writes what the screen shows, as .png or .pbm; says whether it is lit
  charge PERCENT [VOLTS [PER_HOUR]]    what the gauge says from now on
  register WHO NUMBER WORD             a register of the gauge holds this
  mute WHO, answer WHO                 it does not answer; it does again
  move WHO ADDRESS                     it answers at another address
  remove WHO, add display MODEL ADDRESS, add gauge ADDRESS
  forget WHO                           a screen loses its power for a moment
  hang SECONDS [TIMES]                 so many of the next transfers (all, without) wait and fail; hang 0 ends it
"""
_FOR_EVER = 1 << 62
_KINDS: dict[str, type[Chip]] = {"display": ScreenChip, "codec": CodecChip, "clock": ClockChip, "gauge": GaugeChip}


class Control:
    """Does what it is told to a bus.

    Parameters
    ----------
    bus : the bus
    seconds : the time, for screens that are put in
    """

    def __init__(self, bus: Bus, seconds: Callable[[], float]) -> None:
        self._bus, self._seconds = bus, seconds

    def told(self, line: str) -> dict[str, object]:
        """Do it; the answer, which has `error` when it could not be done."""
        try:
            match line.split():
                case ["state"]:
                    return self._state()
                case ["picture", file, *who]:
                    return self._picture(Path(file), *who)
                case ["charge", *numbers]:
                    return self._charge(*[float(number) for number in numbers])
                case ["register", who, number, word]:
                    self._gauge(who).registers[int(number, 0)] = int(word, 0)
                case ["mute", who]:
                    self._bus.mute.add(self._address(who))
                case ["answer", who]:
                    self._bus.mute.discard(self._address(who))
                case ["move", who, address]:
                    self._bus.chips[int(address, 0)] = self._bus.chips.pop(self._address(who))
                case ["remove", who]:
                    del self._bus.chips[self._address(who)]
                case ["add", "display", model, address]:
                    self._bus.chips[int(address, 0)] = ScreenChip(model, self._seconds)
                case ["add", "gauge", address]:
                    self._bus.chips[int(address, 0)] = GaugeChip()
                case ["forget", *who]:
                    self._screen(*who).forget()
                case ["hang", seconds, *times]:
                    endless = _FOR_EVER if float(seconds) else 0
                    self._bus.hang(float(seconds), int(times[0]) if times else endless)
                case _:
                    return {"error": f"'{line.strip()}' is no word of this bus.\n{HELP}"}
        except (LookupError, ValueError, TypeError, OSError) as error:
            return {"error": f"{type(error).__name__}: {error}"}
        return {}

    def _state(self) -> dict[str, object]:
        chips = {f"0x{address:02x}": _told_of(chip) for address, chip in sorted(self._bus.chips.items())}
        mute = [f"0x{address:02x}" for address in sorted(self._bus.mute)]
        return {"chips": chips, "mute": mute, "transfers": self._bus.transfers}

    def _picture(self, file: Path, who: str = "display") -> dict[str, object]:
        screen = self._screen(who)
        aside = file.with_name(f".new-{file.name}")
        screen.picture().save(aside)
        aside.replace(file)
        return {"lit": screen.brightness > 0, "brightness": screen.brightness}

    def _charge(self, percent: float, volts: float = 3.7, per_hour: float = -12.0) -> dict[str, object]:
        gauge = self._gauge("gauge")
        gauge.hold(percent, volts, per_hour)
        return {"alert": gauge.alert}

    def _address(self, who: str) -> int:
        """Where it answers; of several of a kind the one with the lowest address."""
        if who not in _KINDS:
            return int(who, 0)
        return min(address for address, chip in self._bus.chips.items() if isinstance(chip, _KINDS[who]))

    def _screen(self, who: str = "display") -> ScreenChip:
        chip = self._bus.chips[self._address(who)]
        if not isinstance(chip, ScreenChip):
            raise ValueError(f"{who} is no screen")
        return chip

    def _gauge(self, who: str) -> GaugeChip:
        chip = self._bus.chips[self._address(who)]
        if not isinstance(chip, GaugeChip):
            raise ValueError(f"{who} is no gauge")
        return chip


def _told_of(chip: Chip) -> dict[str, object]:
    match chip:
        case ScreenChip():
            return {"display": chip.model, "brightness": chip.brightness, "lit_at": chip.lit_at}
        case GaugeChip():
            words = {f"0x{number:02x}": f"0x{word:04x}" for number, word in sorted(chip.registers.items())}
            return {"gauge": words, "alert": chip.alert}
        case ClockChip():
            return {"clock": chip.registers.hex(" ")}
        case CodecChip():
            return {
                "codec": {f"0x{number:02x}": f"0x{value:03x}" for number, value in sorted(chip.registers.items())}
            }
    raise TypeError(f"a chip of no kind: {chip!r}")


def listen(control: Control, folder: Path) -> None:
    """Hear what is said on the socket in the folder, in a thread of its own until the process ends."""

    class Line(socketserver.StreamRequestHandler):
        def handle(self) -> None:
            answer = control.told(self.rfile.readline().decode("utf-8", "replace"))
            self.wfile.write(json.dumps(answer).encode("ascii") + b"\n")

    folder.mkdir(parents=True, exist_ok=True)
    path = folder / SOCKET
    path.unlink(missing_ok=True)
    server = socketserver.ThreadingUnixStreamServer(os.fspath(path), Line)
    threading.Thread(target=server.serve_forever, daemon=True).start()
