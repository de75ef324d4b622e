"""Every word on the pages round the practice; those within it are in `words`.

A label under the screen holds 6 small characters, a line across it 25 small or 15 middle ones.
"""

from __future__ import annotations

from collections.abc import Mapping

from airladder.music.fingerings import Fingering
from airladder.music.names import pretty, spelled
from airladder.music.pitch import A4_HZ
from airladder.music.series import Against
from airladder.pages.choices import Item
from airladder.pages.date import Date, Part
from airladder.pages.page import Page
from airladder.pages.vitals import Vitals
from airladder.panel.words import GO_ON, PARTIAL, PEDAL, PEDAL_HELD, Row
from airladder.practice.state import Aloud

NAME = "Airladder"

ROWS: Mapping[Page, Row] = {
    Page.WAITING: ("leave", "", "", GO_ON),
    Page.SETUP: ("done", "−", "+" + PEDAL_HELD, "next" + PEDAL),
    Page.CAUTIONS: ("back", "", "", GO_ON),
    Page.LEVEL: ("back", "bell", "stand" + PEDAL_HELD, "done" + PEDAL),
    Page.TODAY: ("more", "set up", "days" + PEDAL_HELD, "start" + PEDAL),
    Page.DAYS: ("back", "older", "newer" + PEDAL_HELD, "date" + PEDAL),
    Page.DATE: ("back", "−", "+" + PEDAL_HELD, "next" + PEDAL),
    Page.MORE: ("back", "free", "other" + PEDAL_HELD, "level" + PEDAL),
    Page.BOX: ("back", "", "", ""),
    Page.ROUTINES: ("back", "down", "up" + PEDAL_HELD, "start" + PEDAL),
    Page.COMPUTER: ("", "", "", GO_ON),
    Page.BATTERY: ("", "", "", GO_ON),
    Page.NIGHT: ("", "", "", ""),
}
"""What each button does on each page, in the order of `presses.ROW`."""

FIRST_BACK, FIRST_NEXT = "back", "next" + PEDAL
"""In the first run the outer buttons lead from one thing to the next, and back."""

WAITING = ("waiting for the", "microphone")
LOOKING = ("looking into", "the log")
HOLD_NEXT = "held next: back"

ITEMS: Mapping[Item, str] = {
    Item.HORN: "horn",
    Item.FINGERING: "fingering",
    Item.A4: "A4",
    Item.AGAINST: "cents from",
    Item.ALOUD: "heard as",
}

AGAINST: Mapping[Against, tuple[str, str, str]] = {
    Against.TEMPERED: ("where the usual", "fingering of the", "note should be"),
    Against.PURE: ("the pure series:", "2, 3, 4 times", "the low note"),
    Against.MEASURED: ("your own horn,", "as you played it", "today"),
}
"""What each means to a player."""

ALOUD: Mapping[Aloud, tuple[str, str, str]] = {
    Aloud.SILENT: ("the box keeps", "quiet: the note", "is yours to hear"),
    Aloud.TONE: ("the wanted note,", "for two seconds,", "when you ask"),
    Aloud.DRONE: ("it goes on under", "your playing:", "use earphones"),
}
"""What each does."""

NO_OUTPUT = ("no sound output", "was found: the", "box keeps quiet")
HZ = "Hz"
SHORTER = "a shorter tube"
CONCERT = "written C4"

CAUTION_HEADING = "take care"

PLAY_NOW, TOO_SOFT, GOOD, TOO_LOUD = "play now", "too soft", "good", "too loud"
"""What is said of the level."""
LEVEL_HINTS: Mapping[str, str] = {
    TOO_SOFT: "nearer, or turn it up",
    GOOD: "leave it so",
    TOO_LOUD: "turn it down or step back",
}
"""What to do then."""
PEAK, DBFS = "peak", "dBFS"

TODAY = "today"
MINUTES = "min"
LONG_MINUTES = "minutes"

DAYS = "days"
NO_DAYS = ("no days here yet:", "little and daily,", "and it will grow")
OF_DAYS = "of 28 days"
PARTS: Mapping[Part, str] = {
    Part.YEAR: "year",
    Part.MONTH: "month",
    Part.DAY: "day",
    Part.HOUR: "hour",
    Part.MINUTE: "minute",
}
DATE_UNKNOWN = "not known: set it"
DATE_LAST = "set" + PEDAL
"""Over the button that leads on, at the last part of the date."""
UP_TO = "up to"

