"""Sample pages round the practice, from invented boxes: nobody played or chose them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from airladder.music.fingerings import fingering_named
from airladder.music.horns import horn_named
from airladder.music.series import Against, Series
from airladder.pages.box import Box, practising
from airladder.pages.choices import Choices, Item, Place
from airladder.pages.date import Date, Part
from airladder.pages.glance import Glance, Offered
from airladder.pages.meter import Meter
from airladder.pages.page import Page
from airladder.pages.vitals import Vitals
from airladder.practice.coach.history import Day, Tally
from airladder.practice.coach.plan import Plan
from airladder.practice.exercise import Kind
from airladder.practice.exercises.build import built
from airladder.practice.exercises.wish import Wish
from airladder.practice.routine import Routine
from airladder.practice.state import Aloud, Phase, State

_PLATEAU = (
    "Partial 5 on low B♭ has spoken in about 1 of 5 tries over 34 days of practice, with no upward trend;"
    " the shorter fingerings may loosen it. The shorter fingerings today; 5 days of it."
)
_NO_MICROPHONE = "there is no microphone alsa:clip: plug it in or choose another."
_FULL = "The disk is full: new tries are not kept."
_TODAY = 740_000
_DATE = Date(2027, 1, 31, 18, 5)
_WELL = Vitals(0.83, hours=5.6, celsius=47.2, weak_supply=False, free_mb=812, version="0.1.0")
_CHARGING = replace(_WELL, charge=1.0, charging=True, celsius=81.6, weak_supply=True)
_ABOUT = "Five quiet minutes for every day: a cold look, the rung that is new, and one comparison."


def page_samples(base: State) -> Mapping[str, Box]:
    """A sample of each page, by name; `base` is a practice in which something is wanted."""
    glance = _glance()
    chosen = Choices()
    return {
        "waiting": Box(),
        "waiting-in-vain": Box(troubles={"microphone": _NO_MICROPHONE}),
        **_set_up(chosen),
        **{f"caution-{n + 1}": Box(Page.CAUTIONS, first=(Page.CAUTIONS,), read=n) for n in range(3)},
        **_levels(chosen),
        "today-unknown": Box(Page.TODAY),
        "today": Box(Page.TODAY, glance=glance),
        "today-plateau": Box(Page.TODAY, glance=_stuck(glance)),
        "today-plateau-goes-on": Box(Page.TODAY, glance=_stuck(glance), now=7.0),
        "today-trouble": Box(Page.TODAY, glance=glance, troubles={"log": _FULL}),
        "days": Box(Page.DAYS, glance=glance),
        "days-before": Box(Page.DAYS, glance=glance, back=2),
        "days-long-ago": Box(Page.DAYS, glance=glance, back=30),
        "days-none": Box(Page.DAYS, glance=replace(glance, days=())),
        "date-day": Box(Page.DATE, glance=glance, date=_DATE, part=Part.DAY),
        "date-unknown": Box(Page.DATE, glance=replace(glance, dated=False), date=_DATE),
        "more": Box(Page.MORE, glance=glance),
        "box": Box(Page.BOX, vitals=_WELL),
        "box-charging": Box(
            Page.BOX, vitals=replace(_WELL, charge=1.0, charging=True, celsius=81.6, weak_supply=True)
        ),
        "box-unknown": Box(Page.BOX),
        "routine": Box(Page.ROUTINES, glance=glance),
        "routine-none": Box(Page.ROUTINES),
        "routine-with-faults": Box(Page.ROUTINES, glance=glance, row=1),
        "computer": Box(Page.COMPUTER),
        "battery": Box(Page.BATTERY),
        "night": Box(Page.NIGHT),
        "night-empty": Box(Page.NIGHT, empty=True),
        "night-well-played": Box(Page.NIGHT, session=base),
        "night-not-kept": Box(Page.NIGHT, session=replace(base, kept=0)),
        **_aloud(base),
    }


def _set_up(chosen: Choices) -> dict[str, Box]:
    first = (Page.SETUP, Page.CAUTIONS, Page.LEVEL)
    short = replace(chosen, fingering=fingering_named(chosen.horn, "F#4"))
    aloud = Box(Page.SETUP, item=Item.ALOUD, output=True)
    return {
        "first-horn": Box(Page.SETUP, first=first, item=Item.HORN),
        "first-fingering": Box(Page.SETUP, first=first, item=Item.FINGERING),
        "first-a4": Box(Page.SETUP, first=first, item=Item.A4),
        "set-up-horn": Box(Page.SETUP, choices=replace(chosen, horn=horn_named("baritone"))),
        "set-up-a4": Box(Page.SETUP, choices=replace(chosen, a4=442.0), item=Item.A4),
        "set-up-short-fingering": Box(Page.SETUP, choices=short, item=Item.FINGERING),
        **{
            f"set-up-{against.value}": Box(Page.SETUP, choices=replace(chosen, against=against), item=Item.AGAINST)
            for against in Against
        },
        **{f"set-up-{how.value}": replace(aloud, choices=replace(chosen, aloud=how)) for how in Aloud},
        "set-up-no-output": replace(aloud, output=False),
    }


def _levels(chosen: Choices) -> dict[str, Box]:
    def level(dbfs: float, peak_dbfs: float, place: Place = Place.BELL) -> Box:
        meter = Meter(1.0, dbfs, peak_dbfs, 1.0, -62.0)
        return Box(Page.LEVEL, choices=replace(chosen, place=place), meter=meter)

    return {
        "level-unknown": Box(Page.LEVEL, first=(Page.LEVEL,)),
        "level-silent": level(-63.0, -58.0),
        "level-good": level(-22.0, -14.0),
        "level-too-soft": level(-47.0, -41.0, Place.STAND),
        "level-too-loud": level(-9.0, -1.5),
    }


def _glance() -> Glance:
    series = Series(horn_named("alto"), fingering_named(horn_named("alto"), "Bb3"))
    kinds = (Kind.FUNDAMENTAL, Kind.RISING, Kind.COMPARE, Kind.LONG)
    wishes = [Wish(kind, series, (1,) if kind is Kind.FUNDAMENTAL else (2, 3, 4)) for kind in kinds]
    routine = Routine("today", tuple(built(wish) for wish in wishes))
    offered = (
        Offered("five minutes", _ABOUT, routine),
        Offered("mine", "line 4: exercise: 'rizing' is no exercise; did you mean rising?", None),
    )
    return Glance(Plan(routine, ("",) * len(kinds)), _days(), _TODAY, offered)


def _days() -> tuple[Day, ...]:
    """Seven weeks of somebody who comes to partial 4 (invented)."""
    played = [ago for ago in range(48, -1, -1) if ago % 7 not in (2, 5)]
    return tuple(Day(_TODAY - ago, tuple(_tallies(ago)), minutes=8.0) for ago in played)


def _tallies(ago: int) -> list[Tally]:
    top = 3 if ago > 30 else 4 if ago > 12 else 5
    return [Tally("Bb3", n, 4, 0 if n == top and ago % 3 else 2) for n in range(1, top + 1)]


def _stuck(glance: Glance) -> Glance:
    return replace(glance, plan=replace(glance.plan, remarks=(_PLATEAU,)))


def _aloud(base: State) -> dict[str, Box]:
    sounding = replace(base, phase=Phase.WANTED, reading=None, aloud=Aloud.TONE, now=30.0, since=31.0)
    return {
        "wanted-can-sound": practising(replace(sounding, since=28.0)),
        "wanted-listen": practising(replace(sounding, sounds_until=31.0)),
    }
