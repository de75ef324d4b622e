"""What each press does on each page: a table, and what it means to hold a button."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.pages.box import DARK_SECONDS, Box
from airladder.pages.choices import ITEMS, Item, Place
from airladder.pages.events import Computer, Idle, Looked
from airladder.pages.hands import WEEKS
from airladder.pages.page import Page
from airladder.practice.cautions import FIRST_RUN
from airladder.practice.presses import Button, Press
from boxes import (
    BACK,
    DOWN,
    DOWN_HELD,
    FIRST,
    FOOT,
    FOOT_HELD,
    NIGHT,
    OK,
    OK_HELD,
    PAGES,
    TODAY,
    UP,
    UP_HELD,
    after,
    done,
    held_on,
    on,
)

TABLE = {  # page: (BACK, DOWN, UP, OK)
    Page.WAITING: ("night", "waiting", "waiting", "today"),
    Page.TODAY: ("more", "set-up", "days", "practice"),
    Page.SETUP: ("today", "set-up", "set-up", "set-up"),
    Page.DAYS: ("today", "days", "days", "date"),
    Page.DATE: ("days", "date", "date", "date"),
    Page.MORE: ("today", "practice", "routines", "level"),
    Page.LEVEL: ("more", "level", "level", "today"),
    Page.ROUTINES: ("more", "routines", "routines", "practice"),
    Page.NIGHT: ("night", "night", "night", "night"),
}


@pytest.mark.parametrize("page", TABLE)
def test_every_press_on_every_page(page: Page) -> None:
    assert on(page).page is page
    assert tuple(after(on(page), press).page.value for press in (BACK, DOWN, UP, OK)) == TABLE[page]


@pytest.mark.parametrize("page", PAGES)
def test_the_foot_does_as_ok_and_held_as_up(page: Page) -> None:
    for foot, hand in ((FOOT, OK), (FOOT_HELD, UP)):
        (box, effects), (other, others) = done(on(page), foot), done(on(page), hand)
        assert (replace(box, spent=None), effects) == (replace(other, spent=None), others)


@pytest.mark.parametrize("page", [page for page in PAGES if page is not Page.PRACTICE])
def test_back_held_says_good_night_from_every_page(page: Page) -> None:
    assert after(on(page), NIGHT).page is Page.NIGHT


# ---- set-up


def test_ok_goes_from_choice_to_choice_and_held_goes_back() -> None:
    box, seen = on(Page.SETUP), []
    for _ in range(len(ITEMS) + 1):
        seen.append(box.item)
        box = after(box, OK)
    assert seen == [*ITEMS, Item.HORN]
    assert after(on(Page.SETUP), OK_HELD).item is ITEMS[-1]
    assert after(on(Page.SETUP), OK, OK_HELD).item is Item.HORN


def test_down_and_up_turn_the_choice_that_is_shown_and_go_on_while_they_are_held() -> None:
    a4 = after(on(Page.SETUP), OK, OK)
    assert after(a4, UP).choices.a4 == 441.0
    assert after(a4, DOWN).choices.a4 == 439.0
    assert after(a4, UP_HELD, *held_on(UP, 4)).choices.a4 == 445.0
    assert after(a4, FOOT_HELD, *held_on(FOOT, 2)).choices.a4 == 443.0


def test_the_first_run_goes_through_what_is_needed_and_back_only_within_it() -> None:
    box = after(FIRST, OK)
    assert (box.item, after(box, BACK).item, after(box, BACK, BACK).page) == (Item.FINGERING, Item.HORN, Page.SETUP)
    last = after(box, OK)
    assert (last.item, after(last, OK_HELD).item, after(last, OK).page) == (
        Item.A4,
        Item.FINGERING,
        Page.CAUTIONS,
    )
    assert after(FIRST, OK_HELD).item is Item.HORN


def test_each_caution_is_read_by_a_press_of_its_own_and_may_be_read_again() -> None:
    box = after(FIRST, OK, OK, OK)
    for number in range(len(FIRST_RUN)):
        assert (box.page, box.read) == (Page.CAUTIONS, number)
        assert all(replace(after(box, press), spent=box.spent) == box for press in (UP, DOWN))
        assert after(box, BACK).read == max(0, number - 1)
        box = after(box, OK)
    assert box.page is Page.LEVEL


def test_the_level_of_the_first_run_has_no_way_but_on() -> None:
    box = after(FIRST, OK, OK, OK, *([OK] * len(FIRST_RUN)))
    assert (box.page, after(box, BACK).page, after(box, OK).page) == (Page.LEVEL, Page.LEVEL, Page.TODAY)


def test_the_place_of_the_microphone_is_left_or_right() -> None:
    box = after(on(Page.LEVEL), UP)
    assert (box.choices.place, after(box, UP).choices.place) == (Place.STAND, Place.STAND)
    assert after(box, DOWN).choices.place is Place.BELL


# ---- days and routines


def test_the_days_go_back_week_by_week_and_never_beyond_today() -> None:
    box = on(Page.DAYS)
    assert (after(box, UP).back, after(box, DOWN, DOWN).back, after(box, DOWN, DOWN, UP).back) == (0, 2, 1)
    assert after(box, DOWN_HELD, *held_on(DOWN, WEEKS + 9)).back == WEEKS


def test_the_list_of_routines_goes_round_and_one_with_faults_cannot_be_begun() -> None:
    box = on(Page.ROUTINES)
    assert box.glance is not None
    three = replace(box, glance=replace(box.glance, routines=(*box.glance.routines, box.glance.routines[0])))
    assert (after(three, DOWN).row, after(three, UP).row) == (1, 2)
    assert (box.row, after(box, DOWN).row, after(box, DOWN, DOWN).row, after(box, UP).row) == (0, 1, 0, 1)
    assert after(box, OK).page is Page.PRACTICE
    assert done(box, DOWN, OK)[0].page is Page.ROUTINES


def test_no_routines_and_no_look_do_no_harm() -> None:
    assert TODAY.glance is not None
    none = after(on(Page.ROUTINES), DOWN, Looked(replace(TODAY.glance, routines=()), TODAY.choices))
    for box in (none, replace(on(Page.ROUTINES), glance=None)):
        assert after(box, OK, UP, DOWN).page is Page.ROUTINES


# ---- holding


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("press", [BACK, OK])
def test_what_does_not_walk_does_nothing_more_when_it_is_held_on(page: Page, press: Press) -> None:
    box, effects = done(on(page), *held_on(press, 3))
    assert (box.page, box.choices, effects) == (page, on(page).choices, [])


@pytest.mark.parametrize("page", [Page.TODAY, Page.MORE, Page.LEVEL, Page.WAITING])
@pytest.mark.parametrize("press", [UP, DOWN])
def test_where_nothing_turns_a_walking_button_that_is_held_on_does_nothing(page: Page, press: Press) -> None:
    assert done(on(page), *held_on(press, 3)) == (replace(on(page), stirred=on(page).now), [])


@pytest.mark.parametrize(("start", "press"), [(TODAY, DOWN_HELD), (TODAY, UP_HELD), (on(Page.MORE), UP_HELD)])
def test_a_button_that_led_to_a_page_turns_nothing_there_until_it_is_let_go(start: Box, press: Press) -> None:
    """Who presses a little too long must not find another horn set."""
    there = after(start, press)
    held = after(there, *held_on(press, 5))
    assert there.page is not start.page
    assert (held.page, held.choices, held.row, held.back) == (there.page, there.choices, there.row, there.back)


def test_another_button_that_is_held_as_well_changes_nothing_in_that() -> None:
    held = after(TODAY, DOWN_HELD, *held_on(OK), *held_on(DOWN, 3))
    assert held.choices == TODAY.choices


def test_once_it_was_let_go_it_turns_and_goes_on_turning() -> None:
    held = after(TODAY, DOWN_HELD, *held_on(DOWN, 5))
    assert after(held, DOWN_HELD, *held_on(DOWN, 2)).choices == after(on(Page.SETUP), DOWN, DOWN, DOWN).choices
    assert after(held, DOWN).choices != held.choices


def test_a_button_that_woke_the_screen_turns_nothing_until_it_is_let_go() -> None:
    dark = after(on(Page.SETUP), Idle(DARK_SECONDS + 2.0))
    held = after(dark, UP_HELD, *held_on(UP, 5))
    assert held.choices == dark.choices
    assert after(held, UP).choices != dark.choices


# ---- notices


@pytest.mark.parametrize("press", [OK, FOOT])
def test_a_notice_is_read_and_leads_back(press: Press) -> None:
    notice = after(on(Page.DAYS), Computer(True))
    assert (notice.page, after(notice, press).page) == (Page.COMPUTER, Page.DAYS)
    for other in (UP, DOWN, BACK, Press(Button.FOOT, True, 0.0)):
        assert after(notice, other).page is Page.COMPUTER
