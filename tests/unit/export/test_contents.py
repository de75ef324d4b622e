"""Sessions come in the order of the switch-ons, a month has those that its dates tell, and costs what it has."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from airladder.export.contents import Contents
from airladder.journal.log import Log
from airladder.journal.records import CARRIED, KNOWN, Head, Moment
from airladder.practice.attempt import Attempt


def test_every_session_is_in_one_month(contents: Contents) -> None:
    months = contents.months()
    assert list(months) == ["2026-05", "2026-06"]
    assert sum(months.values(), ()) == contents.sessions == (1, 2, 3, 4)


def test_a_month_is_that_of_the_date_where_the_box_stood(
    path: Path, head: Head, tried: Callable[..., Attempt]
) -> None:
    """Half an hour into June at home is still May in Greenwich."""
    with Log(path) as log:
        log.begin(replace(head, started=datetime(2026, 6, 1, 0, 30, tzinfo=timezone(timedelta(hours=2)))), tried(1))
        assert Contents(log).months() == {"2026-06": (1,)}


def test_sessions_are_in_the_order_of_the_switch_ons(path: Path, head: Head, tried: Callable[..., Attempt]) -> None:
    """A session that began earlier in a switch-on stands earlier, whatever its number."""
    with Log(path) as log:
        for seconds in (50.0, 20.0):
            log.begin(replace(head, moment=Moment("one", seconds, CARRIED)), tried(1))
        assert Contents(log).sessions == (2, 1)


def test_a_word_on_the_date_moves_a_session_to_its_month_and_no_row_is_lost(
    path: Path, head: Head, tried: Callable[..., Attempt]
) -> None:
    moment = Moment("one", 20.0, CARRIED)
    told = datetime(2027, 2, 3, 12, tzinfo=timezone(timedelta(hours=1)))
    with Log(path) as log:
        log.begin(replace(head, moment=moment), tried(1))
        assert list(Contents(log).months()) == ["2026-05"]
        log.tell_date(moment, told, "buttons")
        contents = Contents(log)
        ((values, tries),) = contents.rows(contents.months()["2027-02"])
        assert values[:4] == (1, told, 1, head.started.isoformat())
        assert len(list(tries)) == 1


def test_a_month_reads_no_more_steps_of_a_long_log_than_of_a_short_one(
    tmp_path: Path, head: Head, tried: Callable[..., Attempt]
) -> None:
    """SQLite counts the steps of its virtual machine (sqlite3_progress_handler): the work, whatever the computer."""

    def work(before: int) -> int:
        with Log(tmp_path / f"{before}.sqlite") as log:
            for number in range(before + 3):
                started = head.started - timedelta(days=40 * (number < before))
                log.begin(replace(head, started=started, moment=Moment(str(number), 1.0, KNOWN)), tried(1))
            contents = Contents(log)
            (*_, last) = contents.months().values()
            assert len(last) == 3
            return steps_of(log, lambda: [list(tries) for _, tries in contents.rows(last)])

    assert work(300) <= work(3) * 1.2


def steps_of(log: Log, do: Callable[[], Any]) -> int:
    steps = 0

    def count() -> int:
        nonlocal steps
        steps += 1
        return 0

    log._connection.set_progress_handler(count, 1)
    do()
    log._connection.set_progress_handler(None, 1)
    return steps
