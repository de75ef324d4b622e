"""The commands that listen and practise."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from pathlib import Path

from airladder.app.damage import damage_of
from airladder.app.in_terminal import practise_in_terminal
from airladder.app.listening import ear_of, free_ear_of, listen_as_json, listen_freely, listen_on_panel
from airladder.app.order import Order
from airladder.app.planning import chosen, first_pages, known_of, setting_of, todays
from airladder.app.sources import ALSA, DEMO
from airladder.app.told_plan import told_plan, told_routine, told_routines
from airladder.arguments import ANY
from airladder.cli_log import log_of
from airladder.config import Settings, checked, load, shown
from airladder.devices.clock import Clock
from airladder.devices.pressfile import read_presses
from airladder.faults import BadInput
from airladder.music.series import Against
from airladder.pages.page import Page
from airladder.places import settings_path
from airladder.practice.exercises.length import minutes_of
from airladder.practice.routines.reading import names, read

_DEMO_ROUTINE = "taste"
_NOTHING_HEARD = 1


def _settings(arguments: argparse.Namespace) -> Settings:
    """The settings file, with the words of the command line over it."""
    words = {key: getattr(arguments, key, None) for key in ("horn", "fingering", "a4", "against")}
    given = {key: value for key, value in words.items() if value is not None}
    return checked(given, "The command line", load(arguments.settings))


def _names_no_fingering(arguments: argparse.Namespace) -> bool:
    return (arguments.fingering or "").strip().casefold() == ANY


def _order(arguments: argparse.Namespace, *, pressable: bool = True) -> Order:
    """With a live microphone and no routine named: today's plan, and all else; else straight into a practice.

    Where nobody can press anything, there are no pages to be pressed through. Before anybody opens the log, it is
    looked at.
    """
    if _names_no_fingering(arguments):
        raise BadInput("practice asks for the partials of one fingering: name it, like Bb3; 'any' is for listen.")
    settings, clock = _settings(arguments), Clock()
    source = arguments.source or f"{ALSA}{settings.microphone}"
    log = arguments.log or (settings.demo_log if source == DEMO else settings.log)
    presses = read_presses(arguments.presses) if arguments.presses else ()
    notes = damage_of(log, own=arguments.log is None, whole=True)
    word = getattr(arguments, "routine", _DEMO_ROUTINE if source == DEMO else None)
    order = Order(
        settings,
        None,
        source,
        log,
        presses,
        settings_file=arguments.settings,
        at_once=arguments.at_once,
        notes=notes,
    )
    if source.startswith(ALSA) and pressable:
        first = first_pages(arguments.settings, settings, log)
        if word is None:
            return replace(order, first=first)
        read = tuple(page for page in first if page is not Page.SETUP)  # the routine is for the horn that is set
        order = replace(order, first=read)
    choice = chosen(word, settings, log, clock)
    return replace(order, routine=choice.routine, limits=choice.limits)


def practice(arguments: argparse.Namespace) -> int:
    """Practise in this terminal."""
    return practise_in_terminal(_order(arguments, pressable=sys.stdin.isatty()), sys.stdin, sys.stdout, Clock())


def desk(arguments: argparse.Namespace) -> int:
    """Practise with the panel in the browser."""
    from airladder.app.desk import practise_at_desk  # a web server, which the board does not need

    return practise_at_desk(_order(arguments), sys.stdout, Clock(), arguments.port)


def listen(arguments: argparse.Namespace) -> int:
    """Name whatever sounds."""
    free, clock = _names_no_fingering(arguments), Clock()
    settings = _settings_of_any(arguments) if free else _settings(arguments)
    if arguments.json:
        ear = free_ear_of(settings) if free else ear_of(settings)
        tones, notes = listen_as_json(arguments.source, ear, sys.stdout, clock)
    elif free:
        tones, notes = listen_freely(arguments.source, settings, sys.stdout, clock)
    else:
        tones, notes = listen_on_panel(arguments.source, settings, sys.stdout, clock, sys.stdin)
    for note in notes:
        print(f"airladder: {note}", file=sys.stderr)
    if not tones and not notes:
        print("airladder: Nothing sounded that is a tone of a horn.", file=sys.stderr)
    return 0 if tones else _NOTHING_HEARD


def _settings_of_any(arguments: argparse.Namespace) -> Settings:
    if arguments.against not in (None, Against.TEMPERED.value):
        raise BadInput(
            f"With --fingering {ANY} the cents are from the nearest tempered note; leave --against out, "
            "or name the fingering."
        )
    arguments.fingering = None
    return _settings(arguments)


def plan(arguments: argparse.Namespace) -> int:
    """Print today's routine and why."""
    settings = _settings(arguments)
    for line in told_plan(todays(settings, known_of(settings, log_of(arguments)), Clock())):
        print(line)
    return 0


def routines(arguments: argparse.Namespace) -> int:
    """List the routines, or check files."""
    settings = _settings(arguments)
    if arguments.check and not arguments.files:
        raise BadInput("No file to check was named; wanted one or more, like: airladder routines check mine.toml.")
    if not arguments.check:
        for line in told_routines(names(settings.routines)):
            print(line)
    faults = [fault for file in arguments.files if (fault := _checked(file, settings))]
    for fault in faults:
        print(f"airladder: {fault}", file=sys.stderr)
    return BadInput.exit_code if faults else 0


def _checked(file: Path, settings: Settings) -> BadInput | None:
    """Tell what a routine file asks for; or what is wrong with it."""
    try:
        routine = read(file, setting_of(settings, ()))
    except BadInput as fault:
        return fault
    print(f"{file}: all is well; {routine.name}, about {minutes_of(routine):.0f} minutes")
    for line in told_routine(routine):
        print(line)
    return None


def config(arguments: argparse.Namespace) -> int:
    """Print the settings in force."""
    path = arguments.settings or settings_path()
    settings = load(arguments.settings)
    print(f"# {path}" if path.exists() else f"# built in; there is no {path}")
    print(shown(settings), end="")
    return 0


def screens(arguments: argparse.Namespace) -> int:
    """Draw every screen."""
    from airladder.panel.gallery import write  # samples, sheet and map, which no practice needs

    for path in write(arguments.out):
        print(path)
    return 0
