"""The pages of the panel."""

from __future__ import annotations

from enum import Enum


class Page(Enum):
    """What the player is at."""

    WAITING = "waiting"
    """No sound has come yet."""
    SETUP = "set-up"
    """One choice after the other: horn, fingering, A4, and on."""
    CAUTIONS = "cautions"
    """What is to be read before the first practice of all."""
    LEVEL = "level"
    """The level at the microphone, at the bell or on the stand."""
    TODAY = "today"
    """Today's plan: the page from which all else is reached."""
    DAYS = "days"
    """The days of practice at a glance, and the partials reached."""
    DATE = "date"
    """The date and time are set."""
    MORE = "more"
    """What else there is."""
    BOX = "box"
    """How the box itself is: battery, warmth, room."""
    ROUTINES = "routines"
    """Other routines to choose from."""
    PRACTICE = "practice"
    """A practice goes on: the session says where in it the player stands."""
    COMPUTER = "computer"
    """A computer is at the USB socket."""
    BATTERY = "battery"
    """The battery is low."""
    NIGHT = "night"
    """All is kept; the box may be switched off."""
