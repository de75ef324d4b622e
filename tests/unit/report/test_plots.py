"""The plots for another page: the newest session's ladder, and the days of practice rung by rung."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from html.parser import HTMLParser

import pytest

from airladder.journal.log import Log
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome
from airladder.report.daily import DAYS
from airladder.report.fragment import plots
from airladder.report.page import page
from airladder.report.words import EMPTY

Trier = Callable[..., Attempt]


def on_day(head: Head, number: int) -> Head:
    return replace(head, started=head.started + timedelta(days=number))


def days_of(text: str) -> str:
    return text.partition('<svg class="days"')[2].partition("</svg>")[0]


def marks(text: str) -> list[tuple[str, float, float]]:
    """Kind, left edge and middle height of every mark."""
    found = re.findall(r'<rect class="(\w+)" x="([\d.]+)" y="([\d.]+)" width="[\d.]+" height="([\d.]+)"/>', text)
    return [(kind, float(x), float(y) + float(high) / 2) for kind, x, y, high in found]


def rungs(text: str) -> list[float]:
    return [float(y) for y in re.findall(r'<path class="rung unasked" d="M[\d.]+ ([\d.]+)H', days_of(text))]


def test_an_empty_log_is_a_kind_sentence(log: Log) -> None:
    assert plots(log) == f"<p>{EMPTY}</p>"


def test_the_newest_session_stands_on_its_ladder(log: Log, head: Head, tried: Trier) -> None:
    log.begin(head, tried(1, Outcome.SPLIT))
    session = log.begin(replace(head, fingering="B3"), tried(1, Outcome.SPOKE))
    log.keep(session, tried(2, Outcome.NOTHING, tone=None))
    text = plots(log)
    ladder = text.partition('<svg class="ladder"')[2].partition("</svg>")[0]
    assert re.findall(r'href="#mark-(\w+)"', ladder) == ["spoke", "nothing"]
    assert "The newest practice: alto, B3, 4 May 2026, 2 tries." in text
    assert 'id="mark-spoke"' in text
    assert text.startswith("<style>")


def test_a_day_marks_what_was_reached_and_what_was_tried(log: Log, head: Head, tried: Trier) -> None:
    session = log.begin(head, tried(1, Outcome.SPOKE, wanted=2))
    for number, (outcome, wanted) in enumerate([(Outcome.OTHER, 3), (Outcome.SPOKE, 3), (Outcome.SPLIT, 4)], start=2):
        log.keep(session, tried(number, outcome, wanted=wanted))
    text = plots(log)
    kinds = [(kind, [abs(y - rung) < 0.1 for rung in rungs(text)].index(True) + 1) for kind, _, y in marks(text)]
    assert kinds == [("right", 2), ("right", 3), ("tried", 4)]
    assert "4 May 2026: reached 2, 3." in text


def test_its_rungs_are_as_far_apart_as_the_partials(log: Log, head: Head, tried: Trier) -> None:
    """Cents above the fundamental from the table in Helmholtz/Ellis (1885): 1200, 1901.96, 2400, 2786.31, 3101.96."""
    log.begin(head, tried(1, Outcome.SPOKE))
    heights = rungs(plots(log))
    above = [(heights[0] - y) / (heights[0] - heights[1]) * 1200 for y in heights]
    assert above == pytest.approx([0, 1200, 1901.96, 2400, 2786.31, 3101.96], abs=1.0)


def test_the_newest_days_stand_on_the_right_and_older_ones_are_left_away(log: Log, head: Head, tried: Trier) -> None:
    for number in range(DAYS + 5):
        log.begin(on_day(head, number), tried(1, Outcome.SPOKE if number else Outcome.SPLIT))
    text = plots(log)
    places = [x for _, x, _ in marks(text)]
    assert len(places) == DAYS
    assert places == sorted(set(places))
    assert {kind for kind, _, _ in marks(text)} == {"right"}
    dates = re.findall(r'text-anchor="(?:start|end)">(\d+ \w+ \d+)<', days_of(text))
    assert dates == ["9 May 2026", "7 June 2026"]


def test_few_days_begin_at_the_right(log: Log, head: Head, tried: Trier) -> None:
    log.begin(head, tried(1, Outcome.SPOKE))
    ((_, x, _),) = marks(plots(log))
    width = float(days_of(plots(log)).partition('viewBox="0 0 ')[2].split()[0])
    assert width - 20 < x < width - 6


def test_only_the_fingering_of_the_newest_practice_is_drawn(log: Log, head: Head, tried: Trier) -> None:
    log.begin(replace(head, fingering="B3"), tried(1, Outcome.SPOKE, wanted=5))
    log.begin(head, tried(1, Outcome.SPOKE, wanted=2))
    assert len(marks(plots(log))) == 1


def test_what_the_demo_invented_is_said_and_makes_no_days(log: Log, head: Head, tried: Trier) -> None:
    log.begin(replace(head, invented=True), tried(1, Outcome.SPOKE))
    text = plots(log)
    assert "The newest practice, invented by the demo: alto" in text
    assert 'class="days"' not in text
    log.begin(head, tried(1, Outcome.SPOKE))
    log.begin(replace(head, invented=True), tried(1, Outcome.SPOKE))
    assert len(marks(plots(log))) == 1


def test_a_partial_beyond_the_ladder_is_left_away(log: Log, head: Head, tried: Trier) -> None:
    session = log.begin(head, tried(1, Outcome.SPOKE, wanted=16))
    log.keep(session, tried(2, Outcome.SPOKE, wanted=40))
    text = plots(log)
    assert len(rungs(text)) == 16
    assert len(marks(text)) == 1


def test_words_from_outside_cannot_break_out_and_every_element_is_closed(log: Log, head: Head, tried: Trier) -> None:
    log.begin(replace(head, horn="<b>alto</b>", fingering="<i>"), tried(1, Outcome.SPOKE))
    text = plots(log)
    assert "<b>" not in text
    assert "<i>" not in text

    class Balanced(HTMLParser):
        depth = 0

        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            self.depth += 1

        def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            pass

        def handle_endtag(self, tag: str) -> None:
            self.depth -= 1

    parsed = Balanced()
    parsed.feed(text)
    assert parsed.depth == 0


def test_the_report_holds_the_same_marks_and_their_style(log: Log, head: Head, tried: Trier) -> None:
    log.begin(head, tried(1, Outcome.SPOKE))
    style = plots(log).partition("<style>")[2].partition("</style>")[0]
    assert style
    assert style in page(log, None)
    assert page(log, None).count('id="mark-spoke"') == 1
