"""What is to be run, and what of the world around takes part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

from airladder.app.exchanging import News
from airladder.app.handing import Handing
from airladder.app.program import Item
from airladder.app.pulse import Pulses
from airladder.app.sources import opened_by
from airladder.config import Settings
from airladder.devices.clock import Clock
from airladder.devices.display import Display
from airladder.devices.microphone import Microphone
from airladder.devices.speaker import SilentSpeaker, Speaker
from airladder.faults import Fault
from airladder.pages.box import Box
from airladder.pages.page import Page
from airladder.panel.debounce import Edge
from airladder.practice.ease import Limits
from airladder.practice.presses import Press
from airladder.practice.routine import Routine
from airladder.practice.state import State


@dataclass(frozen=True)
class Order:
    """What is to be run, and how.

    Attributes
    ----------
    settings : what was set
    routine : what is practised at once, with no other page before and after it; None: today's plan and all else
    source : ``demo``, ``alsa:NAME`` or the path of a recording
    log : the log file
    presses : presses to be made at their times on the clock of the sound (replays)
    limits : where something kinder is offered, in `routine`
    first : the pages of the first run
    settings_file : where what is chosen on the box is kept
    at_once : as fast as it can, instead of at the speed of life
    notes : what the player should know from the start, by what it is about
    """

    settings: Settings
    routine: Routine | None
    source: str
    log: Path
    presses: tuple[Press, ...] = ()
    limits: Limits = field(default_factory=Limits)
    first: tuple[Page, ...] = ()
    settings_file: Path | None = None
    at_once: bool = False
    notes: Mapping[str, str] = field(default_factory=dict)


class Hands(Protocol):
    """Buttons or keys that have begun to post."""

    def close(self) -> None:
        """End posting."""


class Watch(Protocol):
    """Whoever has begun to look after the box itself."""

    def close(self) -> None:
        """End looking after it."""


class LookAfter(Protocol):
    """Begins to look after the box itself."""

    def __call__(self, post: Callable[[Item], None], changed: Callable[[], None]) -> Watch:
        """Begin.

        Parameters
        ----------
        post : takes what the player is told
        changed : to be called when the drive that goes out should say something else
        """


@dataclass(frozen=True)
class Outside:
    """What of the world around takes part.

    Attributes
    ----------
    display : where the panel is shown; the display thread alone uses it
    hands : begins to post presses and edges by the function it is given
    watch : called with every new box by the thread that owns it; must not wait
    clock : the time
    opened_by : gives the source that a word names, not yet open
    speaker : makes what the box sounds a pitch with, from what is to be done with its faults
    hand_over : begins to look after the USB socket and tells what happens there; None where there is none
    pulses : whether every thread gets on with its work
    look_after : begins to look after the box itself, as soon as it listens; None where nobody does
    """

    display: Display
    hands: Callable[[Callable[[Press | Edge], None]], Hands]
    watch: Callable[[Box], None]
    clock: Clock
    opened_by: Callable[[str, Clock], Microphone] = opened_by
    speaker: Callable[[Callable[[str], None]], Speaker] = lambda on_fault: SilentSpeaker()
    hand_over: Callable[[Callable[[News], None]], Handing] | None = None
    pulses: Pulses = field(default_factory=Pulses)
    look_after: LookAfter | None = None


@dataclass(frozen=True)
class Done:
    """How it ended.

    Attributes
    ----------
    state : the last practice; None when there was none
    faults : by which the sound ended early, or tries could not be kept
    notes : what a person should know of the recording, a sentence each
    good_night : whether the player said good night, or the battery did; False: somebody else told the program to end
    """

    state: State | None
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]
    good_night: bool = False
