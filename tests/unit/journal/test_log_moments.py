"""What a session bears beside its tries, and the order that its moment gives it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from airladder.journal.log import Log
from airladder.journal.records import Head, Moment, Planned
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome

Trier = Callable[..., Attempt]


def test_the_moment_the_plan_and_the_remarks_come_back_with_their_session(
    path: Path, head: Head, tried: Trier
) -> None:
    whole = replace(
        head,
        moment=Moment("a-boot", 61.5, "carried"),
        plan=(Planned("cold", "What stayed from other days."), Planned("rest")),
        remarks=("Some days have passed.", "Softer goes further."),
    )
    with Log(path) as log:
        assert log.session(log.begin(whole, tried(1))).head == whole
        other = replace(whole, moment=Moment("a-boot", 99.0, "known"), plan=(), remarks=())
        later = replace(whole, moment=Moment("b-boot", 1.0, "known"))
        ids = [log.begin(each, tried(1)) for each in (other, later)]
        moments = [summary.head.moment for summary in log.sessions()]
        assert [moment.boot for moment in moments if moment] == [1, 1, 2]
        assert log.session(ids[0]).head == other


def test_sessions_are_in_the_order_of_switch_on_and_time_whichever_reached_the_disk_first(
    path: Path, head: Head, tried: Trier
) -> None:
    """A writer whose disk hung may come after the writer of the next practice."""
    with Log(path) as log:
        later = log.begin(replace(head, moment=Moment("a-boot", 900.0, "known")), tried(1))
        earlier = log.begin(replace(head, moment=Moment("a-boot", 300.0, "known")), tried(1))
        before = log.begin(head, tried(1))
        assert [summary.id for summary in log.sessions()] == [before, earlier, later]
        assert [session_id for session_id, _, _ in log.tries()] == [before, earlier, later]


def test_the_fundamentals_that_were_measured_can_be_asked_for(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        session_id = log.begin(head, tried(1, Outcome.SPOKE, wanted=1, partial=1, hz=138.5, cents=-3.0))
        log.keep(session_id, tried(2, Outcome.OTHER, wanted=1, partial=2))
        log.keep(session_id, tried(3, Outcome.SPOKE, wanted=3, partial=3))
        found = [tuple(row) for row in log.rows("SELECT session, number, fingering, hz, cents FROM fundamental")]
    assert found == [(session_id, 1, "Bb3", 138.5, -3.0)]
