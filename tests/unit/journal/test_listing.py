"""The list of sessions fits a terminal and tells practice from demo."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.journal.dating import Dated
from airladder.journal.listing import EMPTY, listing
from airladder.journal.records import Head
from airladder.journal.rows import Summary
from airladder.practice.judge import Outcome

COUNTS = dict.fromkeys(Outcome, 0) | {Outcome.SPOKE: 5, Outcome.CRACKED: 2, Outcome.SPLIT: 1}


def test_a_session_is_one_line_under_the_heads(head: Head) -> None:
    assert list(listing([Summary(12, head, COUNTS)], {12: Dated(head.started, True)})) == [
        "   no  started            horn      on    exercise              tries  reached",
        "   12  2026-05-04 18:03   alto      B♭3   partials rising           8        7",
    ]


def test_a_date_that_is_only_guessed_is_marked(head: Head) -> None:
    _, line = listing([Summary(12, head, COUNTS)], {12: Dated(head.started, False)})
    assert "2026-05-04 18:03?" in line


def test_what_the_demo_invented_says_so(head: Head) -> None:
    _, line = listing([Summary(1, replace(head, invented=True), COUNTS)], {1: Dated(head.started, True)})
    assert "demo (invented)" in line


def test_an_empty_log_is_one_kind_sentence() -> None:
    assert list(listing([], {})) == [EMPTY]


@pytest.fixture(scope="module")
def any_head() -> Head:
    started = datetime(2026, 5, 4, tzinfo=UTC)
    return Head(started, "demo", False, "alto", "Bb3", 440.0, "tempered", "partials rising", "0.1.0")


@given(st.integers(1, 99999), st.text(min_size=1), st.text(min_size=1), st.integers(0, 99999))
def test_no_line_is_wider_than_a_terminal(
    any_head: Head, session_id: int, horn: str, exercise: str, spoke: int
) -> None:
    head = replace(any_head, horn=horn, exercise=exercise)
    lines = listing(
        [Summary(session_id, head, COUNTS | {Outcome.SPOKE: spoke})], {session_id: Dated(head.started, False)}
    )
    assert all(len(line) <= 80 for line in lines)
