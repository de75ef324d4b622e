"""The books thread: of looks only the newest, of values all; a fault is a sentence; nothing makes anybody wait."""

from __future__ import annotations

import queue
import threading
from collections.abc import Mapping

import pytest

from airladder.app.books import DATE, SETTINGS, Books
from airladder.faults import BadInput
from airladder.pages.choices import Choices, Item, turned
from airladder.pages.date import Date
from airladder.pages.events import Looked
from airladder.pages.glance import Glance
from airladder.practice.coach.plan import Plan
from airladder.practice.session import Trouble
from climbing import climb
from listening import series_of

GLANCE = Glance(Plan(climb(series_of("alto", "Bb3")), ()))
ALTO = Choices()
TENOR = turned(ALTO, Item.HORN, 1)


class Desk:
    """What stands around the books: a gate before each look, and all that came of it."""

    def __init__(self, refuses: str = "") -> None:
        self.gate = threading.Semaphore(0)
        self.looking = threading.Event()
        self.looked: list[Choices] = []
        self.saved: list[dict[str, object]] = []
        self.news: queue.Queue[Looked | Trouble] = queue.Queue()
        self._refuses = refuses
        self.told: list[Date] = []
        self.books = Books(self._look, self._save, self._tell, self.news.put)

    def _look(self, choices: Choices) -> Glance:
        self.looking.set()
        self.gate.acquire(timeout=5.0)
        self.looked.append(choices)
        return GLANCE

    def _save(self, values: Mapping[str, object]) -> None:
        if self._refuses:
            raise BadInput(self._refuses)
        self.saved.append(dict(values))

    def _tell(self, date: Date) -> None:
        if self._refuses:
            raise BadInput(self._refuses)
        self.told.append(date)
        self.gate.release()  # the look after it may begin


def test_a_look_is_posted_when_it_is_done() -> None:
    desk = Desk()
    desk.gate.release()
    desk.books.look(ALTO)
    assert desk.news.get(timeout=5.0) == Looked(GLANCE, ALTO)
    desk.books.close()


def test_of_many_looks_asked_for_meanwhile_only_the_newest_is_made() -> None:
    desk = Desk()
    desk.books.look(ALTO)
    assert desk.looking.wait(5.0)
    for choices in (ALTO, ALTO, TENOR):
        desk.books.look(choices)
    for _ in range(2):
        desk.gate.release()
    for _ in range(2):
        desk.news.get(timeout=5.0)
    desk.books.close()
    assert desk.looked == [ALTO, TENOR]


def test_values_are_written_before_the_end_whatever_else_waits() -> None:
    desk = Desk()
    desk.books.save({"horn": "tenor"})
    desk.books.save({"a4": 442.0})
    desk.books.close()
    written = {key: value for values in desk.saved for key, value in values.items()}
    assert written == {"horn": "tenor", "a4": 442.0}


def test_what_cannot_be_written_is_said_on_the_screen() -> None:
    desk = Desk(refuses="The disk is full.")
    desk.books.save({"horn": "tenor"})
    assert desk.news.get(timeout=5.0) == Trouble(SETTINGS, "The disk is full.")
    desk.books.close()


def test_at_the_end_nobody_looks_any_more() -> None:
    desk = Desk()
    desk.books.look(ALTO)
    assert desk.looking.wait(5.0)
    desk.books.look(TENOR)  # asked for while the first look is made, and not wanted when all is over
    with pytest.raises(RuntimeError, match="does not end"):
        desk.books.close(timeout=0.05)  # the first one still waits at its gate
    for _ in range(2):
        desk.gate.release()
    desk.books.close()
    assert desk.looked == [ALTO]


def test_a_date_that_is_set_is_told_before_the_next_look() -> None:
    desk = Desk()
    desk.books.tell(Date(2027, 1, 31))
    desk.books.look(ALTO)
    assert desk.news.get(timeout=5.0) == Trouble(DATE, "")
    assert desk.news.get(timeout=5.0) == Looked(GLANCE, ALTO)
    desk.books.close()
    assert desk.told == [Date(2027, 1, 31)]


def test_a_date_that_cannot_be_written_down_is_a_trouble() -> None:
    desk = Desk(refuses="The disk is full.")
    desk.books.tell(Date(2027, 1, 31))
    assert desk.news.get(timeout=5.0) == Trouble(DATE, "The disk is full.")
    desk.books.close()
