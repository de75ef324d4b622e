"""What is called what: on made tones, one by one and joined; SPOKE is the only outcome with nothing on the way."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.hearing.events import Tone
from airladder.practice.ask import Ask, Task
from airladder.practice.judge import PASSING_SECONDS, Outcome, joined, judged, may_go_on, others, steps
from stories import SERIES, tone

SLUR = Ask(Task.SLUR, SERIES, (2, 3, 4))
PLAY = Ask(Task.PLAY, SERIES, (3,))


def path(*stood: tuple[int | None, float], partial: int | None, split: float = 0.0) -> Tone:
    end = 1.0 + sum(seconds for _, seconds in stood)
    return replace(tone(1.0, end, partial), path=stood, split=split)


@pytest.mark.parametrize(
    ("heard", "outcome"),
    [
        (path((3, 1.0), partial=3), Outcome.SPOKE),
        (path((None, 0.1), (3, 1.0), partial=3), Outcome.SPOKE),
        (path((2, 0.03), (3, 1.0), partial=3), Outcome.CRACKED),
        (path((3, 1.0), (2, 0.5), (3, 0.5), partial=3), Outcome.CRACKED),
        (path((3, 1.0), (2, 0.5), partial=2), Outcome.OTHER),
        (path((None, 1.0), partial=None), Outcome.NOTHING),
        (path((3, 1.0), partial=3, split=0.3), Outcome.SPOKE),
        (path((3, 1.0), partial=3, split=0.31), Outcome.SPLIT),
        (path((None, 1.0), partial=None, split=0.9), Outcome.SPLIT),
    ],
)
def test_one_note(heard: Tone, outcome: Outcome) -> None:
    assert judged(PLAY, [heard]) is outcome


SHORT, LONG = PASSING_SECONDS - 0.001, PASSING_SECONDS


@pytest.mark.parametrize(
    ("heard", "outcome"),
    [
        (path((2, 1), (3, 1), (4, 1), partial=4), Outcome.SPOKE),
        (path((2, 1), (None, 0.2), (3, 1), (4, 1), partial=4), Outcome.SPOKE),
        (path((2, 1), (5, SHORT), (3, 1), (4, 1), partial=4), Outcome.SPOKE),
        (path((2, 1), (5, LONG), (3, 1), (4, 1), partial=4), Outcome.CRACKED),
        (path((1, 1), (2, 1), (3, 1), (4, 1), partial=4), Outcome.CRACKED),
        (path((2, 1), (3, SHORT), (4, 1), partial=4), Outcome.OTHER),
        (path((2, 1), (4, 1), (3, 1), partial=3), Outcome.OTHER),
        (path((4, 1), (3, 1), (2, 1), partial=2), Outcome.OTHER),
        (path((2, 1), (3, 1), (4, 1), (2, 1), partial=2), Outcome.OTHER),
        (path((2, 1), (3, 1), (None, 1), partial=None), Outcome.OTHER),
        (path((None, 1), partial=None), Outcome.NOTHING),
        (path((4, 1), partial=4), Outcome.OTHER),
        (path((4, SHORT), partial=4), Outcome.OTHER),
        (path((2, SHORT), (4, SHORT), partial=4), Outcome.OTHER),
        (path((2, 1), (3, 1), (4, 1), partial=4, split=0.4), Outcome.SPLIT),
    ],
)
def test_one_slur_in_one_breath(heard: Tone, outcome: Outcome) -> None:
    assert judged(SLUR, [heard]) is outcome


@pytest.mark.parametrize(
    ("first", "second", "outcome"),
    [
        (((2, 1.0),), ((3, 1.0), (4, 1.0)), Outcome.RESTARTED),
        (((2, 1.0), (3, 1.0)), ((4, 1.0),), Outcome.RESTARTED),
        (((2, 1.0), (3, 1.0)), ((3, 1.0), (4, 1.0)), Outcome.RESTARTED),
        (((2, 1.0),), ((4, 1.0),), Outcome.OTHER),
        (((2, 1.0),), ((3, 1.0),), Outcome.OTHER),
    ],
)
def test_a_slur_begun_anew(
    first: tuple[tuple[int, float], ...], second: tuple[tuple[int, float], ...], outcome: Outcome
) -> None:
    pieces = [path(*first, partial=first[-1][0]), path(*second, partial=second[-1][0])]
    assert judged(SLUR, pieces) is outcome


@pytest.mark.parametrize(
    ("heard", "goes_on"),
    [
        (path((2, 1), partial=2), True),
        (path((2, 1), (3, 1), partial=3), True),
        (path((2, 1), (5, SHORT), (3, 1), partial=3), True),
        (path((2, 1), (3, 1), (4, 1), partial=4), False),
        (path((3, 1), partial=3), False),
        (path((2, 1), (4, 1), partial=4), False),
        (path((2, SHORT), partial=2), False),
        (path((None, 1), partial=None), False),
    ],
)
def test_what_may_go_on_is_a_right_beginning_and_nothing_else(heard: Tone, goes_on: bool) -> None:
    assert may_go_on(SLUR, [heard]) is goes_on
    assert not may_go_on(replace(PLAY, partials=(2,)), [heard])


def test_joined_pieces_begin_as_the_first_and_end_as_the_last() -> None:
    first = replace(path((2, 1.0), partial=2, split=0.1), push_db=-9.0, speak_ms=40.0)
    last = replace(path((3, 3.0), partial=3, split=0.5), start=2.2, end=5.2, push_db=0.0, speak_ms=70.0)
    whole = joined([first, last])
    assert (whole.start, whole.end, whole.partial, whole.hz) == (1.0, 5.2, 3, last.hz)
    assert (whole.attack, whole.push_db, whole.speak_ms) == (first.attack, -9.0, 40.0)
    assert whole.path == ((2, 1.0), (3, 3.0))
    assert whole.split == pytest.approx((0.1 * 1.0 + 0.5 * 3.0) / 4.0)
    assert joined([first]) is first


def test_steps_are_what_stood_and_others_are_named_once() -> None:
    heard = path((2, 0.5), (None, 0.2), (2, 0.5), (5, SHORT), (3, 0.5), (2, 0.5), (5, 0.1), partial=5)
    assert steps(heard) == (2, 3, 2, 5)
    assert others((3,), heard) == (2, 5)
