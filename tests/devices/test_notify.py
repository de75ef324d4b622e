"""What systemd is told, received on a real socket of its kind."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from airladder.devices.notify import Notifier


@pytest.fixture
def line_in(tmp_path: Path) -> Iterator[socket.socket]:
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as line:
        line.bind(str(tmp_path / "notify"))
        line.settimeout(5.0)
        yield line


def test_all_is_told_in_the_words_of_sd_notify(line_in: socket.socket) -> None:
    notifier = Notifier({"NOTIFY_SOCKET": line_in.getsockname(), "WATCHDOG_USEC": "20000000"})
    notifier.ready()
    notifier.alive()
    notifier.status("one\n  sentence")
    notifier.stopping()
    assert [line_in.recv(100) for _ in range(4)] == [b"READY=1", b"WATCHDOG=1", b"STATUS=one sentence", b"STOPPING=1"]
    assert notifier.watchdog_s == 20.0


def test_an_abstract_address_is_one_too() -> None:
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as line:
        line.bind("\0airladder-test-notify")
        line.settimeout(5.0)
        Notifier({"NOTIFY_SOCKET": "@airladder-test-notify"}).alive()
        assert line.recv(100) == b"WATCHDOG=1"


@pytest.mark.parametrize("environment", [{}, {"WATCHDOG_USEC": "20000000"}, {"NOTIFY_SOCKET": "/nowhere/at/all"}])
def test_who_has_nobody_to_tell_tells_nobody_and_goes_on(environment: dict[str, str]) -> None:
    notifier = Notifier(environment)
    notifier.ready()
    notifier.alive()
    assert notifier.watchdog_s is None
