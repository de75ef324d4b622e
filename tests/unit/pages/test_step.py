"""What happens to the box besides presses: computer, battery, no sound, leaving, and the light."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airladder.music.series import Against
from airladder.pages.box import DARK_SECONDS, DIM_SECONDS, Box, practising
from airladder.pages.choices import Item, turned
from airladder.pages.effects import Save, Shut
from airladder.pages.events import Battery, Computer, Event, Idle, KeptIn, Leave, Looked, NoOutput
from airladder.pages.light import Light
from airladder.pages.meter import Level
from airladder.pages.page import Page
from airladder.practice.ask import Ask, Task
from airladder.practice.effects import Hush, Keep, Sound
from airladder.practice.exercise import Exercise, Kind
from airladder.practice.presses import Button, Press
from airladder.practice.routine import Routine
from airladder.practice.session import Kept, Tick, Trouble, listening
from airladder.practice.state import Aloud, Phase
from boxes import BACK, DOWN, FIRST, KNOWN, LISTENING, NIGHT, OK, PAGES, TODAY, UP, after, done, on
from stories import SERIES, note, reading, tone

GUESSED = Routine("guess", (Exercise(Kind.RISING, SERIES, (Ask(Task.PLAY, SERIES, (2,), guess=True),)),))
DIRECT = after(replace(KNOWN, direct=GUESSED), Tick(1.0))
"""A practice that was named, on page PRACTICE."""

WAITS = after(DIRECT, *note(2, 4, 2))
"""In it a try waits for a guess."""

OUTSIDE = [page for page in PAGES if page not in (Page.PRACTICE, Page.NIGHT)]


# ---- computer and battery


@pytest.mark.parametrize("page", OUTSIDE)
@pytest.mark.parametrize(
    ("comes", "goes", "notice"),
    [(Computer(True), Computer(False), Page.COMPUTER), (Battery(True), Battery(False), Page.BATTERY)],
)
def test_a_notice_comes_and_goes_on_every_page(page: Page, comes: Event, goes: Event, notice: Page) -> None:
    box = after(on(page), comes)
    assert (box.page, after(box, OK).page, after(box, goes).page) == (notice, page, page)
    assert after(box, comes, goes).page is page
    assert done(box, OK)[1] == []


def test_a_notice_upon_a_notice_leads_back_to_where_one_was() -> None:
    assert after(on(Page.DAYS), Battery(True), Computer(True), OK).page is Page.DAYS
    assert after(on(Page.DAYS), Computer(True), Battery(True), OK).page is Page.DAYS


def test_a_notice_in_the_first_run_leads_back_into_it() -> None:
    box = after(FIRST, OK, OK, OK, OK, Computer(True))
    assert (box.page, after(box, OK).page, after(box, OK).is_first_run) == (Page.COMPUTER, Page.CAUTIONS, True)


def test_a_notice_loses_nothing_that_was_turned() -> None:
    box, effects = done(after(TODAY, DOWN, UP), Computer(True), OK, BACK)
    assert isinstance(effects[0], Save)
    assert "horn" in effects[0].names
    assert box.page is Page.TODAY


@pytest.mark.parametrize(
    ("comes", "goes", "notice"),
    [(Computer(True), Computer(False), Page.COMPUTER), (Battery(True), Battery(False), Page.BATTERY)],
)
def test_nobody_is_interrupted_in_a_practice_and_the_notice_comes_after_it(
    comes: Event, goes: Event, notice: Page
) -> None:
    box = after(on(Page.PRACTICE), comes)
    assert box.page is Page.PRACTICE
    left = after(box, NIGHT)
    assert (left.page, after(left, OK).page) == (notice, Page.TODAY)
    assert after(box, goes, NIGHT).page is Page.TODAY


def test_a_low_battery_is_told_in_a_practice_as_long_as_it_is_low() -> None:
    box = after(on(Page.PRACTICE), Battery(True))
    assert box.session is not None
    assert "battery is low" in box.session.trouble
    well = after(box, Battery(False))
    assert well.session is not None
    assert well.session.trouble == ""


def test_sound_that_comes_leaves_a_notice_standing() -> None:
    box = after(KNOWN, Computer(True), Tick(1.0))
    assert (box.page, after(box, OK, Tick(2.0)).page) == (Page.COMPUTER, Page.TODAY)


# ---- leaving


def test_whoever_leaves_keeps_the_try_that_waits_for_a_guess() -> None:
    assert WAITS.session is not None
    assert WAITS.session.phase is Phase.GUESS
    box, effects = done(WAITS, Leave())
    assert [type(effect) for effect in effects] == [Keep, Shut]
    assert box.page is Page.NIGHT
    assert box.session is not None
    assert [effect.attempt for effect in effects if isinstance(effect, Keep)] == list(box.session.attempts)


def test_whoever_leaves_in_the_middle_of_a_sound_hushes_it_and_saves_what_was_turned() -> None:
    assert [type(effect) for effect in done(after(TODAY, OK), Leave())[1]] == [Hush, Shut]
    assert isinstance(done(after(TODAY, DOWN, UP), Leave())[1][0], Save)


@pytest.mark.parametrize("box", [WAITS, TODAY, LISTENING, on(Page.PRACTICE)], ids=lambda box: str(box.page.value))
def test_after_good_night_nothing_happens_any_more(box: Box) -> None:
    night = after(box, Leave())
    events: list[Event] = [
        *(Tick(9.0), Idle(10.0), OK, BACK, NIGHT, Computer(True), Battery(True), NoOutput(), Leave()),
        *(reading(11.0, 2), tone(10.0, 11.0, 2), Trouble("log", "The disk is full."), KeptIn(1, Kept(1))),
    ]
    assert done(night, *events) == (night, [])


# ---- what is kept


def test_what_is_kept_of_an_older_practice_is_not_counted() -> None:
    first = after(TODAY, OK, UP, *note(2, 4, 3))
    second = after(first, NIGHT, OK)
    assert (first.practices, second.practices) == (1, 2)
    old, new = after(second, KeptIn(1, Kept(1))), after(second, KeptIn(2, Kept(1)))
    assert (old.session, new.session and new.session.kept) == (second.session, 1)


def test_what_is_kept_late_does_not_reach_the_free_playing_after_it() -> None:
    free = after(TODAY, OK, UP, *note(2, 4, 3), NIGHT, BACK, DOWN, KeptIn(1, Kept(1)))
    assert free.session is not None
    assert (free.session.phase, free.session.kept) == (Phase.FREE, 0)


def test_troubles_stand_until_they_are_over_in_the_practice_and_outside() -> None:
    box = after(on(Page.PRACTICE), Trouble("log", "The disk is full."), Trouble("microphone", "It is gone."))
    assert box.session is not None
    assert (box.trouble, box.session.trouble) == ("It is gone.", "It is gone.")
    box = after(box, Trouble("microphone", ""), NIGHT)
    assert (box.trouble, box.page) == ("The disk is full.", Page.TODAY)
    assert after(box, Trouble("log", "")).trouble == ""


# ---- nothing to sound with


def test_without_an_output_all_goes_on_but_the_sound() -> None:
    sounding = after(TODAY, OK)
    assert sounding.session is not None
    assert sounding.session.sounds_until is not None
    box = after(sounding, NoOutput())
    assert box.session is not None
    assert (box.session.aloud, box.session.sounds_until, box.aloud) == (Aloud.SILENT, None, Aloud.SILENT)
    box, effects = done(box, UP, OK, *note(5, 7, 3), NIGHT, OK)
    assert not [effect for effect in effects if isinstance(effect, Sound | Hush)]
    assert box.page is Page.PRACTICE
    assert after(TODAY, NoOutput()).output is False


# ---- the light


def light_after(box: Box, seconds: float) -> Light:
    return after(box, Idle(box.now + seconds)).light


@pytest.mark.parametrize("box", [TODAY, on(Page.PRACTICE), KNOWN], ids=lambda box: str(box.page.value))
def test_it_dims_and_then_goes_dark_when_nobody_is_there(box: Box) -> None:
    box = replace(box, stirred=box.now)
    assert light_after(box, DIM_SECONDS - 0.1) is Light.BRIGHT
    assert light_after(box, DIM_SECONDS) is Light.DIM
    assert light_after(box, DARK_SECONDS - 0.1) is Light.DIM
    assert light_after(box, DARK_SECONDS) is Light.DARK
    assert DIM_SECONDS > 30.0  # a rest


@pytest.mark.parametrize("page", [page for page in PAGES if page is not Page.NIGHT])
def test_on_a_dark_screen_a_press_only_wakes(page: Page) -> None:
    dark = after(on(page), Idle(2000.0))
    assert dark.light is Light.DARK
    for button in Button:
        for long in (False, True):
            woken, effects = done(dark, Press(button, long, 2000.0))
            assert (woken.light, effects) == (Light.BRIGHT, [])
            assert replace(woken, stirred=dark.stirred, spent=dark.spent) == dark


def test_on_a_dim_screen_a_press_does_what_it_does() -> None:
    assert after(TODAY, Idle(DIM_SECONDS + 5.0), BACK).page is Page.MORE


def test_a_note_wakes_it_and_a_noise_on_no_partial_does_not() -> None:
    dark = after(on(Page.PRACTICE), Idle(2000.0))
    assert after(dark, reading(2000.1, 3)).light is Light.BRIGHT
    assert after(dark, reading(2000.1, None)).light is Light.DARK


def test_outside_a_practice_a_sound_wakes_it_that_stands_out_of_the_room() -> None:
    room = [Level(0.1 * n, -70.0, -60.0) for n in range(20)]
    dark = after(TODAY, *room, Idle(2000.0))
    assert after(dark, Level(2000.0, -30.0, -20.0)).light is Light.BRIGHT
    assert after(dark, Level(2000.0, -60.0, -50.0)).light is Light.DARK
    assert after(dark, Level(2000.0, -30.0, -20.0)).meter.dbfs == -30.0


def test_in_a_practice_the_level_wakes_nothing_for_it_may_be_the_box_itself() -> None:
    room = [Level(0.1 * n, -70.0, -60.0) for n in range(20)]
    dark = after(on(Page.PRACTICE), *room, Idle(2000.0))
    assert after(dark, Level(2000.0, -30.0, -20.0)).light is Light.DARK


@pytest.mark.parametrize("event", [Computer(True), Battery(True)])
def test_a_notice_wakes_it(event: Event) -> None:
    assert after(TODAY, Idle(2000.0), event).light is Light.BRIGHT


def test_time_never_goes_back() -> None:
    assert after(TODAY, Idle(50.0), Tick(40.0), Idle(30.0)).now == 50.0


# ---- what is shown


def test_the_first_note_and_the_next_are_shown_at_once() -> None:
    box = after(DIRECT, reading(2.0, 1))
    assert box.seen is not None
    assert box.seen.reading == reading(2.0, 1)
    box = after(box, tone(1.9, 3.0, 1), Tick(3.0), reading(3.4, 2))
    assert box.seen is not None
    assert box.seen.reading == reading(3.4, 2)


def test_within_a_note_what_is_shown_is_calmed_and_the_session_knows_what_was_heard() -> None:
    wobble = [replace(reading(2.0 + 0.005 * n, 2), hz=280.0 + 0.1 * (-1) ** n) for n in range(40)]
    box = after(DIRECT, *wobble)
    assert box.session is not None
    assert box.seen is not None
    assert box.seen.reading is not None
    assert box.session.reading == wobble[-1]
    assert box.seen.reading.hz == wobble[0].hz


def test_a_knock_while_a_guess_is_waited_for_changes_nothing_that_is_shown() -> None:
    box = after(WAITS, reading(4.5, None))
    assert box.seen == WAITS.seen


def test_after_a_note_nothing_of_it_is_shown_for_the_next() -> None:
    box = after(DIRECT, reading(2.0, 1), Tick(3.0))
    assert box.session is not None
    assert (box.session.reading, box.calm.shown) == (None, None)


def test_a_box_for_a_practice_alone_listens_for_it() -> None:
    state = listening(SERIES, KNOWN.choices.against)
    box = practising(state)
    assert (box.page, box.seen, box.listening) == (Page.PRACTICE, state, state.listening)
    assert (TODAY.listening, TODAY.seen) == (None, None)


# ---- what was looked up, and what was left


def test_a_look_for_a_tube_that_is_no_longer_set_is_not_shown() -> None:
    assert TODAY.glance is not None
    old, fresh = TODAY.glance, replace(TODAY.glance, today=TODAY.glance.today + 1)
    tenor = turned(TODAY.choices, Item.HORN, 1)
    changed = after(TODAY, DOWN, UP, BACK)
    assert changed.glance is None
    assert after(changed, Looked(old, TODAY.choices)).glance is None
    assert after(changed, Looked(fresh, tenor)).glance == fresh
    pure = replace(TODAY.choices, against=Against.PURE)
    assert after(TODAY, Looked(fresh, pure)).glance == old
    turning = after(TODAY, DOWN, UP)  # not set yet, and may be turned back
    assert after(turning, Looked(fresh, TODAY.choices), DOWN, BACK).glance == fresh


def test_a_try_that_waits_for_a_guess_stays_with_the_practice_that_was_left() -> None:
    left = after(replace(WAITS, direct=None), NIGHT)
    assert (left.page, left.session) == (Page.TODAY, None)
    assert left.last is not None
    assert len(left.last.attempts) == 1


def test_a_first_run_that_is_broken_off_saves_nothing() -> None:
    turned_once = after(FIRST, Tick(1.0), UP)
    assert turned_once.page is Page.SETUP
    assert [type(effect) for effect in done(turned_once, NIGHT)[1]] == [Shut]


def test_time_goes_on_in_a_practice_in_which_nobody_plays_so_that_the_screen_dims() -> None:
    assert after(DIRECT, Tick(DIRECT.now + DIM_SECONDS + 1.0)).light is Light.DIM
