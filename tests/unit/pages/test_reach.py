"""Every function within three presses, no page without a way on, and good night from everywhere: tried, not told."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from functools import cache

import pytest

from airladder.pages.box import Box
from airladder.pages.choices import Item
from airladder.pages.page import Page
from airladder.panel.mapping import HANDS, Hand, Situation, Visit, examples, explore, likeness, pressed, situation
from airladder.practice.ask import Task
from airladder.practice.presses import Button
from airladder.practice.state import Phase
from boxes import FIRST, NEW, TODAY

BY_THEMSELVES = {Page.WAITING, Page.COMPUTER, Page.BATTERY}
"""Pages that come without a press, and go."""

ONLY_AT_FIRST = {Page.CAUTIONS}


@cache
def found() -> dict[Situation, Visit]:
    """Everything that can be reached, from a new box and from a known one."""
    return explore(*examples())


def ways(box: Box, most: int) -> dict[Situation, tuple[Hand, ...]]:
    """The shortest row of presses from a box to each situation, of at most so many."""
    reached: dict[Situation, tuple[Hand, ...]] = {situation(box): ()}
    known = {likeness(box)}
    coming: deque[tuple[Box, tuple[Hand, ...]]] = deque([(box, ())])
    while coming:
        here, way = coming.popleft()
        if len(way) == most:
            continue
        for hand in HANDS:
            there = pressed(here, hand)
            if likeness(there) not in known:
                known.add(likeness(there))
                reached.setdefault(situation(there), (*way, hand))
                coming.append((there, (*way, hand)))
    return reached


def visits(*, first: bool) -> Iterator[Visit]:
    return (visit for place, visit in found().items() if place.first is first and place.page is not Page.NIGHT)


def reaches(box: Box, page: Page, most: int) -> bool:
    return any(place.page is page for place in ways(box, most))


def test_every_page_and_every_phase_is_found() -> None:
    assert {place.page for place in found()} == set(Page)
    assert {place.phase for place in found()} == {*Phase, None} - {Phase.OVER}  # over, it is another page
    assert {place.item for place in found() if place.page is Page.SETUP and not place.first} == set(Item)
    asked = {place.task for place in found()} - {None}
    assert asked == {Task.PLAY, Task.USUAL, Task.SLUR, Task.SING}


def test_every_page_is_three_presses_from_today() -> None:
    reached = {place.page for place in ways(TODAY, 3)}
    assert reached == set(Page) - BY_THEMSELVES - ONLY_AT_FIRST


@pytest.mark.parametrize("item", Item)
def test_every_choice_is_three_presses_from_today(item: Item) -> None:
    assert any(place.item is item and place.page is Page.SETUP for place in ways(TODAY, 3))


def test_practice_and_free_playing_are_three_presses_from_today() -> None:
    practices = [place for place in ways(TODAY, 3) if place.page is Page.PRACTICE]
    assert {place.free for place in practices} == {False, True}


def test_other_routines_are_begun_within_three_presses_from_today() -> None:
    box = pressed(pressed(TODAY, (Button.BACK, False)), (Button.UP, False))
    assert box.page is Page.ROUTINES
    assert pressed(box, (Button.OK, False)).page is Page.PRACTICE


def test_today_is_three_presses_from_everywhere() -> None:
    late = [situation(visit.box) for visit in visits(first=False) if not reaches(visit.box, Page.TODAY, 3)]
    assert late == []


def test_good_night_is_three_presses_from_everywhere_also_in_the_first_run() -> None:
    places = [*visits(first=False), *visits(first=True)]
    late = [situation(visit.box) for visit in places if not reaches(visit.box, Page.NIGHT, 3)]
    assert late == []


def test_every_page_of_a_first_run_has_a_way_on() -> None:
    """OK alone leads through it, and every page of it leads to today at last."""
    box, pages = FIRST, [FIRST.page]
    for _ in range(20):
        if box.page is Page.TODAY:
            break
        box = pressed(box, (Button.OK, False))
        pages.append(box.page)
    assert list(dict.fromkeys(pages)) == [Page.SETUP, Page.CAUTIONS, Page.LEVEL, Page.TODAY]
    assert len(list(visits(first=True))) >= 7
    assert all(reaches(visit.box, Page.TODAY, 12) for visit in visits(first=True))


def test_a_session_goes_on_by_itself_from_whatever_does_not_wait_for_the_player() -> None:
    for place, visit in found().items():
        if place.phase in (Phase.GUESS, Phase.RESULT, Phase.SUNG, Phase.REST) or place.task is Task.SING:
            assert visit.happenings["silence"] != place


def test_every_press_of_every_situation_is_in_the_map_and_leads_into_it() -> None:
    for visit in found().values():
        assert set(visit.presses) == set(HANDS)
        assert {*visit.presses.values(), *visit.happenings.values()} <= set(found())


def test_what_stands_for_a_situation_is_in_it() -> None:
    assert all(situation(visit.box) == place for place, visit in found().items())
    assert situation(NEW).first is True
    assert next(iter(found())) == situation(NEW)
