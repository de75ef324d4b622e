"""The command line: words in, a sentence and an exit code out. See `faults` for the codes."""

from __future__ import annotations

import argparse
import logging
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from airladder import __version__
from airladder.app.board import practise_on_board
from airladder.app.desk import practise_at_desk
from airladder.app.listening import ear_of, free_ear_of, listen_as_json, listen_freely, listen_on_panel
from airladder.app.planning import chosen, known_of, setting_of, todays
from airladder.app.practising import Order
from airladder.app.sources import ALSA, DEMO
from airladder.app.told_plan import minutes_of, told_plan, told_routine, told_routines
from airladder.config import SCREENS, Settings, checked, load, screen_named, settings_path, shown
from airladder.devices.clock import Clock
from airladder.devices.pressfile import read_presses
from airladder.faults import BadInput, Fault
from airladder.journal.export import export
from airladder.journal.listing import listing
from airladder.journal.log import Reader
from airladder.journal.report import report
from airladder.music.series import Against
from airladder.panel.gallery import write as write_gallery
from airladder.practice.routines.reading import names, read

_ANY = "any"
_DEMO_ROUTINE = "taste"
_NOTHING_HEARD = 1
_INTERRUPTED = 130  # 128 + SIGINT, as shells have it


def main(words: Sequence[str] | None = None) -> int:
    """Run the command that `words` (the program's own arguments when None) name; the exit code."""
    logging.basicConfig(format="airladder: %(message)s", level=logging.WARNING)
    arguments = _parser().parse_args(words)
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


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="airladder", description="A trainer for saxophone overtones.")
    parser.add_argument("--version", action="version", version=f"airladder {__version__}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    def command(name: str, run: Callable[[argparse.Namespace], int], says: str) -> argparse.ArgumentParser:
        added = commands.add_parser(name, help=says, description=says)
        added.add_argument("--settings", type=Path, metavar="FILE", help=f"the settings file ({settings_path()})")
        added.set_defaults(command=run)
        return added

    practice = command("practice", _practice, "Practise what the coach has planned for today.")
    _session(practice)
    play = command("play", _practice, "Practise a routine: a file, or one by its name.")
    play.add_argument("routine", help="a routine file (TOML), or the name of one: see airladder routines")
    _session(play)
    planned = command("plan", _plan, "Print today's routine and why.")
    _tuning(planned, "the written fundamental, like Bb3")
    _log(planned)
    routines = command("routines", _routines, "List the routines, or check files of your own.")
    routines.add_argument("check", nargs="?", choices=["check"], help="check the files that follow")
    routines.add_argument("files", nargs="*", type=Path, metavar="FILE", help="routine files (TOML)")
    _tuning(routines, "the written fundamental, like Bb3")

    listen = command("listen", _listen, "Name whatever sounds; nothing is judged or kept.")
    listen.add_argument("source", help="a WAV or FLAC file, or alsa:NAME")
    _tuning(listen, f"the written fundamental, like Bb3; {_ANY}: name whatever it could be")
    listen.add_argument("--json", action="store_true", help="one JSON object a line instead of the panel")

    _log(command("sessions", _sessions, "List the sessions in the log."))
    export = command("export", _export, "Write the log as CSV (RFC 4180), one row a tone.")
    export.add_argument("file", nargs="?", type=Path, help="where to (standard output)")
    _log(export)
    report = command("report", _report, "Write the report: one page that any browser shows, without a network.")
    report.add_argument("file", nargs="?", type=Path, help="where to (beside the log)")
    _log(report)
    command("config", _config, "Print the settings in force, and where they come from.")
    screens = command("screens", _screens, "Draw every screen as an enlarged PNG.")
    screens.add_argument("--out", type=Path, required=True, metavar="DIR", help="the folder for them")
    return parser


def _session(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("source", nargs="?", help="demo, alsa:NAME, or a WAV or FLAC file (the set microphone)")
    _tuning(parser, "the written fundamental, like Bb3")
    parser.add_argument("--screen", metavar="KIND", help=f"one of {', '.join(SCREENS)}")
    parser.add_argument("--presses", type=Path, metavar="FILE", help="make the presses of this file (replays)")
    parser.add_argument("--at-once", action="store_true", help="as fast as it can, not at the speed of life")
    _log(parser)


def _tuning(parser: argparse.ArgumentParser, fingering: str) -> None:
    parser.add_argument("--horn", help="soprano, alto, tenor or baritone")
    parser.add_argument("--fingering", metavar="NOTE", help=fingering)
    parser.add_argument("--a4", type=_number, metavar="HZ", help="430 to 450")
    parser.add_argument("--against", help="what the cents are from: tempered, pure or measured")


def _log(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--log", type=Path, metavar="FILE", help="the log, instead of the one that is set")


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text}' is no number") from None


def _settings(arguments: argparse.Namespace) -> Settings:
    """The settings file, with the words of the command line over it."""
    words = {key: getattr(arguments, key, None) for key in ("horn", "fingering", "a4", "against", "screen")}
    given = {key: value for key, value in words.items() if value is not None}
    return checked(given, "The command line", load(arguments.settings))


def _log_of(arguments: argparse.Namespace) -> Path:
    return arguments.log or _settings(arguments).log


def _names_no_fingering(arguments: argparse.Namespace) -> bool:
    return (arguments.fingering or "").strip().casefold() == _ANY


def _order(arguments: argparse.Namespace) -> Order:
    if _names_no_fingering(arguments):
        raise BadInput("practice asks for the partials of one fingering: name it, like Bb3; 'any' is for listen.")
    settings, clock = _settings(arguments), Clock()
    source = arguments.source or f"{ALSA}{settings.microphone}"
    log = arguments.log or (settings.demo_log if source == DEMO else settings.log)
    presses = read_presses(arguments.presses) if arguments.presses else ()
    word = getattr(arguments, "routine", _DEMO_ROUTINE if source == DEMO else None)
    choice = chosen(word, settings, log, clock)
    cautions = () if source == DEMO or arguments.at_once else choice.cautions
    return Order(settings, choice.routine, source, log, presses, choice.limits, cautions, arguments.at_once)


def _practice(arguments: argparse.Namespace) -> int:
    screen = arguments.screen or _screen_that_is_set(arguments.settings)
    if screen == "terminal":
        return practise_at_desk(_order(arguments), sys.stdin, sys.stdout, Clock())
    return practise_on_board(screen_named(screen), lambda: _order(arguments), Clock())


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
            f"With --fingering {_ANY} the cents are from the nearest tempered note; leave --against out, "
            "or name the fingering."
        )
    arguments.fingering = None
    return _settings(arguments)


def _plan(arguments: argparse.Namespace) -> int:
    settings = _settings(arguments)
    for line in told_plan(todays(settings, known_of(settings, _log_of(arguments)), Clock())):
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


def _sessions(arguments: argparse.Namespace) -> int:
    with Reader(_log_of(arguments)) as log:
        for line in listing(log.sessions()):
            print(line)
    return 0


def _export(arguments: argparse.Namespace) -> int:
    with Reader(_log_of(arguments)) as log:
        export(log, arguments.file)
    return 0


def _report(arguments: argparse.Namespace) -> int:
    path = _log_of(arguments)
    page = arguments.file or path.with_suffix(".html")
    with Reader(path) as log:
        report(log, page)
    print(page)
    return 0


def _config(arguments: argparse.Namespace) -> int:
    path = arguments.settings or settings_path()
    settings = load(arguments.settings)
    print(f"# {path}" if path.exists() else f"# built in; there is no {path}")
    print(shown(settings), end="")
    return 0


def _screens(arguments: argparse.Namespace) -> int:
    for path in write_gallery(arguments.out):
        print(path)
    return 0
