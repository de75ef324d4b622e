"""The date of a box that nobody keeps a clock for, from one practice to the next."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from airladder.app.moments import moment, settle, tell_by_buttons
from airladder.devices.clock import StillClock
from airladder.journal.dating import Dated, dates
from airladder.journal.log import Log
from airladder.journal.records import CARRIED, KNOWN, Head
from airladder.pages.date import Date
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome

LAST = datetime(2027, 5, 4, 18, 3, tzinfo=timezone(timedelta(hours=2)))
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class Forgetful(StillClock):
    """The clock of a board without a battery: it begins anew at each switch-on."""

    def __init__(self, boot: str) -> None:
        super().__init__(EPOCH)
        self._boot, self._was_told = boot, False

    def boot_key(self) -> str:
        """Drawn anew at each switch-on."""
        return self._boot


def practised(log: Path, clock: StillClock) -> None:
    head = Head(clock.wall(), "microphone m", False, "alto", "Bb3", 440.0, "tempered", "x", "0", moment(clock))
    with Log(log) as writer:
        writer.begin(head, Attempt(1, 1.0, 3, Outcome.NOTHING, None))


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "log.sqlite"


def test_a_box_that_forgets_the_date_goes_on_from_its_log(log: Path) -> None:
    practised(log, StillClock(LAST))
    for day in range(1, 4):
        clock = Forgetful(f"boot-{day}")
        settle(clock, log)
        assert clock.wall() == LAST + timedelta(days=day)
        assert moment(clock).trust == CARRIED
        practised(log, clock)
    with Log(log) as reader:
        assert [dated.when for dated in dates(reader).values()] == [LAST + timedelta(days=day) for day in range(4)]


def test_a_clock_that_is_kept_is_left_alone(log: Path) -> None:
    practised(log, StillClock(LAST))
    clock = StillClock(LAST + timedelta(days=9))
    settle(clock, log)
    assert (clock.wall(), moment(clock).trust) == (LAST + timedelta(days=9), KNOWN)


@pytest.mark.parametrize("content", [None, b"no log at all, but some other file"])
def test_without_a_log_that_can_be_read_the_clock_is_left_alone(log: Path, content: bytes | None) -> None:
    if content is not None:
        log.write_bytes(content)
    clock = Forgetful("boot")
    settle(clock, log)
    assert clock.wall() == EPOCH


def test_a_date_set_by_hand_is_in_the_log_and_on_the_clock(log: Path) -> None:
    clock = Forgetful("boot")
    practised(log, clock)
    tell_by_buttons(clock, log, Date(2027, 5, 4, 18, 3))
    right = datetime(2027, 5, 4, 18, 3).astimezone()
    assert (clock.wall(), clock.kept) == (right, True)
    with Log(log) as reader:
        assert list(dates(reader).values()) == [Dated(right, True)]
