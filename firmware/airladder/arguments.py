"""The words of the command line: which there are, and what each is for."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path

from airladder import __version__
from airladder.config import SCREENS, settings_path

ANY = "any"
"""The fingering of whoever names none."""

Command = Callable[[argparse.Namespace], int]
"""Runs a command; its exit code."""


def parser(commands: Mapping[str, Command]) -> argparse.ArgumentParser:
    """The parser, whose result bears the function of its command as `command`."""
    words = argparse.ArgumentParser(prog="airladder", description="A trainer for saxophone overtones.")
    words.add_argument("--version", action="version", version=f"airladder {__version__}")
    added = words.add_subparsers(required=True, metavar="COMMAND")

    def command(name: str, says: str) -> argparse.ArgumentParser:
        one = added.add_parser(name, help=says, description=says)
        one.add_argument("--settings", type=Path, metavar="FILE", help=f"the settings file ({settings_path()})")
        one.set_defaults(command=commands[name])
        return one

    practice = command("practice", "Practise what the coach has planned for today.")
    _session(practice)
    play = command("play", "Practise a routine: a file, or one by its name.")
    play.add_argument("routine", help="a routine file (TOML), or the name of one: see airladder routines")
    _session(play)
    desk = command("desk", "Practise with the panel on a page of this computer's browser.")
    _session(desk, screens=False)
    desk.add_argument("--port", type=int, default=0, help="of the page (any that is free)")
    planned = command("plan", "Print today's routine and why.")
    _tuning(planned, "the written fundamental, like Bb3")
    _log(planned)
    routines = command("routines", "List the routines, or check files of your own.")
    routines.add_argument("check", nargs="?", choices=["check"], help="check the files that follow")
    routines.add_argument("files", nargs="*", type=Path, metavar="FILE", help="routine files (TOML)")
    _tuning(routines, "the written fundamental, like Bb3")

    listen = command("listen", "Name whatever sounds; nothing is judged or kept.")
    listen.add_argument("source", help="a WAV or FLAC file, or alsa:NAME")
    _tuning(listen, f"the written fundamental, like Bb3; {ANY}: name whatever it could be")
    listen.add_argument("--json", action="store_true", help="one JSON object a line instead of the panel")

    _log(command("sessions", "List the sessions in the log."))
    export = command("export", "Write the log as CSV (RFC 4180), one row a tone.")
    export.add_argument("file", nargs="?", type=Path, help="where to (standard output)")
    _log(export)
    report = command("report", "Write the report: one page that any browser shows, without a network.")
    report.add_argument("file", nargs="?", type=Path, help="where to (beside the log)")
    _log(report)
    command("config", "Print the settings in force, and where they come from.")
    screens = command("screens", "Draw every screen as a PNG, all on one sheet, and the map of what the presses do.")
    screens.add_argument("--out", type=Path, required=True, metavar="DIR", help="the folder for them")
    return words


def _session(parser: argparse.ArgumentParser, *, screens: bool = True) -> None:
    parser.add_argument("source", nargs="?", help="demo, alsa:NAME, or a WAV or FLAC file (the set microphone)")
    _tuning(parser, "the written fundamental, like Bb3")
    if screens:
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
