"""The words of the command line: which there are, and what each is for."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import TypeAlias

from airladder import __version__
from airladder.places import SCREENS, settings_path

ANY = "any"
"""The fingering of whoever names none."""

_GROUPS = {
    "drive": "The drive of the box, as an image: build, take.",
    "socket": "The USB socket of the box: prepare, remove.",
    "update": "Versions of this program: make, take, list.",
}
_Added: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"

Command = Callable[[argparse.Namespace], int]
"""Runs a command; its exit code."""


def parser(commands: Mapping[str, Command]) -> argparse.ArgumentParser:
    """The parser, whose result bears the function of its command as `command`."""
    words = argparse.ArgumentParser(prog="airladder", description="A trainer for saxophone overtones.")
    words.add_argument("--version", action="version", version=f"airladder {__version__}")
    added = words.add_subparsers(required=True, metavar="COMMAND")

    groups = {name: _group(added, name, says) for name, says in _GROUPS.items()}

    def command(name: str, says: str) -> argparse.ArgumentParser:
        first, _, second = name.partition(" ")
        one = (groups[first] if second else added).add_parser(second or first, help=says, description=says)
        one.add_argument("--settings", type=Path, metavar="FILE", help=f"the settings file ({settings_path()})")
        one.set_defaults(command=commands[name])
        return one

    practice = command("practice", "Practise what the coach has planned for today.")
    _session(practice)
    play = command("play", "Practise a routine: a file, or one by its name.")
    play.add_argument("routine", help="a routine file (TOML), or the name of one: see airladder routines")
    _session(play)
    desk = command("desk", "Practise with the panel on a page of this computer's browser.")
    _session(desk)
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

    _kept(command)
    _of_the_box(command)
    command("config", "Print the settings in force, and where they come from.")
    screens = command("screens", "Draw every screen as a PNG, all on one sheet, and the map of what the presses do.")
    screens.add_argument("--out", type=Path, required=True, metavar="DIR", help="the folder for them")
    return words


def _group(added: _Added, name: str, says: str) -> _Added:
    return added.add_parser(name, help=says).add_subparsers(required=True, metavar="COMMAND")


def _kept(command: Callable[[str, str], argparse.ArgumentParser]) -> None:
    """The commands about what was kept."""
    _log(command("sessions", "List the sessions in the log."))
    export = command("export", "Write the log as CSV or JSON Lines, as one SQLite file, or a session of it as MIDI.")
    export.add_argument("file", nargs="?", type=Path, help="ends with .csv, .jsonl, .sqlite or .mid (CSV, printed)")
    export.add_argument("--month", metavar="YYYY-MM", help="only what was practised then (CSV, JSON Lines)")
    export.add_argument("--session", type=int, metavar="NUMBER", help="the session (MIDI)")
    export.add_argument("--form", type=int, metavar="NUMBER", help="the form of an older version (SQLite)")
    _log(export)
    report = command("report", "Write the report: one page that any browser shows, without a network.")
    report.add_argument("file", nargs="?", type=Path, help="where to (beside the log)")
    _log(report)
    build = command("drive build", "Write what the box hands over by USB as the image of a drive.")
    build.add_argument("--out", type=Path, metavar="IMAGE", help="where to (beside the log)")
    _log(build)
    take = command("drive take", "Take in routines and settings from the image of a drive.")
    take.add_argument("image", type=Path, metavar="IMAGE", help="the drive's image; it is only read")
    _log(take)
    merge = command("merge", "Join the logs of many devices, with a report for each player and for the group.")
    merge.add_argument("drives", nargs="+", type=Path, metavar="DRIVE", help="a drive's folder, its image, or a log")
    merge.add_argument("--out", type=Path, required=True, metavar="STUDIO", help="the folder of the studio")
    merge.add_argument("--engine", default="duckdb", metavar="NAME", help="what joins: duckdb or spark (duckdb)")
    forget = command("forget", "Remove sessions from the log for good, and all that was made of them.")
    what = forget.add_mutually_exclusive_group(required=True)
    what.add_argument("--session", type=int, nargs="+", metavar="NUMBER", help="these sessions")
    what.add_argument("--before", type=date.fromisoformat, metavar="YYYY-MM-DD", help="all before this day")
    what.add_argument("--all", action="store_true", help="everything")
    forget.add_argument("--yes", action="store_true", help="do not ask")
    _log(forget)


def _of_the_box(command: Callable[[str, str], argparse.ArgumentParser]) -> None:
    """The commands of the box itself."""
    box = command("box", "Be the box: what its service runs, with its own screen and buttons.")
    box.add_argument("source", nargs="?", help="alsa:NAME, or a WAV or FLAC file (the set microphone)")
    box.add_argument("--screen", choices=SCREENS, help="the OLED, instead of the one that is set")
    _log(box)
    test = command("selftest", "Look at every part of the box, one after the other.")
    test.add_argument("checks", nargs="*", metavar="CHECK", help="only these; --list names them")
    test.add_argument("--quick", action="store_true", help="shorter measurements")
    test.add_argument("--no-hands", action="store_true", help="leave out what needs a person")
    test.add_argument("--json", action="store_true", help="one JSON object a line")
    test.add_argument("--list", action="store_true", help="name the checks, and do none")
    prepare = command("socket prepare", "Make the USB drives for a user who may not (root).")
    prepare.add_argument("--owner", required=True, metavar="USER", help="who puts images into them")
    command("socket remove", "Take the USB drives away (root).")
    make = command("update make", "Write this program as an update for a box.")
    make.add_argument("--out", type=Path, required=True, metavar="FOLDER", help="the folder for the file")
    make.add_argument("--key", type=Path, metavar="FILE", help="sign it with this secret key of the owner")
    take = command("update take", "Take an update, to be tried at the next start.")
    take.add_argument("file", type=Path, help="airladder-VERSION.zip")
    command("update list", "List the versions that are here.")


def _session(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("source", nargs="?", help="demo, alsa:NAME, or a WAV or FLAC file (the set microphone)")
    _tuning(parser, "the written fundamental, like Bb3")
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
