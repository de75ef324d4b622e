"""From a press, and from a sound, to the changed picture on the glass: python -m bench.panel_delays.

The real program with its real threads runs in real time: a live microphone that plays invented notes, gpiozero's own
mock pins for the buttons, luma's driver on a recorded bus that takes as long as 400 kHz do. What is timed is the
computer that it runs on; no board was at hand. Figures are for the eye: nothing is asserted on a clock.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from PIL.Image import Image

from additive.note import Note
from additive.voice import sound
from airladder.app.order import Order, Outside
from airladder.app.practising import practise
from airladder.config import Settings
from airladder.devices.buttons import Buttons
from airladder.devices.clock import Clock
from airladder.devices.oled import Oled
from airladder.devices.pins import pin_map
from airladder.devices.recorded_bus import recorded_bus
from airladder.devices.scripted import ScriptedMicrophone
from airladder.hearing.block import RATE, Block, Samples
from airladder.pages.box import Box
from airladder.pages.light import Light
from airladder.panel.views import picture
from airladder.practice.presses import Button
from airladder.practice.routine import Routine
from climbing import climb
from oledwire import BoardWire

SECONDS_A_BYTE = 9 / 400_000
"""Nine clocks a byte at 400 kHz (NXP UM10204)."""

HELD_SECONDS = 0.12
NOTES, PRESSES = 20, 24
_PAUSE_SECONDS = 3.4


class LiveMicrophone(ScriptedMicrophone):
    """Gives each block when its last sample would have sounded."""

    def open(self) -> None:
        """Begin now."""
        super().open()
        self.started = time.monotonic()

    def read(self) -> Block | None:
        """The next block, at its time."""
        block = super().read()
        if block is not None:
            time.sleep(max(0.0, self.started + block.time - time.monotonic()))
        return block


class TimedOled(Oled):
    """The real driver; notes in `shown` when each picture stood on the glass."""

    def __init__(self, serial: Any) -> None:
        super().__init__("ssd1306", serial)
        self.shown: list[tuple[float, bytes]] = []

    def show(self, picture: Image, light: Light = Light.BRIGHT) -> None:
        """Show it, and look at the clock when the last byte has been sent."""
        super().show(picture, light)
        if not self.shown or self.shown[-1][1] != picture.tobytes():
            self.shown.append((time.monotonic(), picture.tobytes()))


@dataclass
class Run:
    """One run of the program: what it was given, and what came of it."""

    microphone: LiveMicrophone
    display: TimedOled
    pins: Any
    boxes: list[tuple[float, Box]] = field(default_factory=list)

    def go(self, acts: Callable[[], None]) -> None:
        """Run until the sound ends, with somebody acting in a thread of its own."""
        clock = Clock()
        actor = threading.Thread(target=acts, daemon=True)
        settings = Settings()

        def hands(post: Callable[[Any], None]) -> Buttons:
            buttons = Buttons(pin_map().buttons, post, clock, self.pins)
            actor.start()
            return buttons

        def watch(box: Box) -> None:
            self.boxes.append((time.monotonic(), box))

        with tempfile.TemporaryDirectory() as folder:
            rounds = Routine("rounds", climb(settings.series).exercises * 4)
            order = Order(settings, rounds, "alsa:live", Path(folder) / "log.sqlite")
            practise(order, Outside(self.display, hands, watch, clock, lambda word, clock: self.microphone))
        actor.join()


def main() -> int:
    """Print the delays."""
    presses, sounds = press_delays(), sound_delays()
    sys.stdout.write(told("a press let go, to the changed picture", presses))
    sys.stdout.write(told("the first sample of a note, to its partial on the glass", [whole for whole, _ in sounds]))
    sys.stdout.write(told("the Ear's first reading of it, to the same", [shown for _, shown in sounds]))
    return 0


def told(what: str, seconds: list[float]) -> str:
    """One line: median, the slowest, and how many there were."""
    median, most = statistics.median(seconds), max(seconds)
    return f"{what}: median {1e3 * median:.0f} ms, at most {1e3 * most:.0f} ms ({len(seconds)} of them)\n"


def press_delays() -> list[float]:
    """From the release of a short press until another picture stands, s."""
    run = _run(np.zeros(round((2.0 + 0.7 * PRESSES) * RATE), np.float32))
    released: list[float] = []

    def acts() -> None:
        time.sleep(1.0)
        for number in range(PRESSES):
            pin = run.pins.pin(pin_map().buttons[Button.DOWN if number % 2 else Button.UP])
            pin.drive_low()
            time.sleep(HELD_SECONDS)
            pin.drive_high()
            released.append(time.monotonic())
            time.sleep(0.5 + 0.007 * number)  # at every moment of a frame

    run.go(acts)
    return [next(t for t, _ in run.display.shown if t > at) - at for at in released]


def sound_delays() -> list[tuple[float, float]]:
    """For each note: from its first sample, and from its first right reading, until its partial stands, s."""
    settings, silence = Settings(), np.zeros(round(_PAUSE_SECONDS * RATE), np.float32)
    notes = [Note(1 + number % 6, seconds=0.8) for number in range(NOTES)]
    parts: list[Samples] = [silence]
    starts = []
    for number, note in enumerate(notes):
        starts.append(sum(map(len, parts)) / RATE)
        parts += [sound(settings.series, note, number), silence]
    run = _run(np.concatenate(parts))
    run.go(lambda: None)
    begun = run.microphone.started
    return [_one(run, begun + at, note.partial) for at, note in zip(starts, notes, strict=True)]


def _one(run: Run, at: float, partial: int) -> tuple[float, float]:
    right = [
        (t, box)
        for t, box in run.boxes
        if at <= t < at + 1.5 and (seen := box.seen) and seen.reading and seen.reading.partial == partial
    ]
    read_at = next(t for t, box in right if box.session and box.session.reading)
    pictures = {picture(box).tobytes() for _, box in right}
    shown_at = next(t for t, shown in run.display.shown if t >= at and shown in pictures)
    return shown_at - at, shown_at - read_at


def _run(samples: Samples) -> Run:
    from gpiozero.pins.mock import MockFactory

    bus = recorded_bus("ssd1306")
    bus.seconds_a_byte = SECONDS_A_BYTE
    return Run(LiveMicrophone(samples), TimedOled(BoardWire(bus)), MockFactory())


if __name__ == "__main__":
    raise SystemExit(main())
