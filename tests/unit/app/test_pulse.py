"""Whether a thread gets on with its work is told by how long a piece of it lasts, never by how long it rests."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from airladder.app.pulse import Pulses
from airladder.devices.clock import StillClock


@pytest.fixture
def clock() -> StillClock:
    return StillClock(datetime(2026, 1, 1, tzinfo=UTC))


def test_a_thread_that_has_nothing_to_do_is_well(clock: StillClock) -> None:
    pulses = Pulses(clock)
    pulse = pulses.of("books", 30.0)
    with pulse:
        clock.sleep(1.0)
    clock.sleep(10_000.0)
    assert pulses.stuck == ()
    assert pulses.turns("books") == 1


def test_a_piece_of_work_that_does_not_end_is_told_by_its_name(clock: StillClock) -> None:
    pulses = Pulses(clock)
    slow, _well = pulses.of("display", 30.0), pulses.of("main", 5.0)
    with slow:
        clock.sleep(30.0)
        assert list(pulses.stuck) == []
        clock.sleep(0.1)
        assert list(pulses.stuck) == ["display"]
    assert list(pulses.stuck) == []


def test_work_that_ends_by_an_exception_has_ended(clock: StillClock) -> None:
    pulses = Pulses(clock)
    with pytest.raises(ZeroDivisionError), pulses.of("capture", 5.0):
        raise ZeroDivisionError
    clock.sleep(100.0)
    assert pulses.stuck == ()
    assert pulses.turns("capture") == 1


def test_a_thread_that_never_began_has_done_nothing(clock: StillClock) -> None:
    assert Pulses(clock).turns("main") == 0
