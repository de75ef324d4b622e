"""The way told as stories: sticking, the detour, back, and the verdict."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import cycle, islice, pairwise

import pytest

from airladder.practice.coach.course import Course, Leg
from airladder.practice.coach.following import course
from airladder.practice.coach.history import History, Rung
from airladder.practice.coach.rules import Rules
from learners.days import LOW, RUNG, SHORT, day, days, detour

RULES = Rules()
SURE = RULES.plateau_days + RULES.agree_days - 1


def stuck(count: int, rung: Rung = RUNG) -> History:
    """About 1 of 6, day in, day out."""
    return days(rung, islice(cycle([(6, 1)]), count))


TO_PLATEAU = stuck(SURE)
TO_BACK = TO_PLATEAU + detour(5)


def test_without_history_the_way_begins_on_the_long_fingerings() -> None:
    assert course(()) == Course()


def test_a_plateau_is_called_after_thirty_days_and_three_looks_that_agree() -> None:
    assert course(TO_PLATEAU[:-1]).leg is Leg.LONG
    found = course(TO_PLATEAU)
    assert (found.leg, found.days_left) == (Leg.DETOUR, 5)
    assert found.plateau is not None
    assert found.plateaus == (found.plateau,)
    assert (found.plateau.rung, found.plateau.day) == (RUNG, SURE - 1)
    assert found.plateau.sentence == (
        "Partial 3 on low B flat has spoken in about 1 of 6 tries over 30 days of practice, "
        "with no upward trend; the shorter fingerings may loosen it."
    )


def test_who_gets_on_is_on_no_plateau() -> None:
    rising = days(RUNG, [(10, 1 + n // 8) for n in range(60)])
    assert course(rising).plateaus == ()


def test_who_mostly_succeeds_is_on_no_plateau() -> None:
    assert course(days(RUNG, [(6, 4)] * 100)).plateaus == ()


def test_with_one_try_a_day_it_takes_as_many_tries() -> None:
    found = course(days(RUNG, [(1, 0)] * 200))
    assert found.plateaus[0].day + 1 == RULES.plateau_tries + RULES.agree_days - 1


def test_the_short_fingerings_have_no_plateaus() -> None:
    assert course(stuck(200, (SHORT, 3))).plateaus == ()


def test_a_rung_out_of_reach_has_no_plateau() -> None:
    assert course(stuck(200, (LOW, 7))).plateaus == ()


def test_a_stubborn_rung_below_a_known_one_has_no_plateau() -> None:
    assert course(tuple(day((LOW, 3, 6, 1), (LOW, 4, 6, 6)) for _ in range(100))).plateaus == ()


def test_days_on_another_fingering_do_not_count_and_do_not_disturb() -> None:
    """A player who changes to and fro is judged at each rung by the tries there."""
    mixed = tuple(one for pair in zip(stuck(SURE), stuck(SURE, ("D4", 3)), strict=True) for one in pair)
    found = course(mixed)
    assert found.plateaus[0].rung == RUNG
    assert found.plateaus[0].day == 2 * (SURE - 1)


def test_the_detour_lasts_five_days_on_the_short_fingerings() -> None:
    assert [course(TO_PLATEAU + detour(n)).days_left for n in range(5)] == [5, 4, 3, 2, 1]
    found = course(TO_BACK)
    assert (found.leg, found.days_left, found.detours) == (Leg.BACK, 7, ())


def test_days_without_them_do_not_count_but_hold_nobody() -> None:
    ignored = TO_PLATEAU + stuck(4)
    assert (course(ignored).leg, course(ignored).days_left) == (Leg.DETOUR, 5)
    assert course(ignored + detour(1)).days_left == 4
    assert course(TO_PLATEAU + stuck(9)).days_left == 1
    assert course(TO_PLATEAU + stuck(10)).leg is Leg.BACK


def test_a_fundamental_on_a_short_fingering_is_no_detour() -> None:
    assert course(TO_PLATEAU + days((SHORT, 1), [(6, 6)])).days_left == 5


@pytest.mark.parametrize(
    ("results", "helped", "end"),
    [
        ([(6, 3)] * 7, True, "and in about 1 of 2 tries after: it has moved."),
        ([(9, 1)] * 7, False, "and in about 1 of 8 tries after: much the same."),
        ([(3, 1)] * 7, None, "and in about 1 of 3 tries after: too soon to tell."),
    ],
)
def test_the_verdict_comes_after_seven_days_back(
    results: list[tuple[int, int]], helped: bool | None, end: str
) -> None:
    back = days(RUNG, results)
    assert course(TO_BACK + back[:-1]).detours == ()
    found = course(TO_BACK + back)
    assert found.leg is Leg.LONG
    (told,) = found.detours
    assert (told.helped, told.first, told.last) == (helped, SURE, SURE + 4)
    start = "Partial 3 on low B flat spoke in about 1 of 6 tries before 5 days on the shorter fingerings, "
    assert told.sentence == start + end


def test_a_rung_that_is_known_ends_the_days_back_early() -> None:
    found = course(TO_BACK + days(RUNG, [(7, 7)] * 3))
    assert found.leg is Leg.LONG
    assert found.detours[0].helped is True


def test_a_detour_that_was_not_taken_is_neither_praised_nor_blamed() -> None:
    found = course(TO_PLATEAU + stuck(10) + days(RUNG, [(6, 3)] * 7))
    assert found.detours[0].helped is None
    assert found.detours[0].sentence.endswith(
        "spoke in about 1 of 6 tries; the shorter fingerings were not practised, so nothing can be said of them."
    )


def test_who_goes_elsewhere_is_not_held_either() -> None:
    found = course(TO_BACK + stuck(21, ("D4", 3)))
    assert (found.leg, found.detours[0].helped) == (Leg.LONG, None)
    assert found.detours[0].sentence.endswith("it was not tried since, so nothing can be said yet.")


def calls(history: History, rules: Rules = RULES) -> list[int]:
    return [plateau.day for plateau in course(history, rules).plateaus]


def test_after_a_detour_there_is_rest_and_longer_rest_when_it_did_not_help() -> None:
    """Detour 5, back 7, rest 56 (twice 28, for it did not help), then three looks."""
    back = days(RUNG, [(9, 1)] * 7)
    first, second = calls(TO_BACK + back + days(RUNG, [(9, 1)] * 120))[:2]
    assert second - first == 5 + 7 + 56 + RULES.agree_days


def test_a_detour_that_helped_keeps_the_rest_short() -> None:
    first, second = calls(TO_BACK + days(RUNG, [(6, 3)] * 7) + stuck(120))[:2]
    assert second - first == 5 + 7 + 28 + RULES.agree_days


def test_rest_grows_to_its_limit_only() -> None:
    """Ten days of each detour are ignored, seven are back; rest 56, then 112 ever after."""
    found = calls(stuck(1000))
    gaps = [later - earlier for earlier, later in pairwise(found)]
    assert gaps == [10 + 7 + 56 + 3] + [10 + 7 + 112 + 3] * (len(gaps) - 1)
    assert len(gaps) > 3


def test_no_date_changes_anything() -> None:
    dates = (date(1970, 1, 1), date(2038, 1, 19), date(2025, 6, 1), date(2025, 6, 1))
    labels = cycle([label.toordinal() for label in dates])
    history = TO_BACK + days(RUNG, [(6, 3)] * 7)
    assert course(tuple(replace(one, date=next(labels)) for one in history)) == course(history)


def test_what_a_rung_did_before_it_was_known_is_no_part_of_a_later_plateau() -> None:
    learnt = days(RUNG, [(6, 1)] * 25 + [(7, 7)] * 4)
    lost = days(RUNG, [(7, 1)] * 40)
    assert calls(learnt + lost)[0] > len(learnt) + RULES.plateau_days
