"""Who is told what the box wants done."""

from __future__ import annotations

from pathlib import Path

from airladder.app.books import Books
from airladder.app.doing import Doing
from airladder.app.logbook import Logbook
from airladder.app.order import Order
from airladder.config import Settings
from airladder.devices.clock import Clock
from airladder.devices.speaker import SilentSpeaker
from airladder.journal.log import Log
from airladder.journal.records import Planned
from airladder.pages.date import Date
from airladder.pages.effects import Open, Shut, Tell
from airladder.practice.attempt import Attempt
from airladder.practice.effects import Keep
from airladder.practice.judge import Outcome
from boxes import TODAY


def test_a_practice_is_kept_with_its_plan_and_the_drive_is_told_when_it_is_over(tmp_path: Path) -> None:
    assert TODAY.glance is not None
    plan, told, changes = TODAY.glance.plan, list[Date](), list[str]()
    log = tmp_path / "log.sqlite"
    order = Order(Settings(), None, "alsa:m", log)
    books = Books(lambda choices: TODAY.glance, lambda values: None, told.append, lambda news: None)  # type: ignore[arg-type,return-value]
    logbook = Logbook(log, lambda news: None)
    do = Doing(order, Clock(), logbook, books, SilentSpeaker(), changed=lambda: changes.append("changed"))
    do(Open(1, plan.routine, TODAY.choices, plan.reasons, ("Softer goes further.",)))
    do(Keep(Attempt(1, 1.0, 3, Outcome.NOTHING, None)))
    assert changes == []
    do(Shut())
    assert changes == ["changed"]
    do(Tell(Date(2027, 1, 31)))
    books.close()
    assert logbook.close() == []
    assert told == [Date(2027, 1, 31)]
    with Log(log) as reader:
        head = reader.session(1).head
    exercises = [exercise.name for exercise in plan.routine.exercises]
    assert head.plan == tuple(Planned(*each) for each in zip(exercises, plan.reasons, strict=True))
    assert head.remarks == ("Softer goes further.",)
    assert head.moment is not None
    assert head.moment.trust == "known"
