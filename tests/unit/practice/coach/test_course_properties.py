"""What holds of every way, whatever was practised."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from airladder.practice.coach.course import Course, Leg
from airladder.practice.coach.following import course
from airladder.practice.coach.history import History, Tally
from airladder.practice.coach.rules import Rules
from learners.days import LOW, day, histories, ways

EAGER = Rules(
    plateau_days=7,
    plateau_tries=20,
    newest_days=3,
    agree_days=1,
    headway_z=1.0,
    detour_days=2,
    detour_patience=4,
    back_days=3,
    back_patience=6,
    rest_days=5,
    rest_most=20,
)
"""Rules under which much happens in few days."""


def steps(history: History) -> list[Course]:
    return [course(history[:count], EAGER) for count in range(len(history) + 1)]


@settings(deadline=None, max_examples=60)
@given(ways())
def test_every_step_follows_from_the_one_before(history: History) -> None:
    """LONG leads to DETOUR by a plateau, DETOUR to BACK, BACK to LONG by a verdict; and nothing is unsaid."""
    told = steps(history)
    for before, after in pairwise(told):
        assert after.plateaus[: len(before.plateaus)] == before.plateaus
        assert after.detours[: len(before.detours)] == before.detours
        moved = (before.leg, after.leg)
        called = len(after.plateaus) - len(before.plateaus)
        judged = len(after.detours) - len(before.detours)
        assert called == (moved == (Leg.LONG, Leg.DETOUR))
        assert judged == (moved == (Leg.BACK, Leg.LONG))
        assert before.leg is after.leg or moved in {
            (Leg.LONG, Leg.DETOUR),
            (Leg.DETOUR, Leg.BACK),
            (Leg.BACK, Leg.LONG),
        }


@settings(deadline=None, max_examples=60)
@given(ways())
def test_off_the_long_way_there_is_a_plateau_and_days_are_left(history: History) -> None:
    for now in steps(history):
        away = now.leg is not Leg.LONG
        assert (now.plateau is not None) == away
        assert (now.days_left > 0) == away
        assert len(now.plateaus) == len(now.detours) + away
        if away:
            assert now.plateau == now.plateaus[-1]
            assert now.days_left <= max(EAGER.detour_days, EAGER.back_days)


@settings(deadline=None, max_examples=60)
@given(ways())
def test_every_detour_lies_after_its_plateau_and_no_longer_than_patience(history: History) -> None:
    found = course(history, EAGER)
    for plateau, detour in zip(found.plateaus, found.detours, strict=False):
        assert detour.plateau == plateau
        assert detour.first == plateau.day + 1
        assert EAGER.detour_days <= detour.last - plateau.day <= EAGER.detour_patience


@settings(deadline=None, max_examples=60)
@given(ways(), st.lists(st.tuples(st.sampled_from(((LOW, 1), ("D4", 1), (LOW, 16), ("?", 3))), st.booleans())))
def test_what_is_practised_elsewhere_changes_nothing(
    history: History, extra: list[tuple[tuple[str, int], bool]]
) -> None:
    """Fundamentals, a partial far out of reach that fails, a fingering of another world."""
    more = [Tally(*rung, 6, 0 if rung[1] == 16 else 6 * right) for rung, right in extra]
    assert course(tuple(day(*one.tallies, *more) for one in history), EAGER) == course(history, EAGER)


@settings(deadline=None, max_examples=100)
@given(histories())
def test_nothing_crashes_and_the_same_days_say_the_same(history: History) -> None:
    assert course(history) == course(history)
    assert course(history, EAGER) == course(history, EAGER)


def test_ways_of_every_kind_come_about() -> None:
    """So that the properties above cannot hold of nothing."""
    seen: set[Leg] = set()
    verdicts: set[bool | None] = set()

    @settings(deadline=None, max_examples=200, database=None, derandomize=True)
    @given(ways())
    def look(history: History) -> None:
        found = course(history, EAGER)
        seen.add(found.leg)
        verdicts.update(detour.helped for detour in found.detours)

    look()
    assert seen == set(Leg)
    assert verdicts == {True, False, None}