MORE_LINES = (("free", "only listen"), ("other", "choose a routine"), ("level", "the microphone"))
"""What the buttons of this page lead to."""
HELD_BACK = "held: good night"
HELD_LEVEL = "the box"
"""What the outer buttons lead to when they are held."""

OWN = "the box"

NO_ROUTINES = "no routines"
NOT_USABLE = "has a fault"

COMPUTER = (
    "connected",
    "The computer has your report and log. Eject them before you pull the plug; you may go on practising.",
)
BATTERY = "battery low"
EMPTY = "Battery empty"
GOOD_NIGHT, WELL_PLAYED = "Good night.", "Well played."
ALL_KEPT = ("Rest your ears.", "All that was played", "is kept.")


def of(number: int, count: int) -> str:
    """Which one of how many."""
    return f"{number} of {count}"


def date(date: Date) -> str:
    """The whole of it, such as ``2026-05-04 18:03`` (ISO 8601)."""
    return f"{date.year}-{date.month:02d}-{date.day:02d} {date.hour:02d}:{date.minute:02d}"


def fingering_word(fingering: Fingering) -> str:
    """What players call a fingering: low B flat; the short ones by what they are."""
    written = pretty(fingering.written)
    return f"low {written.rstrip('0123456789')}" if fingering.long else SHORTER


def sounds(number: int) -> str:
    """The concert pitch of a sounding note number."""
    return f"sounds {pretty(spelled(number, flats=True))}"


def a4(hz: int) -> str:
    """How a tuning lies to the usual one (ISO 16:1975)."""
    if hz == round(A4_HZ):
        return "the usual A"
    return f"{abs(hz - round(A4_HZ))} {HZ} {'above' if hz > A4_HZ else 'below'} 440"


def play_loud(fingering: Fingering) -> str:
    """What is to be played while the level is looked at."""
    name = fingering_word(fingering) if fingering.long else pretty(fingering.written)
    return f"play {name}, loud"


def room(dbfs: float) -> str:
    """How loud it is when nobody plays."""
    return f"room {level(dbfs)}"


def level(dbfs: float) -> str:
    """A level in whole dB re full scale."""
    return f"{round(dbfs)}".replace("-", "−")


def minutes(value: float) -> str:
    """Whole minutes, at least one and at most three digits."""
    return f"{min(999, max(1, round(value)))}"


def exercises(count: int) -> str:
    """How many exercises there are."""
    return "1 exercise" if count == 1 else f"{count} exercises"


def up_to(partial: int) -> str:
    """The highest partial."""
    return f"{UP_TO} {PARTIAL} {partial}"


def until(weeks: int) -> str:
    """When what is shown ends."""
    return "until today" if weeks == 0 else "until 1 week ago" if weeks == 1 else f"until {weeks} weeks ago"


def charge(vitals: Vitals) -> str:
    """How full the battery is, and for how long."""
    if vitals.charge is None:
        return "no battery gauge"
    left = "charging" if vitals.charging else "" if vitals.hours is None else f"{hours(vitals.hours)} left"
    return ", ".join(part for part in (f"battery {round(100 * vitals.charge)} %", left) if part)


def hours(left: float) -> str:
    """A time in hours, of less than two in minutes."""
    return f"{round(60 * left)} min" if left < 2.0 else f"{min(99, round(left))} h"


def warmth(celsius: float | None) -> str:
    """How warm the processor is."""
    return "warmth not known" if celsius is None else f"processor {round(celsius)} C"


def supply(weak: bool | None) -> str:
    """Whether the supply holds."""
    return "supply not known" if weak is None else "supply was too weak" if weak else "no weak supply seen"


def disk(free_mb: int | None) -> str:
    """How much room is left."""
    if free_mb is None:
        return "room not known"
    return f"room {free_mb} MB" if free_mb < 10_000 else f"room {free_mb // 1000} GB"


def not_kept(tries: int) -> tuple[str, str]:
    """Good night, but not everything is on the disk."""
    return ("1 try is" if tries == 1 else f"{min(tries, 9999)} tries are") + " not kept yet:", "wait a moment."
