"""The numbers of the coach's judgement: bounds, contradictions, and what is printed of them."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import pytest

from airladder.faults import BadInput
from airladder.practice.coach.rules import Evidence, Rules, reasons


def test_the_intervals_are_those_of_95_per_cent() -> None:
    assert Rules().z == pytest.approx(1.959964, abs=1e-6)  # the table of the normal curve in any handbook


@pytest.mark.parametrize(
    ("name", "value", "told"),
    [
        ("surety", 1.0, "surety is 1; wanted 0.8 to 0.999."),
        ("surety", float("nan"), "surety is nan; wanted 0.8 to 0.999."),
        ("known_days", 0, "known_days is 0; wanted 2 to 14."),
        ("known_days", 3.5, "known_days is 3.5; wanted a whole number."),
        ("gap", True, "gap is True; wanted a whole number."),
        ("worth_gain", "much", "worth_gain is 'much'; wanted a number."),
    ],
)
def test_a_number_out_of_bounds_is_told(name: str, value: Any, told: str) -> None:
    with pytest.raises(BadInput) as fault:
        Rules(**{name: value})
    assert str(fault.value) == told


@pytest.mark.parametrize("item", fields(Rules), ids=lambda item: item.name)
def test_every_number_has_bounds_that_are_heeded(item: Any) -> None:
    for beyond in (item.metadata["low"] - 1, item.metadata["high"] + 1):
        with pytest.raises(BadInput, match=f"^{item.name} is "):
            Rules(**{item.name: beyond})


def test_two_faults_are_told_at_once() -> None:
    with pytest.raises(BadInput) as fault:
        Rules(gap=-1, cold_weight=0.0)
    assert str(fault.value) == "cold_weight is 0; wanted 1 to 5. gap is -1; wanted 0 to 4."


def test_numbers_that_contradict_each_other_are_told() -> None:
    with pytest.raises(BadInput) as fault:
        Rules(detour_days=12)
    wanted = "wanted detour_days to be no more than detour_patience."
    assert str(fault.value) == f"detour_days is 12 and detour_patience is 10; {wanted}"


def test_every_number_says_why_in_a_sentence_and_how_well_it_is_known() -> None:
    told = reasons(Rules(plateau_days=40))
    assert [reason.name for reason in told] == [item.name for item in fields(Rules)]
    assert next(reason for reason in told if reason.name == "plateau_days").value == 40
    for reason in told:
        assert reason.low <= reason.value <= reason.high
        assert isinstance(reason.evidence, Evidence)
        assert reason.why[0].isupper()
        assert reason.why.endswith(".")
