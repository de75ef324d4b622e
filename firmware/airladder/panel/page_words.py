"""Every word on the pages round the practice; those within it are in `words`.

A label under the screen holds 6 small characters, a line across it 25 small or 15 middle ones.
"""

from __future__ import annotations

from collections.abc import Mapping

from airladder.music.fingerings import Fingering
from airladder.music.names import pretty, spelled
from airladder.music.series import Against, Series
from airladder.pages.choices import Item, Place
from airladder.pages.page import Page
from airladder.panel.words import GO_ON, PEDAL, Row
from airladder.practice.state import Aloud

NAME = "Airladder"

ROWS: Mapping[Page, Row] = {
    Page.WAITING: ("leave", "", "", GO_ON),
    Page.SETUP: ("done", "−", "+", "next" + PEDAL),
    Page.CAUTIONS: ("back", "", "", GO_ON),
    Page.LEVEL: ("back", "bell", "stand", "done" + PEDAL),
    Page.TODAY: ("more", "set up", "days", "start" + PEDAL),
    Page.DAYS: ("back", "older", "newer", ""),
    Page.MORE: ("back", "free", "others", "level"),
    Page.ROUTINES: ("back", "down", "up", "start" + PEDAL),
    Page.COMPUTER: ("", "", "", GO_ON),
    Page.BATTERY: ("", "", "", GO_ON),
    Page.NIGHT: ("", "", "", ""),
}
"""What each button does on each page, in the order of `presses.ROW`."""

FIRST_SETUP: Row = ("back", "−", "+", "next" + PEDAL)
"""The set-up of the first run: there is nothing before it to be done with."""

WAITING = ("waiting for the", "microphone")
LOOKING = ("looking into", "the log")
HOLD_NEXT = "hold next: back one"

ITEMS: Mapping[Item, str] = {
    Item.HORN: "horn",
    Item.FINGERING: "fingering",
    Item.A4: "A4",
    Item.AGAINST: "cents from",
    Item.ALOUD: "pitch aloud",
}

AGAINST: Mapping[Against, tuple[str, str]] = {
    Against.TEMPERED: ("the usual", "fingering, tuned"),
    Against.PURE: ("the pure series", "of the low note"),
    Against.MEASURED: ("your own horn,", "as played today"),
}
"""What each means to a player."""

ALOUD: Mapping[Aloud, tuple[str, str]] = {
    Aloud.SILENT: ("the box keeps", "quiet"),
    Aloud.TONE: ("two seconds of it", "when asked"),
    Aloud.DRONE: ("it goes on; best", "in earphones"),
}

NO_OUTPUT = ("no sound output", "was found")
HZ = "Hz"
SHORTER = "a shorter tube"

CAUTION_HEADING = "before you play"

MICROPHONE = "microphone"
PLACES: Mapping[Place, str] = {Place.BELL: "at the bell", Place.STAND: "on the stand"}
TOO_SOFT = "too soft: nearer, or more"
GOOD = "good"
TOO_LOUD = "too loud: turn it down"

TODAY = "today"
MINUTES = "min"

NO_DAYS = ("no days here yet:", "little and daily")

MORE = "more"
MORE_LINES = ("free: it only names", "others: all routines", "level: the microphone", "hold back: good night")

NO_ROUTINES = "no routines here"

COMPUTER = ("computer", "A computer is at the USB socket. The log is safe; you may go on practising.")
BATTERY = "battery low"
NIGHT = ("Good night.", "Rest your ears.")


def of(number: int, count: int) -> str:
    """Which one of how many."""
    return f"{number} of {count}"


def fingering_word(fingering: Fingering) -> str:
    """What players call a fingering: low B flat; the short ones by what they are."""
    written = pretty(fingering.written)
    return f"low {written.rstrip('0123456789')}" if fingering.long else SHORTER


def sounds(series: Series) -> str:
    """The concert pitch of the fundamental."""
    return f"sounds {pretty(spelled(series.fundamental_number, flats=True))}"


def play_loud(fingering: Fingering) -> str:
    """What is to be played while the level is looked at."""
    name = fingering_word(fingering) if fingering.long else pretty(fingering.written)
    return f"play {name}, loud"


def minutes(value: float) -> str:
    """Whole minutes, at least one."""
    return f"{max(1, round(value))}"


def exercises(count: int) -> str:
    """How many exercises there are."""
    return "1 exercise" if count == 1 else f"{count} exercises"


def up_to(partial: int) -> str:
    """The highest partial."""
    return f"up to partial {partial}"


def days_of(count: int, of_days: int) -> str:
    """On how many days somebody practised."""
    return f"{count} of {of_days} days"


def weeks_ago(weeks: int) -> str:
    """How long ago what is shown ends."""
    return "" if weeks == 0 else "1 week ago" if weeks == 1 else f"{weeks} weeks ago"
