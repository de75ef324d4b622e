"""When something kinder is offered: push, failing, loudness and length, each by its own rule."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from airladder.faults import BadInput
from airladder.practice.ask import Ask, Task
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.ease import Limits, Made, Offer, Why, loud_seconds, offer, relaxed_dbfs
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.judge import Outcome
from stories import SERIES, tone

LIMITS = Limits(in_a_row=3)


def tries(count: int, outcome: Outcome = Outcome.SPOKE, wanted: int = 3, **changed: float | None) -> list[Attempt]:
    """So many, a minute long each."""
    ask = Ask(Task.PLAY, SERIES, (wanted,))
    asked = Asked.of(Exercise(Kind.RISING, SERIES, (ask,)), ask)
    heard = replace(tone(0, 60, wanted), **changed)  # type: ignore[arg-type]  # the dataclass checks the names itself
    return [Attempt(1, 60.0, wanted, outcome, heard, asked)] * count


def why(found: Offer | None) -> Why | None:
    return found.why if found else None


def test_without_tries_nothing_is_offered() -> None:
    assert offer((), 1e6, (), LIMITS) is None


@pytest.mark.parametrize(
    ("attempts", "found"),
    [
        (tries(3, push_db=-1.0), Why.PUSHED),
        (tries(3, push_db=LIMITS.push_db), Why.PUSHED),
        (tries(3, push_db=LIMITS.push_db - 0.1), None),
        (tries(2, push_db=-1.0), None),
        ([*tries(2, push_db=-1.0), *tries(1, push_db=-20.0)], None),
        ([*tries(1, push_db=-20.0), *tries(3, push_db=-1.0)], Why.PUSHED),
        ([*tries(2, push_db=-1.0), *tries(1, push_db=None)], None),
        (tries(3, Outcome.OTHER, push_db=-1.0), Why.PUSHED),
        ([replace(one, tone=None) for one in tries(3, Outcome.NOTHING)], Why.FAILING),
    ],
)
def test_pushed_is_every_one_of_the_newest(attempts: Sequence[Attempt], found: Why | None) -> None:
    assert why(offer(attempts, 60.0, (), LIMITS)) is found


@pytest.mark.parametrize(("level", "found"), [(-20.9, Why.PUSHED), (-21.1, None)])
def test_far_above_the_relaxed_level_is_a_push_as_well(level: float, found: Why | None) -> None:
    """Five easy ones at -30 dBFS; loud is more than 9 dB above them."""
    assert why(offer([*tries(5, level_dbfs=-30.0), *tries(3, level_dbfs=level)], 60.0, (), LIMITS)) is found


def test_a_turned_up_microphone_is_no_push() -> None:
    """Other days lay at -40 dBFS; today even the first tries lie far above, and the rest with them."""
    limits = replace(LIMITS, relaxed_dbfs=-40.0)
    assert offer(tries(9, level_dbfs=-20.0, push_db=-20.0, end=10.0), 60.0, (), limits) is None


@pytest.mark.parametrize("outcome", [one for one in Outcome if one not in (Outcome.SPOKE, Outcome.CRACKED)])
def test_failing_is_whatever_did_not_reach_it(outcome: Outcome) -> None:
    assert why(offer(tries(3, outcome), 60.0, (), LIMITS)) is Why.FAILING
    assert offer(tries(2, outcome), 60.0, (), LIMITS) is None
    assert offer([*tries(2, outcome), *tries(1, Outcome.CRACKED)], 60.0, (), LIMITS) is None


@pytest.mark.parametrize(("last", "found"), [(4, None), (3, None), (2, Why.FAILING)])
def test_not_again_before_as_many_further_tries(last: int, found: Why | None) -> None:
    assert why(offer(tries(5, Outcome.OTHER), 60.0, (Made(Why.PUSHED, last),), LIMITS)) is found


def test_the_easier_one_is_the_next_lower_that_went_well_on_this_tube() -> None:
    failed = tries(3, Outcome.OTHER, wanted=5)
    went_well = [*tries(1, wanted=4), *tries(1, wanted=2), *tries(1, wanted=6)]
    elsewhere = [replace(one, asked=replace(one.asked, fingering="C4")) for one in went_well if one.asked]
    slurs = [replace(one, asked=replace(one.asked, task=Task.SLUR)) for one in went_well if one.asked]
    for before, easier in ((went_well, 4), (went_well[1:], 2), (elsewhere, 1), (slurs, 1), ([], 1)):
        found = offer([*before, *failed], 60.0, (), LIMITS)
        assert found is not None
        assert found.easier == easier


def test_loud_is_loud_for_this_player_and_told_once() -> None:
    """Five relaxed minutes at -30 dBFS, then minutes 12 dB above; a softer one in between, so that none is pushed."""
    relaxed, loud = tries(5, level_dbfs=-30.0), [*tries(4, level_dbfs=-18.0), *tries(1), *tries(1, level_dbfs=-18.0)]
    quiet = replace(loud[4], tone=tone(0, 60, 3))
    assert quiet.tone is not None
    loud[4] = replace(quiet, tone=replace(quiet.tone, level_dbfs=-28.0))
    assert relaxed_dbfs(relaxed + loud, LIMITS) == -30.0
    assert loud_seconds(relaxed + loud, LIMITS) == 300.0
    assert why(offer(relaxed + loud, 900.0, (), LIMITS)) is Why.LOUD
    assert offer(relaxed + loud, 900.0, (Made(Why.LOUD, 11),), LIMITS) is None
    assert loud_seconds(relaxed + loud, replace(LIMITS, relaxed_dbfs=-20.0)) == 0.0
    assert loud_seconds(loud[:4], LIMITS) == 0.0
    assert relaxed_dbfs(relaxed[:4], LIMITS) is None


def test_long_is_told_at_its_minute_and_once() -> None:
    assert offer(tries(1), 1499.0, (), LIMITS) is None
    found = offer(tries(1), 1500.0, (), LIMITS)
    assert found is not None
    assert (found.why, found.ends) == (Why.LONG, True)
    assert offer(tries(1), 9999.0, (Made(Why.LONG, 1),), LIMITS) is None


def test_only_enough_for_the_day_offers_to_end_and_every_sentence_fits() -> None:
    found = [
        offer(tries(3, push_db=0.0), 60.0, (), LIMITS),
        offer(tries(3, Outcome.OTHER), 60.0, (), LIMITS),
        offer(tries(1, end=400.0), 60.0, (), replace(LIMITS, relaxed_dbfs=-50.0)),
        offer(tries(1), 1e4, (), LIMITS),
    ]
    assert [why(one) for one in found] == [Why.PUSHED, Why.FAILING, Why.LOUD, Why.LONG]
    assert [one.ends for one in found if one] == [False, False, False, True]
    assert all(0 < len(one.sentence) <= 75 for one in found if one)


@pytest.mark.parametrize(
    ("wrong", "told_so"),
    [
        ({"minutes": 0.0}, "minutes is 0.0; wanted 3 to 120."),
        ({"minutes": float("nan")}, "minutes is nan; wanted 3 to 120."),
        ({"minutes": None}, "minutes is None; wanted 3 to 120."),
        ({"loud_minutes": 61}, "loud_minutes is 61; wanted 0.5 to 60."),
        ({"in_a_row": 1}, "in_a_row is 1; wanted 2 to 50."),
        ({"in_a_row": 2.5}, "in_a_row is 2.5; wanted a whole number."),
        ({"in_a_row": True}, "in_a_row is True; wanted 2 to 50."),
        ({"over_db": "loud"}, "over_db is 'loud'; wanted 3 to 40."),
        ({"relaxed_dbfs": 1.0}, "relaxed_dbfs is 1.0; wanted -100 to 0."),
        ({"push_db": 30.0, "over_db": 2.0}, "over_db is 2.0; wanted 3 to 40. push_db is 30.0; wanted -30 to 20."),
    ],
)
def test_limits_out_of_bounds_are_refused(wrong: dict[str, object], told_so: str) -> None:
    with pytest.raises(BadInput) as refused:
        Limits(**wrong)  # type: ignore[arg-type]
    assert str(refused.value) == told_so
