"""What is said of the box's own condition: once, with a way back, and a battery that ends nothing by mistake."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.appliance.condition import (
    COOL_C,
    EMPTY_LOOKS,
    HOT_C,
    LOW,
    ROOMY_MB,
    TIGHT_MB,
    WELL,
    Condition,
    Measured,
)
from airladder.devices.gauge import Charge
from airladder.pages.events import Battery, Leave
from airladder.pages.vitals import Vitals
from airladder.practice.session import Trouble

FULL = Measured(Charge(0.9, 4.1, -8.0), 45.0, False, 900)


def besides(news: list[object]) -> list[object]:
    return [one for one in news if not isinstance(one, Vitals)]


def fed(condition: Condition, measured: Measured) -> list[object]:
    return besides(list(condition.fed(measured)))


def at(fraction: float, rate: float = -8.0, volts: float = 3.7) -> Measured:
    return replace(FULL, charge=Charge(fraction, volts, rate))


def test_when_all_is_well_only_the_vitals_are_told() -> None:
    (vitals,) = Condition("0.1.0").fed(FULL)
    assert vitals == Vitals(0.9, False, 0.9 * 100 / 8.0, 45.0, False, 900, "0.1.0")


def test_low_is_told_once_and_well_only_when_it_is_clearly_well() -> None:
    condition = Condition("")
    assert fed(condition, at(LOW)) == [Battery(low=True)]
    assert fed(condition, at(LOW)) == []
    assert fed(condition, at((LOW + WELL) / 2)) == []
    assert fed(condition, at(WELL + 0.01)) == [Battery(low=False)]


def test_a_charger_ends_the_warning_at_once() -> None:
    condition = Condition("")
    fed(condition, at(LOW))
    (vitals, news) = condition.fed(at(LOW, rate=20.0))
    assert news == Battery(low=False)
    assert isinstance(vitals, Vitals)
    assert (vitals.charging, vitals.hours) == (True, None)


@pytest.mark.parametrize("empty", [at(0.02), at(0.3, volts=3.1)])
def test_an_empty_battery_says_good_night_only_when_it_is_found_so_again(empty: Measured) -> None:
    condition = Condition("")
    for _ in range(EMPTY_LOOKS - 1):
        assert Leave(empty=True) not in fed(condition, empty)
    assert fed(condition, empty)[-1] == Leave(empty=True)


def test_one_bad_look_among_good_ones_ends_no_practice() -> None:
    condition = Condition("")
    for _ in range(10):
        assert Leave(empty=True) not in fed(condition, at(0.0))
        assert Leave(empty=True) not in fed(condition, at(0.5))


def test_an_empty_battery_on_the_charger_goes_on() -> None:
    condition = Condition("")
    assert [fed(condition, at(0.01, rate=30.0)) for _ in range(5)] == [[]] * 5


def test_without_a_gauge_nothing_is_said_of_a_battery() -> None:
    condition = Condition("")
    assert fed(condition, Measured()) == []


def test_hot_and_weak_and_tight_are_troubles_that_come_and_go_once() -> None:
    condition = Condition("")
    bad = replace(FULL, celsius=HOT_C + 1.0, weak_supply=True, free_mb=TIGHT_MB - 1)
    come = fed(condition, bad)
    assert [one.about for one in come if isinstance(one, Trouble) and one.sentence] == ["warmth", "supply", "room"]
    assert "81 degrees" in str(come[0])
    between = replace(FULL, celsius=(HOT_C + COOL_C) / 2, weak_supply=True, free_mb=(TIGHT_MB + ROOMY_MB) // 2)
    assert fed(condition, between) == []
    gone = fed(condition, FULL)
    assert gone == [Trouble("warmth", ""), Trouble("supply", ""), Trouble("room", "")]


def test_that_the_supply_was_weak_is_remembered_on_the_page() -> None:
    condition = Condition("")
    condition.fed(replace(FULL, weak_supply=True))
    (vitals, *_) = condition.fed(FULL)
    assert isinstance(vitals, Vitals)
    assert vitals.weak_supply is True


@given(st.lists(st.floats(0.0, 1.0), max_size=60))
def test_low_and_well_always_take_turns(fractions: list[float]) -> None:
    condition = Condition("")
    told = [one for f in fractions for one in fed(condition, at(f, volts=3.8)) if isinstance(one, Battery)]
    assert [one.low for one in told] == [n % 2 == 0 for n in range(len(told))]
