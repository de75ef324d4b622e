"""Practises on the virtual board until its power is cut: ``python -m board.cuts_player``, run by the box's launcher.

The program is the real one, threads and all, on recorded saxophone, with the OLED on a recorded bus. It is only made
to tell what it does, a line each, on the console: a try before it is handed to the journal, and that it is kept in
the moment in which the main thread hears of it, before any picture can show it. A line has left the board before
anything follows from it. `cuts_claims` reads the lines.
"""

from __future__ import annotations

import argparse
import json
import sqlite3
import sys
import termios
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import airladder
import airladder.app.practising as practising
from airladder.app.building import Aside
from airladder.app.damage import damage_of
from airladder.app.order import Order, Outside
from airladder.app.planning import known_of
from airladder.app.program import Item, Program
from airladder.appliance.versions import Versions
from airladder.config import Settings, load_what_can_be
from airladder.devices.clock import Clock
from airladder.devices.keys import NoKeys
from airladder.devices.recorded_bus import recorded_bus
from airladder.faults import Fault
from airladder.journal import opening
from airladder.pages.box import Box
from airladder.pages.effects import Effect, Save
from airladder.pages.events import KeptIn
from airladder.practice.ease import Limits
from airladder.practice.effects import Keep
from airladder.practice.session import Trouble
from board.cuts_claims import as_told
from climbing import climb
from oledwire import oled

FIRST_A4, A4_STEP = 430.0, 0.01
"""Each practice has an A4 of its own, by which it is known in the log, and each change of the settings another."""

PARTIALS = (1, 2, 3, 4) * 10
MOST = 100
"""Practices at one start, where nobody cuts the power."""

SAVES = 2
"""After so many tries that were kept the settings are changed."""

_saying = threading.Lock()


def say(what: str, **values: object) -> None:
    """A line on the console; returns when it has left the board."""
    with _saying:
        sys.stdout.write(f"cut: {json.dumps({'said': what, **values})}\n")
        sys.stdout.flush()
        with suppress(termios.error, OSError):  # no terminal, where a person tries this
            termios.tcdrain(sys.stdout.fileno())


class Telling(Program):
    """The program, telling which tries it hands over and hears to be kept.

    Attributes
    ----------
    practice : the A4 of the practice
    a4 : what is in the settings, or on its way there
    saving : whether it is on its way
    confirm : says that this version has come up
    """

    practice = FIRST_A4
    a4 = FIRST_A4
    saving = False
    confirm: Callable[[], None]

    def take(self, item: Item) -> list[Effect]:
        """As ever, between two lines."""
        kind = type(self)
        match item:
            case KeptIn():
                say("kept", practice=kind.practice, number=item.kept.number)
                kind.confirm()
            case Trouble(about="settings", sentence=""):
                say("saved", a4=kind.a4)
                kind.saving = False
            case Trouble(sentence=sentence) if sentence:
                say("trouble", about=item.about, sentence=sentence)
        effects = super().take(item)
        for effect in effects:
            if isinstance(effect, Keep):
                say("given", practice=kind.practice, tried=as_told(effect.attempt))
        if isinstance(item, KeptIn) and item.kept.number % SAVES == 0 and not kind.saving:
            kind.saving, kind.a4 = True, round(kind.a4 + A4_STEP, 2)
            say("saving", a4=kind.a4)
            effects.append(Save(replace(self.box.choices, a4=kind.a4), ("a4",)))
        return effects


def start(folder: Path) -> tuple[Settings, dict[str, str]]:
    """What the box does before it practises: look at the log and the settings, and say what it found."""
    log = folder / "log.sqlite"
    notes = dict(damage_of(log, own=True))
    settings, wrong = load_what_can_be(folder / "settings.toml")
    days = known_of(settings, log)
    found = sum(tally.tries for day in days for tally in day.tallies)
    say("start", version=airladder.__version__, at=str(Path(airladder.__file__).parent), damage=notes, settings=wrong)
    say("days", days=len(days), tries=found)
    return settings, notes


def be_careless() -> None:
    """From now on a try is told as kept without waiting for the disk: the judge must see that."""
    keep_safe = opening.keep_safe

    def keep_less_safe(connection: sqlite3.Connection, path: Path) -> None:
        keep_safe(connection, path)
        connection.execute("PRAGMA synchronous = OFF")

    opening.keep_safe = keep_less_safe


def take_releases(versions: Versions, releases: Path) -> None:
    """Take what does not run yet, one after the other; on this board a practice beside it would leave it no time."""
    for release in sorted(releases.glob("*.zip")):
        try:
            say("taking", release=release.name)
            say("taken", release=versions.take_file(release))
        except Fault as fault:
            say("refused", sentence=str(fault))


def build_drive(work: Aside) -> None:
    """Build the drive that goes out, as the box does at its start and after a practice; here too it would starve."""
    try:
        say("building")
        work.build()
        say("built")
    except Fault as fault:
        say("refused", sentence=str(fault))


def main() -> None:
    """Practise until the power goes."""
    words = argparse.ArgumentParser()
    words.add_argument("--folder", type=Path, required=True)
    words.add_argument("--sound", type=Path, required=True)
    words.add_argument("--first", type=int, required=True, help="the number of the first practice, of all cuts")
    words.add_argument("--releases", type=Path)
    words.add_argument("--drives", action="store_true")
    words.add_argument("--careless", action="store_true")
    told = words.parse_args()
    log, file = told.folder / "log.sqlite", told.folder / "settings.toml"
    if told.careless:
        be_careless()
    settings, notes = start(told.folder)
    versions = Versions(told.folder / "versions", log, runs_here=lambda said: None)
    Telling.confirm = staticmethod(versions.confirm)
    Telling.a4 = settings.a4 if file.exists() else FIRST_A4
    vars(practising)["Program"] = Telling
    if told.releases:
        take_releases(versions, told.releases)
    display = oled(recorded_bus("ssd1306"), "ssd1306")
    for number in range(told.first, told.first + MOST):
        Telling.practice = round(FIRST_A4 + A4_STEP * number, 2)
        if told.drives:
            build_drive(Aside(log, file if file.exists() else None))
        say("practice", number=number, practice=Telling.practice)
        now = replace(settings, a4=Telling.practice)
        order = Order(
            now,
            climb(now.series, PARTIALS),
            str(told.sound),
            log,
            limits=Limits(in_a_row=50, loud_minutes=60.0, minutes=120.0),
            settings_file=file,
            at_once=True,
            notes=notes,
        )
        done = practising.practise(order, Outside(display, lambda post: NoKeys(), _nobody_watches, Clock()))
        say("practised", practice=Telling.practice, faults=[str(fault) for fault in done.faults])
        if Telling.saving:  # its end has waited for the books, and no one was left to hear of them
            Telling.saving = False
            say("saved", a4=Telling.a4)


def _nobody_watches(box: Box) -> None:
    """The picture is on the glass."""


if __name__ == "__main__":
    main()
