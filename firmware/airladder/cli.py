"""The command line: words in, a sentence and an exit code out. See `faults` for the codes."""

from __future__ import annotations

import argparse
import logging
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from airladder.app.board import practise_on_board
from airladder.app.damage import damage_of
from airladder.app.in_terminal import practise_in_terminal
from airladder.app.listening import ear_of, free_ear_of, listen_as_json, listen_freely, listen_on_panel
from airladder.app.order import Order
from airladder.app.planning import chosen, first_pages, known_of, setting_of, todays
from airladder.app.sources import ALSA, DEMO
from airladder.app.told_plan import told_plan, told_routine, told_routines
from airladder.arguments import ANY, Command, parser
from airladder.cli_log import LOG_COMMANDS, log_of
from airladder.config import Settings, checked, load, screen_named, settings_path, shown
from airladder.devices.board_clock import BoardClock
from airladder.devices.clock import Clock
from airladder.devices.pressfile import read_presses
from airladder.faults import BadInput, Fault
from airladder.music.series import Against
from airladder.pages.page import Page
from airladder.practice.exercises.length import minutes_of
from airladder.practice.routines.reading import names, read

_DEMO_ROUTINE = "taste"
_NOTHING_HEARD = 1
_INTERRUPTED = 130  # 128 + SIGINT, as shells have it


def main(words: Sequence[str] | None = None) -> int:
    """Run the command that `words` (the program's own arguments when None) name; the exit code."""
    logging.basicConfig(format="airladder: %(message)s", level=logging.WARNING)
    arguments = parser(_COMMANDS).parse_args(words)
    command: Callable[[argparse.Namespace], int] = arguments.command
    try:
        return command(arguments)
    except Fault as fault:
        print(f"airladder: {fault}", file=sys.stderr)
        _give_up_what_cannot_be_said()
        return fault.exit_code
    except BrokenPipeError:  # whoever read our output has had enough
        _give_up_what_cannot_be_said()
        return 0
    except KeyboardInterrupt:
        return _INTERRUPTED


def _give_up_what_cannot_be_said() -> None:
    """Drop output that cannot be written: Python would try again at its end, and fail with a code of its own."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _settings(arguments: argparse.Namespace) -> Settings:
    """The settings file, with the words of the command line over it."""
    words = {key: getattr(arguments, key, None) for key in ("horn", "fingering", "a4", "against", "screen")}
    given = {key: value for key, value in words.items() if value is not None}
    return checked(given, "The command line", load(arguments.settings))


def _names_no_fingering(arguments: argparse.Namespace) -> bool:
    return (arguments.fingering or "").strip().casefold() == ANY


def _order(arguments: argparse.Namespace, *, pressable: bool = True, on_board: bool = False) -> Order:
    """With a live microphone and no routine named: today's plan, and all else; else straight into a practice.

    Where nobody can press anything, there are no pages to be pressed through. Before anybody opens the log, it is
    looked at: on the board only as far as there is time at the start.
    """
    if _names_no_fingering(arguments):
        raise BadInput("practice asks for the partials of one fingering: name it, like Bb3; 'any' is for listen.")
    settings, clock = _settings(arguments), Clock()
    source = arguments.source or f"{ALSA}{settings.microphone}"
    log = arguments.log or (settings.demo_log if source == DEMO else settings.log)
    presses = read_presses(arguments.presses) if arguments.presses else ()
    notes = damage_of(log, own=arguments.log is None, whole=not on_board)
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


def _practice(arguments: argparse.Namespace) -> int:
    screen = arguments.screen or _screen_that_is_set(arguments.settings)
    if screen == "terminal":
        return practise_in_terminal(_order(arguments, pressable=sys.stdin.isatty()), sys.stdin, sys.stdout, Clock())
    return practise_on_board(screen_named(screen), lambda: _order(arguments, on_board=True), BoardClock())


def _desk(arguments: argparse.Namespace) -> int:
    from airladder.app.desk import practise_at_desk  # a web server, which the board does not need

    return practise_at_desk(_order(arguments), sys.stdout, Clock(), arguments.port)


def _screen_that_is_set(path: Path | None) -> str:
    return load(path).screen


def _listen(arguments: argparse.Namespace) -> int:
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


def _plan(arguments: argparse.Namespace) -> int:
    settings = _settings(arguments)
    for line in told_plan(todays(settings, known_of(settings, log_of(arguments)), Clock())):
        print(line)
    return 0


def _routines(arguments: argparse.Namespace) -> int:
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


def _config(arguments: argparse.Namespace) -> int:
    path = arguments.settings or settings_path()
    settings = load(arguments.settings)
    print(f"# {path}" if path.exists() else f"# built in; there is no {path}")
    print(shown(settings), end="")
    return 0


def _screens(arguments: argparse.Namespace) -> int:
    from airladder.panel.gallery import write  # samples, sheet and map, which no practice needs

    for path in write(arguments.out):
        print(path)
    return 0


_COMMANDS: Mapping[str, Command] = {
    "practice": _practice,
    "play": _practice,
    "desk": _desk,
    "plan": _plan,
    "routines": _routines,
    "listen": _listen,
    "config": _config,
    "screens": _screens,
    **LOG_COMMANDS,
}
