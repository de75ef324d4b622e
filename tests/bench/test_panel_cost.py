"""The measure of what the screen costs: its arithmetic, and the share of this computer's core."""

from __future__ import annotations

import pytest

from bench.panel_cost import ALLOWED_SHARE, STEPS, by_step, cpu_seconds, total


def test_each_step_is_told_without_the_steps_before_it_and_without_the_start() -> None:
    each = dict(zip(STEPS, (1.0, 20.0, 300.0, 4000.0), strict=True))

    def cost(step: str, count: int) -> float:
        return 77.0 + count * sum(each[s] for s in STEPS[: STEPS.index(step) + 1])

    told = by_step(cost)
    assert told == pytest.approx({step: 10 * cost for step, cost in each.items()})
    assert total(told) == pytest.approx(43200.0)


def test_ten_pictures_a_second_take_less_than_the_allowed_share_of_this_core() -> None:
    used = by_step(cpu_seconds)
    assert 0 < total(used) < ALLOWED_SHARE
    assert used["drawing"] > 0
