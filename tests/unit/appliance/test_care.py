"""Looking after the box, with its real threads and a real line to whoever started it."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from airladder.app.program import Item
from airladder.app.pulse import MAIN, Pulses
from airladder.appliance.care import PROVEN_FEEDS, Care
from airladder.appliance.sensors import Sensors
from airladder.devices.gauge import Charge
from airladder.devices.notify import Notifier
from airladder.devices.warmth import Warmth
from airladder.pages.vitals import Vitals


@pytest.fixture
def line_in(tmp_path: Path) -> Iterator[socket.socket]:
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as line:
        line.bind(str(tmp_path / "notify"))
        line.settimeout(5.0)
        yield line


class Box:
    """A box that is looked after; its main loop turns when it is told to."""

    def __init__(self, folder: Path, line: socket.socket, watchdog_s: float) -> None:
        self.pulses = Pulses()
        self.main = self.pulses.of(MAIN, 5.0)
        self.told: list[Item] = []
        self.proven = threading.Event()
        self.gauge_asked = threading.Event()
        self.care = Care(
            Sensors(self._charge, lambda: Warmth(50.0, None, None), folder),
            folder / "box.txt",
            self.pulses,
            Notifier({"NOTIFY_SOCKET": line.getsockname(), "WATCHDOG_USEC": f"{watchdog_s * 1e6:.0f}"}),
            dict,
            self._prove,
            look_s=0.01,
        )

    def _charge(self) -> Charge | None:
        self.gauge_asked.set()
        raise OSError("the bus is gone")

    def _prove(self) -> None:
        self.proven.set()


def turn(box: Box, until: threading.Event) -> None:
    ends = time.monotonic() + 10.0
    while not until.is_set() and time.monotonic() < ends:
        with box.main:
            time.sleep(0.001)


def test_ready_comes_first_then_signs_of_life_and_then_that_it_ends(tmp_path: Path, line_in: socket.socket) -> None:
    box = Box(tmp_path, line_in, 0.02)
    caring = box.care.begin(box.told.append, lambda: None)
    turn(box, box.proven)
    caring.close()
    line_in.setblocking(False)
    said = []
    while True:
        try:
            said.append(line_in.recv(1000))
        except BlockingIOError:
            break
    assert said[0] == b"READY=1"
    assert said.count(b"WATCHDOG=1") >= PROVEN_FEEDS
    assert b"STOPPING=1" in said
    assert box.proven.is_set()


def test_a_sensor_that_fails_hinders_no_other(tmp_path: Path, line_in: socket.socket) -> None:
    box = Box(tmp_path, line_in, 60.0)
    caring = box.care.begin(box.told.append, lambda: None)
    assert box.gauge_asked.wait(5.0)
    caring.close()
    vitals = [one for one in box.told if isinstance(one, Vitals)]
    assert vitals
    assert (vitals[0].charge, vitals[0].celsius) == (None, 50.0)
    assert vitals[0].free_mb is not None


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_a_thread_that_dies_starves_the_watchdog(tmp_path: Path, line_in: socket.socket) -> None:
    box = Box(tmp_path, line_in, 60.0)
    caring = box.care.begin(box.told.append, lambda: None)
    victim = threading.Thread(target=lambda: 1 // 0)
    victim.start()
    victim.join()
    fed = caring._feeding.fed
    with box.main:
        pass
    caring._feeding()
    assert caring._feeding.fed == fed
    caring.close()
