"""When the cents are told: outside a band, and together after so many tries."""

from __future__ import annotations

import pytest

from airladder.practice.feedback import AT_ONCE, Feedback


@pytest.mark.parametrize("tries", [1, 2, 7])
@pytest.mark.parametrize("cents", [-40.0, 0.0, 0.1])
def test_at_once_tells_everything(cents: float, tries: int) -> None:
    assert AT_ONCE.tells(cents, tries)
    assert AT_ONCE.tells_live(cents)
    assert AT_ONCE.is_live


@pytest.mark.parametrize(("cents", "told"), [(0.0, False), (9.9, False), (-9.9, False), (10.0, True), (-10.0, True)])
def test_inside_the_band_nothing_is_said(cents: float, told: bool) -> None:
    banded = Feedback(band_cents=10.0)
    assert banded.tells(cents, 1) is told
    assert banded.tells_live(cents) is told


def test_they_are_told_together_after_so_many_tries_and_never_while_it_sounds() -> None:
    every_third = Feedback(every=3)
    assert [tries for tries in range(1, 10) if every_third.tells(30.0, tries)] == [3, 6, 9]
    assert not every_third.is_live
    assert not every_third.tells_live(30.0)


def test_both_together() -> None:
    both = Feedback(band_cents=10.0, every=2)
    assert [both.tells(cents, tries) for cents, tries in ((20, 1), (20, 2), (5, 2))] == [False, True, False]
