"""What happens to the box during the soak: the microphone is unplugged, a computer comes and goes, the bus fails."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from acceptance.soak.player import HOUR
from acceptance.soak.world import FastMicrophone, SoundClock
from airladder.devices.gadget import Lun
from airladder.devices.recorded_bus import Recorder
from airladder.devices.recorded_gadget import RecordedGadget
from airladder.drive.geometry import BEFORE

_ROUTINE = """\
version = 1
name = "soak {number}"
about = "Brought by the computer of the soak."
minutes = 5

[[step]]
exercise = "rising"
partials = "top 3"
"""


class Socket(RecordedGadget):
    """A `RecordedGadget` that does not read the images it is given: 32 MiB of memory would be felt."""

    def _put(self, lun: Lun, image: str) -> None:
        """Nothing is remembered."""


@dataclass
class Mishaps:
    """Looked at before every hop: what is due, happens.

    Attributes
    ----------
    happened : how often, by name
    """

    clock: SoundClock
    microphone: FastMicrophone
    bus: Recorder
    gadget: Socket
    in_image: Path
    happened: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._due = self._hours()
        self._next = next(self._due)

    def look(self) -> None:
        """Do what is due."""
        while self.clock.monotonic() >= self._next[0]:
            _, name, deed = self._next
            self._next = next(self._due)
            deed()
            self.happened[name] = self.happened.get(name, 0) + 1

    def _hours(self) -> Iterator[tuple[float, str, Callable[[], None]]]:
        hour = 0
        while True:
            began = hour * HOUR
            yield began + 400.0, "a byte to the screen is not answered", lambda: self.bus.fail_in(40)
            yield began + 520.0, "microphone unplugged for 8 s in a practice", lambda: self.microphone.unplug(8.0)
            yield began + 900.0, "screen unplugged", self.bus.unplug
            yield began + 960.0, "screen plugged in again", self.bus.plug_in
            yield began + 1500.0, "microphone unplugged for 90 s", lambda: self.microphone.unplug(90.0)
            yield began + 1900.0, "screen forgets", self.bus.forget
            if hour % 2:
                yield began + 2400.0, "computer plugged", self.gadget.plug
                yield began + 2700.0, "a routine is put on the drive", self._bring
                yield began + 2900.0, "drives ejected", self._eject
                yield began + 3100.0, "computer unplugged", self.gadget.unplug
            hour += 1

    def _bring(self) -> None:
        number = self.happened.get("a routine is put on the drive", 0)
        text = _ROUTINE.format(number=number)
        put = ["mcopy", "-o", "-i", f"{self.in_image}@@{BEFORE}", "-", f"::routines/soak{number}.toml"]
        subprocess.run(put, input=text, text=True, check=True, capture_output=True)

    def _eject(self) -> None:
        for lun in Lun:
            self.gadget.eject(lun)
