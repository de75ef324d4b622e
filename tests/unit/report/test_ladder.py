"""The ladder's rungs lie as the partials do, and its marks say the cents."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from airladder.journal.records import Head, Session
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome
from airladder.report.ladder import ladder

Trier = Callable[..., Attempt]
Drawn = Callable[..., str]


@pytest.fixture
def drawn(head: Head) -> Drawn:
    return lambda *attempts: ladder(Session(1, head, attempts), "session-1")


def rungs(picture: str) -> list[float]:
    """Heights of the rungs, partial 1 first, px down from the top."""
    return [float(y) for y in re.findall(r'<path class="rung[^"]*" d="M[\d.]+ ([\d.]+)H', picture)]


def marks(picture: str) -> list[tuple[str, float, float]]:
    found = re.findall(r'<use href="#mark-(\w+)" x="([\d.]+)" y="([\d.]+)"', picture)
    return [(outcome, float(x), float(y)) for outcome, x, y in found]


def lines(picture: str, kind: str) -> list[float]:
    return [float(x) for x in re.findall(rf'<path class="{kind}" d="M([\d.]+) ', picture)]


def test_rungs_are_as_far_apart_as_the_partials(drawn: Drawn, tried: Trier) -> None:
    """Cents above the fundamental from the table in Helmholtz/Ellis (1885): 1200, 1901.96, 2400, 2786.31, 3101.96."""
    heights = rungs(drawn(tried(1)))
    above = [(heights[0] - y) / (heights[0] - heights[1]) * 1200 for y in heights]
    assert above == pytest.approx([0, 1200, 1901.96, 2400, 2786.31, 3101.96], abs=1.0)


def test_the_ladder_reaches_the_highest_partial_asked_for_or_sounded(drawn: Drawn, tried: Trier) -> None:
    assert len(rungs(drawn(tried(1, wanted=2, partial=1)))) == 6
    assert len(rungs(drawn(tried(1, wanted=8)))) == 8
    assert len(rungs(drawn(tried(1, wanted=2, partial=11)))) == 11
    assert len(rungs(drawn(tried(1, wanted=2, partial=99)))) == 16


def test_rungs_that_were_asked_for_are_told_from_the_others(drawn: Drawn, tried: Trier) -> None:
    kinds = re.findall(r'<path class="(rung[^"]*)"', drawn(tried(1, wanted=2), tried(2, wanted=4)))
    assert [number for number, kind in enumerate(kinds, 1) if kind == "rung"] == [2, 4]


@pytest.mark.parametrize(("cents", "share"), [(0.0, 0.0), (-50.0, -1.0), (50.0, 1.0), (25.0, 0.5), (400.0, 1.1)])
def test_a_mark_stands_by_its_cents_on_the_rung_that_sounded(
    drawn: Drawn, tried: Trier, cents: float, share: float
) -> None:
    picture = drawn(tried(1, Outcome.OTHER, wanted=4, partial=3, cents=cents))
    left, right = lines(picture, "rail")
    (middle,) = lines(picture, "middle")
    ((outcome, x, y),) = marks(picture)
    assert outcome == "other"
    assert x == pytest.approx(middle + share * (right - left) / 2)
    assert y == pytest.approx(rungs(picture)[2])


@pytest.mark.parametrize(
    "changes",
    [{"tone": None}, {"partial": None, "cents": None}, {"cents": None}],
    ids=["silence", "no partial", "no cents"],
)
def test_a_try_without_cents_stands_beside_the_rail_at_the_rung_that_was_asked_for(
    drawn: Drawn, tried: Trier, changes: dict[str, object]
) -> None:
    picture = drawn(tried(1, Outcome.NOTHING, wanted=2, **changes))
    ((outcome, x, y),) = marks(picture)
    assert outcome == "nothing"
    assert x > lines(picture, "rail")[1] + 10
    assert y == rungs(picture)[1]


def test_tries_on_one_rung_do_not_hide_each_other(drawn: Drawn, tried: Trier) -> None:
    places = [(x, y) for _, x, y in marks(drawn(*(tried(number) for number in range(1, 6))))]
    assert len(set(places)) == 5


def test_every_outcome_has_a_mark_of_its_own(drawn: Drawn, tried: Trier) -> None:
    picture = drawn(*(tried(number, outcome) for number, outcome in enumerate(Outcome, 1)))
    assert {outcome for outcome, _, _ in marks(picture)} == {outcome.value for outcome in Outcome}


def test_all_marks_stay_inside_the_picture(drawn: Drawn, tried: Trier) -> None:
    silent = [tried(number, Outcome.NOTHING, tone=None) for number in range(1, 9)]
    picture = drawn(*silent, tried(9, cents=-900.0), tried(10, cents=900.0))
    width = float(picture.partition('viewBox="0 0 ')[2].split()[0])
    assert all(6 < x < width - 6 for _, x, _ in marks(picture))
