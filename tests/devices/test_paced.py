"""A recording shown live keeps to the clock."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from airladder.devices.clock import StillClock
from airladder.devices.paced import Paced
from airladder.devices.recording import Recording
from airladder.hearing.block import HOP_SECONDS

Maker = Callable[..., Path]
Siner = Callable[..., Any]

NOON = datetime(2024, 1, 1, 12, tzinfo=UTC)


def test_no_block_comes_before_its_time(plain_wav: Maker, sine: Siner) -> None:
    clock = StillClock(NOON)
    paced = Paced(Recording(plain_wav(sine())), clock)
    assert paced.live is False
    assert paced.name == "take.wav"
    paced.open()
    clock.sleep(5.0)  # time runs from the first read
    for count in range(1, 376):
        block = paced.read()
        assert block is not None
        assert clock.monotonic() == pytest.approx(5.0 + block.time)
        assert block.time == pytest.approx(count * HOP_SECONDS)
    assert paced.read() is None
    paced.close()


def test_a_late_reader_catches_up_without_waiting_and_loses_nothing(plain_wav: Maker, sine: Siner) -> None:
    clock = StillClock(NOON)
    paced = Paced(Recording(plain_wav(sine())), clock)
    paced.open()
    paced.read()
    clock.sleep(1.0)
    for sequence in range(1, 180):
        before = clock.monotonic()
        block = paced.read()
        assert block is not None
        assert block.sequence == sequence
        assert clock.monotonic() == before
    while paced.read():
        pass
    assert clock.monotonic() == pytest.approx(2.0)


def test_opened_again_it_starts_anew(plain_wav: Maker, sine: Siner) -> None:
    clock = StillClock(NOON)
    paced = Paced(Recording(plain_wav(sine())), clock)
    for _ in range(2):
        paced.open()
        start = clock.monotonic()
        paced.read()
        assert clock.monotonic() - start == pytest.approx(HOP_SECONDS)
