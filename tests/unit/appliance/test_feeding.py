"""The watchdog is fed by progress of the audio loop, and by nothing else."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from airladder.app.pulse import CAPTURE, MAIN, Pulses
from airladder.appliance.feeding import Feeding
from airladder.devices.clock import StillClock
from airladder.devices.notify import Notifier


class Fed(Notifier):
    """Counts the signs of life."""

    def __init__(self) -> None:
        super().__init__({})
        self.count = 0

    def alive(self) -> None:
        """One more."""
        self.count += 1


@pytest.fixture
def clock() -> StillClock:
    return StillClock(datetime(2026, 1, 1, tzinfo=UTC))


def test_it_is_fed_once_for_each_look_between_which_the_loop_went_on(clock: StillClock) -> None:
    pulses, fed = Pulses(clock), Fed()
    main = pulses.of(MAIN, 5.0)
    feeding = Feeding(pulses, fed)
    feeding()
    assert fed.count == 0
    for _ in range(3):
        with main:
            clock.sleep(0.1)
        feeding()
    assert fed.count == 3
    feeding()
    assert fed.count == 3


@pytest.mark.parametrize(("name", "starves"), [(CAPTURE, True), ("display", False), ("journal", False)])
def test_a_vital_thread_that_is_stuck_starves_it_and_another_does_not(
    clock: StillClock, name: str, starves: bool, caplog: pytest.LogCaptureFixture
) -> None:
    pulses, fed = Pulses(clock), Fed()
    main, other = pulses.of(MAIN, 5.0), pulses.of(name, 5.0)
    feeding = Feeding(pulses, fed)
    with other:
        clock.sleep(6.0)
        with main:
            pass
        feeding()
    assert feeding.stuck == (name,)
    assert f"stuck: {name}" in caplog.text
    assert fed.count == (0 if starves else 1)


def test_after_a_thread_has_died_only_a_new_start_helps(clock: StillClock) -> None:
    pulses, fed = Pulses(clock), Fed()
    main = pulses.of(MAIN, 5.0)
    feeding = Feeding(pulses, fed)
    feeding.died()
    with main:
        pass
    feeding()
    assert fed.count == 0
