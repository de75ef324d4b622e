"""A monkey at the box: presses, notes, noises, silence and mishaps, drawn by lot from a seed.

It stands in for hands, Ear, microphone, log and books: what the box wants done comes back to it after a while, as
from the threads of the program. Nobody played any of it.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import count
from random import Random

from airladder.hearing.events import Reading, Sung
from airladder.pages.box import Box
from airladder.pages.choices import Choices
from airladder.pages.effects import Effect, Look, Open
from airladder.pages.events import Battery, Computer, Event, Handless, Idle, KeptIn, Looked, NoOutput
from airladder.pages.glance import Glance, Offered
from airladder.pages.meter import Level
from airladder.pages.page import Page
from airladder.pages.vitals import Vitals
from airladder.panel.mapping import example
from airladder.practice.coach.aims import Aims
from airladder.practice.coach.history import Day, History, Tally
from airladder.practice.coach.plan import plan
from airladder.practice.coach.reach import reach
from airladder.practice.coach.rules import Rules
from airladder.practice.ease import Limits
from airladder.practice.effects import Keep
from airladder.practice.presses import Button, Press
from airladder.practice.routines.reading import named, shipped_names
from airladder.practice.session import Gap, Kept, Leak, PlayedOver, Tick, Trouble
from airladder.practice.setting import Setting
from learners.days import SOME_DAY
from stories import attack, tone

TICK_SECONDS = 0.1
Deed = list[tuple[float, Event]]
"""What happens, each so many seconds from now."""


@cache
def glance_of(choices: Choices, days: int) -> Glance:
    """What would be found after so many days on which the lower rungs spoke, with the real coach and routines."""
    rungs = [Tally(str(choices.fingering), partial, 5, 5, 1, 1) for partial in (1, 2, 3)]
    history: History = tuple(Day(SOME_DAY + day, (*rungs, rung)) for day in range(days) for rung in [_new(choices)])
    setting = Setting(choices.series, choices.against, reach(history, Rules()), days + 1)
    every = example(choices.series)
    made = plan(history, setting, SOME_DAY + days, Aims(), Rules())
    if days % 2:  # a plan that has all kinds of task
        made = replace(made, routine=every, reasons=("because",) * len(every.exercises))
    routines = (
        *(Offered(name, "shipped", named(name, setting)) for name in shipped_names()),
        Offered(every.name, "All that there is.", every),
        Offered("faulty", "Line 3: no such exercise.", None),
    )
    return Glance(made, history, SOME_DAY + days, routines, Limits(in_a_row=3, minutes=5.0))


def _new(choices: Choices) -> Tally:
    return Tally(str(choices.fingering), 4, 5, 0)


@dataclass
class Monkey:
    """Draws what happens next.

    Attributes
    ----------
    random : the lots
    box : where the box stands now, as the monkey was told
    """

    random: Random
    box: Box
    now: float = 0.0
    waiting: list[tuple[float, int, Event]] = field(default_factory=list)
    _numbers: Iterator[int] = field(default_factory=count)
    _practice: int = 0

    def events(self, seconds: float) -> Iterator[Event]:
        """All that happens within so many seconds, in order; what `knows` says comes in between."""
        until, press_at, deed_at = self.now + seconds, self.now, self.now
        while self.now < until:
            if self.now >= press_at:
                self._plan(self._press())
                press_at = self.now + self.random.choice([0.1, 0.5, 2.0, 8.0, 30.0])
                if self.random.random() < 0.005:  # a break, longer than the screen stays lit
                    press_at = deed_at = self.now + 700.0
            if self.now >= deed_at:
                self._plan(self._deed())
                deed_at = self.now + self.random.choice([0.3, 1.0, 3.0, 6.0, 12.0])
            while self.waiting and self.waiting[0][0] <= self.now:
                yield heapq.heappop(self.waiting)[2]
            self.now += TICK_SECONDS
            yield Idle(self.now) if self.random.random() < 0.02 else Tick(self.now)

    def knows(self, box: Box, effects: list[Effect]) -> None:
        """The box has moved on, and wants this done."""
        self.box = box
        for effect in effects:
            match effect:
                case Open():
                    self._practice = effect.practice
                case Keep():
                    late = self.random.choice([0.05, 0.05, 0.5, 8.0])
                    self._plan([(late, KeptIn(self._practice, Kept(effect.attempt.number)))])
                case Look():
                    days = self.random.choice([0, 3, 12, 13])
                    self._plan(
                        [(self.random.choice([0.1, 2.0]), Looked(glance_of(effect.choices, days), effect.choices))]
                    )

    def _plan(self, deed: Deed) -> None:
        for late, event in deed:
            heapq.heappush(self.waiting, (self.now + late, next(self._numbers), event))

    def _deed(self) -> Deed:
        draw: Callable[[], Deed] = self.random.choice(
            [*[self._note] * 10, self._knock, self._song, self._song, self._levels, self._mishap, list]
        )
        return draw()

    def _press(self) -> Deed:
        """Seldom BACK, or it would be night all the time."""
        button = self.random.choices(list(Button), [2, 4, 4, 4, 4])[0]
        long = self.random.random() < (0.1 if button is Button.BACK else 0.3)
        if self.box.page is Page.MORE and self.random.random() < 0.3:  # seldom come by otherwise
            button, long = Button.OK, True
        made: Deed = [(0.0, Press(button, long, self.now))]
        if long and button in (Button.UP, Button.DOWN):
            turns = self.random.choice([0, 1, 7, 30])
            made += [(0.15 * n, Press(button, True, self.now, again=True)) for n in range(1, turns + 1)]
        if self.random.random() < 0.1:  # two at once
            made.append((0.0, Press(self.random.choice(list(Button)), False, self.now)))
        return made

    def _note(self) -> Deed:
        """What is asked for, or anything; in one breath or broken off, with a bump before it or not."""
        state = self.box.session
        asked = (state.ask.partials if state else ()) or (1,)
        right = self.random.random() < 0.6
        partials = asked if right else (self.random.choice([None, 1, 2, 3, 4, 5, 9]),)
        seconds = self.random.choice([0.1, 0.6, 2.0, 5.0])
        each = seconds / len(partials)
        heard: Deed = [(0.1, attack(self.now, self.random.choice(("tongued", "air", "unsure"))))]
        for n in range(max(1, round(seconds / TICK_SECONDS))):
            at = 0.05 + n * TICK_SECONDS
            heard.append((at, self._reading(at, partials[min(len(partials) - 1, int(at / each))])))
        if self.random.random() < 0.85:  # else a bump that never became a note
            path = tuple((partial, each) for partial in partials)
            split = self.random.choice([0.0, 0.0, 0.5])
            whole = replace(tone(self.now, self.now + seconds, partials[-1], split=split), path=path)
            heard.append((seconds + 0.1, replace(whole, clipped=self.random.choice([None, 0.0, 0.6]))))
        return heard

    def _reading(self, late: float, partial: int | None) -> Reading:
        cents = None if partial is None else self.random.gauss(0.0, 10.0)
        split = (2, 3) if self.random.random() < 0.02 else ()
        return Reading(self.now + late, 140.0 * (partial or 1.4), partial, cents, -20.0, 0.9, split)

    def _knock(self) -> Deed:
        return [(0.02, self._reading(0.02, None)), (0.1, tone(self.now, self.now + 0.1, None))]

    def _song(self) -> Deed:
        hz = self.random.uniform(80.0, 900.0)
        song = Sung(self.now, self.now + 1.0, hz, 9.0, -30.0, self.now + 0.2)
        return [(0.1, self._reading(0.1, None)), (1.1, song)]

    def _levels(self) -> Deed:
        loud = self.random.choice([-80.0, -60.0, -20.0])
        return [(0.04 * n, Level(self.now + 0.04 * n, loud, loud + 9.0)) for n in range(20)]

    def _mishap(self) -> Deed:
        """Something goes wrong, and mostly comes right again."""
        mishaps: list[Deed] = [
            [(0.0, Gap(self.now))],
            [(0.0, Leak())],
            [(0.0, PlayedOver())],
            [(0.0, NoOutput())] if self.random.random() < 0.1 else [],
            [(0.0, Trouble("log", "The disk is full.")), (9.0, Trouble("log", ""))],
            [
                (0.0, Trouble("microphone", "It is gone.")),
                (3.0, Gap(self.now + 3.0)),
                (3.0, Trouble("microphone", "")),
            ],
            [(0.0, Computer(there=True)), (self.random.uniform(1.0, 60.0), Computer(there=False))],
            [(0.0, Battery(low=True)), (self.random.uniform(1.0, 60.0), Battery(low=False))],
            [(1000.0 * self.random.random(), Idle(self.now))],  # one that comes late
            [(0.0, Vitals(self.random.random(), charging=self.random.random() < 0.5, celsius=50.0))],
            [(0.0, Handless(none=True)), (self.random.uniform(1.0, 60.0), Handless(none=False))],
        ]
        return self.random.choice(mishaps)
