"""What a press turns: every choice comes round, whatever was set; A4 stops where players stop."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS
from airladder.music.series import Against
from airladder.pages.choices import FIRST_ITEMS, ITEMS, Choices, Item, Place, turned
from airladder.practice.state import Aloud

horns = st.sampled_from(list(HORNS.values()))
settings = horns.flatmap(
    lambda horn: st.builds(
        Choices,
        st.just(horn),
        st.sampled_from(list(fingerings_of(horn).values())),
        st.floats(430.0, 450.0),
        st.sampled_from(Against),
        st.sampled_from(Aloud),
        st.sampled_from(Place),
    )
)
LISTS = tuple(item for item in ITEMS if item is not Item.A4)


def length(choices: Choices, item: Item) -> int:
    lists = {
        Item.HORN: len(HORNS),
        Item.FINGERING: len(fingerings_of(choices.horn)),
        Item.AGAINST: len(Against),
        Item.ALOUD: len(Aloud),
    }
    return lists[item]


def value(choices: Choices, item: Item) -> object:
    return getattr(choices, item.value)


@given(settings, st.sampled_from(LISTS))
def test_a_list_shows_all_it_has_and_comes_round(choices: Choices, item: Item) -> None:
    seen, here = [], choices
    for _ in range(length(choices, item)):
        seen.append(value(here, item))
        here = turned(here, item, 1)
    assert len(set(seen)) == len(seen) == length(choices, item)
    assert value(here, item) == value(choices, item)


@given(settings, st.sampled_from(LISTS))
def test_one_up_and_one_down_is_where_one_was(choices: Choices, item: Item) -> None:
    there_and_back = turned(turned(choices, item, 1), item, -1)
    assert value(there_and_back, item) == value(choices, item)
    if item is not Item.HORN or str(choices.fingering) in fingerings_of(turned(choices, item, 1).horn):
        assert there_and_back == choices


@given(settings, st.sampled_from(ITEMS), st.sampled_from([-1, 1]))
def test_only_what_is_turned_changes_but_a_horn_may_lack_the_fingering(choices: Choices, item: Item, by: int) -> None:
    then = turned(choices, item, by)
    changed = {one for one in ITEMS if value(then, one) != value(choices, one)}
    lacks = item is Item.HORN and str(choices.fingering) not in fingerings_of(then.horn)
    assert changed <= {item, *([Item.FINGERING] if lacks else [])}
    assert then.place is choices.place
    assert then.fingering in fingerings_of(then.horn).values()


def test_low_a_of_the_baritone_becomes_low_b_flat_where_it_is_missing() -> None:
    """Only the baritone has a low A (common practice)."""
    low_a = Choices(HORNS["baritone"], fingerings_of(HORNS["baritone"])["A3"])
    others = [turned(low_a, Item.HORN, by) for by in range(1, len(HORNS))]
    assert {str(other.fingering) for other in others} == {"Bb3"}


@given(settings, st.sampled_from([-1, 1]))
def test_a4_goes_by_whole_hertz_and_stops_at_430_and_450(choices: Choices, by: int) -> None:
    """Players tune to 438 to 446 Hz; 430 to 450 are allowed (shared/trade.md)."""
    here = choices
    for _ in range(25):
        before, here = here.a4, turned(here, Item.A4, by)
        assert here.a4 == int(here.a4)
        assert abs(here.a4 - before) <= 1.5
        assert (here.a4 - before) * by > 0 or here.a4 in (430.0, 450.0)
    assert here.a4 == (450.0 if by > 0 else 430.0)


def test_the_series_is_that_of_what_is_chosen() -> None:
    """Low B flat of an alto sounds D flat 3, 138.591 Hz at A4 = 440 Hz (MIDI Tuning Standard)."""
    assert Choices().series.fundamental_hz == pytest.approx(138.591, abs=0.001)
    assert Choices(a4=442.0).series.fundamental_hz == pytest.approx(138.591 * 442 / 440, abs=0.001)


def test_the_first_run_asks_for_horn_fingering_and_a4() -> None:
    assert [item.value for item in FIRST_ITEMS] == ["horn", "fingering", "a4"]
    assert ITEMS[: len(FIRST_ITEMS)] == FIRST_ITEMS
