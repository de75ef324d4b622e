"""Everything that the panel shows: the one value from which each picture is drawn.

Conventions
-----------
Times in seconds on the clock of the sound, which `Idle` carries on while no sound comes. The value is never changed,
only replaced (see `step`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from airladder.pages.calm import Calm
from airladder.pages.choices import Choices, Item
from airladder.pages.date import Date, Part
from airladder.pages.glance import Glance
from airladder.pages.light import Light
from airladder.pages.meter import Meter
from airladder.pages.page import Page
from airladder.pages.vitals import Vitals
from airladder.practice.ease import Limits
from airladder.practice.presses import Button
from airladder.practice.routine import Routine
from airladder.practice.state import Aloud, Listening, State

DIM_SECONDS = 90.0
"""So long after the last sound or press the screen dims: longer than a rest."""

DARK_SECONDS = 600.0
"""So long after it, the screen goes dark."""


@dataclass(frozen=True)
class Box:
    """The box at one moment.

    Attributes
    ----------
    page : what the player is at
    choices : what is set
    first : the pages of the first run that are still to be gone through, with the one that is shown
    direct : what is practised as soon as sound comes, with no other page before and after it
    limits : where something kinder is offered then
    now : the newest time heard of, s
    stirred : when somebody last played or pressed, s
    session : the practice that goes on, on page PRACTICE; on page NIGHT the one that led there
    last : the practice that was left last, as it was then
    practices : how many practices were begun, plain listening among them
    calm : what sounds in it, as it is shown
    glance : what the log says; None until it was looked into
    item : which choice is shown on page SETUP
    chosen : what was set when page SETUP or LEVEL was entered
    read : how many cautions were read
    row : which routine is shown on page ROUTINES
    back : how many weeks before today page DAYS ends
    date : what page DATE shows, and `part` which part of it is turned
    meter : the level at the microphone
    output : whether there is something to sound a pitch with
    computer : whether a computer is at the USB socket
    vitals : how the box itself is
    handless : whether there is no button that could be pressed: then today's plan begins by itself, once
    empty : whether it is good night because the battery is empty
    before : the page to which a notice leads back
    spent : the button whose press led to this page, or woke the screen: held on, it does nothing more here
    troubles : sentences that the player should know of, by what they are about
    """

    page: Page = Page.WAITING
    choices: Choices = field(default_factory=Choices)
    first: tuple[Page, ...] = ()
    direct: Routine | None = None
    limits: Limits = field(default_factory=Limits)
    now: float = 0.0
    stirred: float = 0.0
    session: State | None = None
    last: State | None = None
    practices: int = 0
    calm: Calm = field(default_factory=Calm)
    glance: Glance | None = None
    item: Item = Item.HORN
    chosen: Choices | None = None
    read: int = 0
    row: int = 0
    back: int = 0
    date: Date = field(default_factory=Date)
    part: Part = Part.YEAR
    meter: Meter = field(default_factory=Meter)
    output: bool = False
    computer: bool = False
    vitals: Vitals = field(default_factory=Vitals)
    handless: bool = False
    empty: bool = False
    before: Page = Page.TODAY
    spent: Button | None = None
    troubles: Mapping[str, str] = field(default_factory=dict)

    @property
    def is_first_run(self) -> bool:
        """Whether this page belongs to the walk of the first run."""
        return self.page in self.first[:1]

    @property
    def light(self) -> Light:
        """How bright the screen is to be."""
        still = self.now - self.stirred
        return Light.BRIGHT if still < DIM_SECONDS else Light.DIM if still < DARK_SECONDS else Light.DARK

    @property
    def listening(self) -> Listening | None:
        """What the Ear is to listen for; None where nothing is listened to."""
        return None if self.session is None else self.session.listening

    @property
    def seen(self) -> State | None:
        """The practice as it is shown: with the reading calmed."""
        session = self.session
        if session is None or session.reading is None or session.reading is not self.calm.heard:
            return session
        return replace(session, reading=self.calm.shown)

    @property
    def aloud(self) -> Aloud:
        """How a pitch is sounded, if it can be."""
        return self.choices.aloud if self.output else Aloud.SILENT

    @property
    def trouble(self) -> str:
        """The newest sentence that the player should know of, or empty."""
        return next(reversed(list(self.troubles.values())), "")


def practising(session: State) -> Box:
    """A box that does nothing but go through with this practice."""
    return Box(Page.PRACTICE, direct=session.routine, session=session)
