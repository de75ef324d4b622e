"""The page on which the date is set, and how its parts are turned."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from hypothesis import given
from hypothesis import strategies as st

from airladder.pages.date import FIRST_YEAR, LAST_YEAR, PARTS, Date, Part, turned
from airladder.pages.effects import Look, Tell
from airladder.pages.page import Page
from airladder.pages.step import step
from boxes import BACK, DOWN, OK, OK_HELD, TODAY, UP, after, done, on

DATES = st.datetimes(datetime(FIRST_YEAR, 1, 1), datetime(LAST_YEAR, 12, 31)).map(
    lambda when: Date(when.year, when.month, when.day, when.hour, when.minute)
)


@given(date=DATES, part=st.sampled_from(PARTS), by=st.sampled_from([-1, 1]))
def test_a_turned_date_is_one_that_the_calendar_has(date: Date, part: Part, by: int) -> None:
    """Held against `datetime`, which follows the Gregorian calendar (ISO 8601)."""
    new = turned(date, part, by)
    datetime(new.year, new.month, new.day, new.hour, new.minute)
    if part is not Part.YEAR:
        assert new.year == date.year
    assert new != date or date.year in (FIRST_YEAR, LAST_YEAR)


@given(date=DATES, part=st.sampled_from([Part.DAY, Part.HOUR, Part.MINUTE]))
def test_a_step_there_and_back_changes_nothing(date: Date, part: Part) -> None:
    assert turned(turned(date, part, 1), part, -1) == date


def test_the_last_of_a_long_month_becomes_the_last_of_a_short_one() -> None:
    assert turned(Date(2028, 1, 31), Part.MONTH, 1) == Date(2028, 2, 29)
    assert turned(Date(2028, 2, 29), Part.YEAR, 1) == Date(2029, 2, 28)


def test_the_page_begins_with_the_date_of_the_last_look() -> None:
    assert TODAY.glance is not None
    looked = replace(TODAY, glance=replace(TODAY.glance, date=Date(2027, 5, 4, 18, 3)))
    assert after(looked, UP, OK).date == Date(2027, 5, 4, 18, 3)


def test_it_is_told_after_the_last_part_and_then_the_plan_is_made_anew() -> None:
    box, effects = done(on(Page.DATE), UP, OK, OK, OK, OK, DOWN, OK)
    assert box.page is Page.TODAY
    assert effects == [Tell(Date(FIRST_YEAR + 1, 1, 1, 0, 59)), Look(box.choices)]


def test_back_from_the_first_part_tells_nothing() -> None:
    box, effects = done(on(Page.DATE), UP, OK, BACK, BACK)
    assert (box.page, effects) == (Page.DAYS, [])


def test_held_next_goes_back_a_part() -> None:
    assert after(on(Page.DATE), OK, OK_HELD).part is Part.YEAR


def test_without_a_look_into_the_log_no_date_is_set() -> None:
    box = replace(on(Page.DAYS), glance=None)
    assert step(box, OK)[0].page is Page.DAYS
