"""The page of the box itself, an empty battery, and a box without a button."""

from __future__ import annotations

from dataclasses import replace

from airladder.pages.box import Box
from airladder.pages.choices import Choices
from airladder.pages.effects import Look, Open, Shut
from airladder.pages.events import Handless, Leave, Looked
from airladder.pages.page import Page
from airladder.pages.step import step
from airladder.pages.vitals import Vitals
from airladder.panel import page_words
from airladder.panel.views import compose
from airladder.practice.presses import Button, Press
from airladder.practice.session import Tick
from boxes import KNOWN, after
from monkey import glance_of

WITH_A_PLAN = replace(KNOWN, page=Page.TODAY, glance=glance_of(Choices(), 12))
HELD_OK, BACK = Press(Button.OK, True, 0.0), Press(Button.BACK, False, 0.0)
WELL = Vitals(0.5, hours=1.5, celsius=40.4, weak_supply=False, free_mb=12_345, version="0.1.0")


def test_the_page_of_the_box_is_behind_more_with_ok_held() -> None:
    box = after(after(WITH_A_PLAN, BACK), HELD_OK)
    assert box.page is Page.BOX
    assert after(box, BACK).page is Page.MORE


def test_the_pedal_held_still_means_other_routines() -> None:
    assert after(after(WITH_A_PLAN, BACK), Press(Button.FOOT, True, 0.0)).page is Page.ROUTINES


def test_what_the_box_feels_stands_on_its_page_and_moves_nobody() -> None:
    box, effects = step(replace(WITH_A_PLAN, page=Page.BOX), WELL)
    assert (box.page, effects) == (Page.BOX, ())
    things = compose(box).things()
    for line in ("battery 50 %, 90 min left", "no weak supply seen", "processor 40 C", "room 12 GB"):
        assert any(line in thing for thing in things), (line, things)


def test_each_line_says_too_when_nobody_knows() -> None:
    things = compose(Box(Page.BOX)).things()
    for line in ("no battery gauge", "supply not known", "warmth not known", "room not known"):
        assert any(line in thing for thing in things)


def test_a_battery_that_charges_or_stands_still_names_no_time() -> None:
    assert page_words.charge(replace(WELL, charging=True, hours=None)) == "battery 50 %, charging"
    assert page_words.charge(replace(WELL, hours=None)) == "battery 50 %"
    assert page_words.charge(replace(WELL, hours=400.0)) == "battery 50 %, 99 h left"


def test_an_empty_battery_is_good_night_that_says_why_and_shuts_the_practice() -> None:
    box = after(WITH_A_PLAN, Press(Button.OK, False, 0.0))
    assert box.page is Page.PRACTICE
    box, effects = step(box, Leave(empty=True))
    assert (box.page, box.empty) == (Page.NIGHT, True)
    assert Shut() in effects
    assert any(page_words.EMPTY in thing for thing in compose(box).things())
    told, _ = step(WITH_A_PLAN, Leave())
    assert not told.empty


def test_without_a_button_todays_plan_begins_by_itself_once() -> None:
    box, _ = step(replace(WITH_A_PLAN, page=Page.WAITING, first=(Page.SETUP,)), Handless(none=True))
    assert box.page is Page.WAITING
    box, effects = step(box, Tick(1.0))
    assert box.page is Page.PRACTICE
    assert any(isinstance(effect, Open) for effect in effects)
    again, effects = step(replace(box, page=Page.TODAY, session=None), Looked(WITH_A_PLAN.glance, box.choices))  # type: ignore[arg-type]
    assert again.page is Page.TODAY
    assert effects == ()


def test_it_waits_for_the_plan_where_the_log_is_still_looked_into() -> None:
    waiting = replace(WITH_A_PLAN, page=Page.TODAY, glance=None, handless=True)
    box, _ = step(waiting, Looked(glance_of(Choices(), 12), Choices()))
    assert box.page is Page.PRACTICE


def test_with_a_button_nothing_begins_by_itself() -> None:
    box, effects = step(replace(WITH_A_PLAN, page=Page.WAITING), Tick(1.0))
    assert box.page is Page.TODAY
    assert not any(isinstance(effect, Open | Look) for effect in effects)
    box, _ = step(replace(box, handless=True), Handless(none=False))
    assert (box.page, box.handless) == (Page.TODAY, False)
