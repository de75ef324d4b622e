"""What is saved, looked up, opened and shut on the way from page to page: each once, and in order."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.music.horns import HORNS
from airladder.pages.choices import Choices, Item, Place
from airladder.pages.effects import Effect, Look, Open, Save, Shut
from airladder.pages.events import Looked
from airladder.pages.page import Page
from airladder.practice.coach.plan import Plan
from airladder.practice.effects import Sound
from airladder.practice.presses import Button, Press
from airladder.practice.routine import Routine
from airladder.practice.session import Tick
from airladder.practice.state import Aloud, Phase
from boxes import BACK, DOWN, FIRST, KNOWN, LISTENING, NEW, NIGHT, OK, TODAY, UP, after, done, on
from climbing import climb
from stories import note

CLIMB = climb(Choices().series)
TUNED = after(TODAY, DOWN, OK, OK, UP)
"""On the set-up page; A4 was turned from 440 to 441 Hz."""


def kinds(effects: list[Effect]) -> list[str]:
    return [type(effect).__name__ for effect in effects]


def test_what_was_turned_is_saved_once_and_another_tube_has_another_plan() -> None:
    box, effects = done(TUNED, BACK)
    assert (box.page, box.glance) == (Page.TODAY, None)
    assert effects == [Save(box.choices, ("a4",)), Look(box.choices)]
    assert isinstance(effects[0], Save)
    assert effects[0].values == {"a4": 441.0}
    assert done(box, DOWN, BACK, UP, BACK, BACK, BACK)[1] == []


def test_what_was_turned_and_turned_back_is_not_saved() -> None:
    box, effects = done(TUNED, DOWN, BACK)
    assert (box.page, effects, box.glance) == (Page.TODAY, [], TODAY.glance)


def test_how_it_sounds_and_where_the_microphone_is_change_no_plan() -> None:
    loud, effects = done(after(TODAY, DOWN, OK, OK, OK, OK, UP), BACK)
    assert (kinds(effects), loud.glance) == (["Save"], TODAY.glance)
    assert loud.choices.aloud is not TODAY.choices.aloud
    stand, effects = done(on(Page.LEVEL), UP, OK)
    assert (stand.page, effects) == (Page.TODAY, [Save(stand.choices, ("place",))])
    assert done(on(Page.LEVEL), UP, BACK)[1] == effects
    assert done(on(Page.LEVEL), UP, DOWN, OK)[1] == []


def test_what_cents_are_from_has_another_plan() -> None:
    assert kinds(done(after(TODAY, DOWN, OK, OK, OK, UP), BACK)[1]) == ["Save", "Look"]


@pytest.mark.parametrize("way", [[NIGHT], [BACK, NIGHT]])
def test_good_night_saves_what_was_turned_once(way: list[Press]) -> None:
    box, effects = done(TUNED, *way)
    assert box.page is Page.NIGHT
    assert [effect for effect in effects if isinstance(effect, Save)] == [Save(box.choices, ("a4",))]
    assert effects[-1] == Shut()


def test_the_first_run_saves_all_of_it_though_nothing_was_turned() -> None:
    """So that the settings are there the next time, and it is not the first run again."""
    assert (FIRST.page, FIRST.item) == (Page.SETUP, Item.HORN)
    box, effects = done(FIRST, OK, OK, OK)
    assert box.page is Page.CAUTIONS
    assert effects == [Save(box.choices, ("horn", "fingering", "a4", "against", "aloud", "place"))]
    box, effects = done(box, OK, OK, OK)
    assert (box.page, effects) == (Page.LEVEL, [])
    box, effects = done(box, UP, OK)
    assert (box.page, box.first, effects) == (Page.TODAY, (), [Save(box.choices, ("place",))])


def test_a_first_run_with_another_horn_looks_once() -> None:
    box, effects = done(FIRST, UP, OK, OK, OK, OK, OK, OK, OK)
    assert (box.page, kinds(effects)) == (Page.TODAY, ["Save", "Look"])
    assert effects[1] == Look(box.choices)
    assert box.choices.horn is not FIRST.choices.horn


def test_a_first_run_may_be_only_what_was_never_read() -> None:
    box, effects = done(replace(NEW, first=(Page.CAUTIONS, Page.LEVEL)), Tick(1.0), OK, OK, OK, OK)
    assert (box.page, effects) == (Page.TODAY, [])


def test_a_first_run_may_lead_to_a_practice_that_was_named() -> None:
    box, effects = done(replace(NEW, first=(Page.CAUTIONS,), direct=CLIMB), Tick(1.0), OK, OK, OK)
    assert (box.page, effects) == (Page.PRACTICE, [Open(1, CLIMB, box.choices)])


def test_a_practice_is_opened_once_shut_once_and_then_looked_for() -> None:
    begun, effects = done(on(Page.TODAY), OK)
    assert begun.glance is not None
    plan = begun.glance.plan
    assert plan.reasons
    assert effects[0] == Open(1, plan.routine, begun.choices, plan.reasons, plan.remarks)
    left, effects = done(begun, UP, *note(2, 4, 3), NIGHT)
    assert left.page is Page.TODAY
    assert kinds(effects)[-2:] == ["Shut", "Look"]
    assert kinds(effects).count("Shut") == kinds(effects).count("Look") == 1
    again, effects = done(left, OK)
    assert [effect.practice for effect in effects if isinstance(effect, Open)] == [2]
    assert kinds(done(again, NIGHT)[1])[-1] == "Shut"  # nothing was tried: the plan stands


def test_a_practice_begins_at_the_time_of_the_box_with_its_choices() -> None:
    begun = after(TODAY, Tick(77.0), OK)
    assert begun.session is not None
    assert (begun.session.now, begun.session.begun) == (77.0, 77.0)
    assert begun.session.aloud is Aloud.TONE
    silent = after(replace(TODAY, output=False), OK)
    assert silent.session is not None
    assert silent.session.aloud is Aloud.SILENT
    assert begun.glance is not None
    assert begun.session.limits == begun.glance.limits


def test_a_practice_that_begins_with_singing_sounds_after_it_was_opened() -> None:
    assert kinds(done(TODAY, OK)[1]) == ["Open", "Sound"]
    assert kinds(done(replace(TODAY, output=False), OK)[1]) == ["Open"]
    assert isinstance(done(TODAY, OK)[1][1], Sound)


def test_plain_listening_opens_nothing_and_ends_with_one_press() -> None:
    box, effects = done(on(Page.MORE), DOWN)
    assert (effects, box.session and box.session.phase) == ([], Phase.FREE)
    box, effects = done(LISTENING, *note(2, 4, 3), BACK)
    assert (box.page, kinds(effects)) == (Page.TODAY, ["Shut"])


def test_a_named_practice_begins_with_the_sound_and_ends_in_good_night() -> None:
    direct = replace(KNOWN, direct=CLIMB)
    begun, effects = done(direct, Tick(1.0))
    assert (begun.page, kinds(effects)) == (Page.PRACTICE, ["Open"])
    over, effects = done(begun, *note(2, 4, 1), NIGHT)
    assert (over.page, kinds(effects)) == (Page.NIGHT, ["Keep", "Shut"])
    assert over.session is not None
    assert len(over.session.attempts) == 1


def test_what_troubles_is_told_in_the_practice_too() -> None:
    box = replace(TODAY, troubles={"log": "The disk is full."})
    begun = after(box, OK)
    assert begun.session is not None
    assert begun.session.trouble == "The disk is full."


def test_a_look_shows_its_plan_and_begins_the_list_of_routines_anew() -> None:
    assert TODAY.glance is not None
    other = replace(TODAY.glance, plan=Plan(Routine("other", CLIMB.exercises), ()))
    looked = after(replace(TODAY, row=1), Looked(other, TODAY.choices))
    assert (looked.glance, looked.row) == (other, 0)
    begun = after(looked, OK)
    assert begun.session is not None
    assert begun.session.routine.name == "other"


def test_without_a_plan_nothing_begins_yet() -> None:
    assert done(replace(TODAY, glance=None), OK, Press(Button.FOOT, False, 0.0))[0].page is Page.TODAY


def test_the_horn_that_is_shown_first_is_that_of_the_settings() -> None:
    tenor = replace(NEW, choices=replace(Choices(), horn=HORNS["tenor"], place=Place.STAND))
    assert after(tenor, Tick(1.0)).choices.horn is HORNS["tenor"]
