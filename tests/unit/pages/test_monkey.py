"""An hour with a monkey at the box, time and again: no exception, no dead end, nothing kept twice or lost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from random import Random

import pytest

from airladder.pages.box import DARK_SECONDS, Box
from airladder.pages.choices import Choices
from airladder.pages.effects import Effect, Look, Open, Save, Shut
from airladder.pages.events import Event, NoOutput
from airladder.pages.light import Light
from airladder.pages.page import Page
from airladder.pages.step import step
from airladder.panel.views import picture
from airladder.practice.ask import Task
from airladder.practice.effects import Hush, Keep, Sound
from airladder.practice.presses import Button, Press
from airladder.practice.state import Aloud, Phase
from boxes import KNOWN, after
from climbing import climb
from monkey import Monkey, glance_of

HOUR = 3600.0
FIRST_PAGES = (Page.SETUP, Page.CAUTIONS, Page.LEVEL)
NIGHT, OK = Press(Button.BACK, True, 0.0), Press(Button.OK, False, 0.0)
BACK, UP = Press(Button.BACK, False, 0.0), Press(Button.UP, False, 0.0)


@dataclass
class Watch:
    """Checks each step, and keeps account of what was to be done.

    Attributes
    ----------
    saved : what stands in the settings
    open : the number of the practice that is open, and how many of its tries were kept; None when none is
    sounds : whether the box was last told to sound
    seen : all pages, phases and lights that were come by
    """

    saved: Choices
    open: tuple[int, int] | None = None
    sounds: bool = False
    practices: int = 0
    seen: set[Page | Phase | Light] = field(default_factory=set)

    def check(self, before: Box, event: Event, box: Box, effects: tuple[Effect, ...]) -> None:
        """One step was made."""
        for effect in effects:
            self._done(before, effect)
        if isinstance(event, NoOutput):
            self.sounds = False
        self.seen |= {box.page, box.light, *([box.session.phase] if box.session else [])}
        self._box(before, event, box)
        if box.page is Page.NIGHT:
            assert (self.open, self.sounds) == (None, False)
            assert self.saved == box.choices or before.is_first_run  # broken off: asked for again another day
        elif box.session is not None:
            self._session(box)

    def _done(self, before: Box, effect: Effect) -> None:
        match effect:
            case Open():
                assert self.open is None
                assert effect.practice > self.practices
                self.open, self.practices = (effect.practice, 0), effect.practice
            case Shut():
                self.open = None
            case Keep():
                assert self.open is not None
                self.open = (self.open[0], self.open[1] + 1)
                assert effect.attempt.number == self.open[1]
            case Sound():
                assert not self.sounds
                assert before.output
                assert 20.0 < effect.hz < 5000.0
                self.sounds = True
            case Hush():
                assert self.sounds
                self.sounds = False
            case Save():
                for name, value in effect.values.items():
                    assert before.is_first_run or value != getattr(self.saved, name)
                self.saved = replace(self.saved, **effect.values)  # type: ignore[arg-type]  # names of Choices
            case Look():
                assert effect.choices == before.choices

    def _box(self, before: Box, event: Event, box: Box) -> None:
        assert box.now >= before.now
        assert box.stirred <= box.now
        assert (box.session is not None) == (box.page is Page.PRACTICE) or box.page is Page.NIGHT
        assert (box.listening is None) == (box.session is None)
        still = box.now - box.stirred
        assert (box.light is Light.DARK) == (still >= DARK_SECONDS)
        if isinstance(event, Press) and before.page is not Page.NIGHT:
            assert box.light is Light.BRIGHT
            assert before.light is not Light.DARK or box.page is before.page
        assert box.page not in FIRST_PAGES or box.chosen is not None
        broken_off = box.page is Page.NIGHT and before.is_first_run
        turning = box.page in (Page.SETUP, Page.LEVEL, Page.COMPUTER, Page.BATTERY)
        assert turning or broken_off or box.choices == self.saved

    def _session(self, box: Box) -> None:
        state = box.session
        assert state is not None
        assert state.phase is not Phase.OVER
        assert state.listening.series == state.ask.series
        sings = state.ask.task is Task.SING and state.phase in (Phase.WANTED, Phase.SOUNDING)
        assert state.listening.sings is sings
        assert state.ask.series.horn == box.choices.horn
        assert self.sounds is (state.sounds_until is not None)
        if state.sounds_until is not None:
            assert box.output
            assert state.aloud is not Aloud.SILENT
            assert state.now < state.sounds_until
        assert 0 <= state.kept <= len(state.attempts)
        assert self.open is None or len(state.attempts) == self.open[1]
        assert self.open is not None or state.attempts == ()
        assert (state.reading is None) == (box.calm.shown is None)
        assert state.reading is box.calm.heard


def an_hour(box: Box, seed: int, watch: Watch) -> Iterator[Box]:
    """Every box of an hour; after each good night somebody switches on again."""
    monkey = Monkey(Random(seed), box)
    if box.glance is None:
        monkey.knows(box, [Look(box.choices)])
    for event in monkey.events(HOUR):
        before = monkey.box
        box, effects = step(before, event)
        watch.check(before, event, box, effects)
        yield box
        if box.page is Page.NIGHT:
            box = replace(switched_on(box), choices=watch.saved)
            watch.practices = 0
            monkey.waiting.clear()
            effects = (*effects, Look(box.choices))
        monkey.knows(box, list(effects))


def switched_on(box: Box) -> Box:
    return Box(choices=box.choices, direct=box.direct, now=box.now, stirred=box.now, output=True)


def has_a_way_out(box: Box) -> None:
    """A few presses say good night; some others lead to today's plan, and with it to all else."""
    night = box
    for _ in range(5):
        night = after(night, NIGHT)
    assert night.page is Page.NIGHT
    if box.direct is not None and not box.first:
        return
    here = box
    for _ in range(16):
        if here.page is Page.TODAY:
            break
        here = after(here, OK if here.is_first_run or here.page in (Page.WAITING, *NOTICES) else BACK)
    assert here.page is Page.TODAY


NOTICES = (Page.COMPUTER, Page.BATTERY)
WITH_A_PLAN = replace(KNOWN, glance=glance_of(Choices(), 12))
STARTS = {
    "first run": replace(WITH_A_PLAN, first=FIRST_PAGES, glance=None),
    "known": WITH_A_PLAN,
    "named": replace(KNOWN, direct=climb(Choices().series)),
}


@pytest.mark.parametrize("start", STARTS)
@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_an_hour_with_a_monkey(start: str, seed: int) -> None:
    watch = Watch(Choices())
    for number, box in enumerate(an_hour(STARTS[start], seed, watch)):
        if number % 100 == 0 and box.page is not Page.NIGHT:
            has_a_way_out(box)
        if number % 50 == 0:
            assert picture(box).size == (128, 64)


def test_the_monkey_comes_by_everything() -> None:
    """Else the hours above would say little."""
    watch = Watch(Choices())
    for seed in range(1, 7):
        for _ in an_hour(STARTS["first run" if seed == 1 else "known"], seed, watch):
            pass
        watch.open, watch.sounds, watch.practices, watch.saved = None, False, 0, Choices()
    assert watch.seen >= {*Page, *Phase, *Light} - {Phase.OVER}


def test_the_same_hour_again_is_the_same() -> None:
    hours = [list(an_hour(STARTS["known"], 7, Watch(Choices())))[::100] for _ in range(2)]
    assert hours[0] == hours[1]
