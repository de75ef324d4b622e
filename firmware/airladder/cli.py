"""The command line: words in, a sentence and an exit code out. See `faults` for the codes.

Conventions
-----------
What a command needs is imported when it is called for: the box must show a picture before all else is loaded.
"""

from __future__ import annotations

import argparse
import logging
import os
import sys
from collections.abc import Mapping, Sequence
from importlib import import_module

from airladder.arguments import Command, parser
from airladder.faults import Fault

_INTERRUPTED = 130  # 128 + SIGINT, as shells have it
_FILES: Mapping[str, Mapping[str, str]] = {
    "cli_practice": {
        "practice": "practice",
        "play": "practice",
        "desk": "desk",
        "plan": "plan",
        "routines": "routines",
        "listen": "listen",
        "config": "config",
        "screens": "screens",
    },
    "cli_log": {
        "sessions": "sessions",
        "export": "write_export",
        "report": "write_report",
        "drive build": "drive_build",
        "drive take": "drive_take",
        "merge": "merge_drives",
        "forget": "forget_sessions",
    },
    "cli_box": {
        "box": "box",
        "selftest": "selftest",
        "socket prepare": "socket_prepare",
        "socket remove": "socket_remove",
        "update make": "update_make",
        "update take": "update_take",
        "update list": "update_list",
    },
}
"""The commands by the file that has them, and the name of their function there."""


def main(words: Sequence[str] | None = None) -> int:
    """Run the command that `words` (the program's own arguments when None) name; the exit code."""
    logging.basicConfig(format="airladder: %(message)s", level=logging.WARNING)
    commands = {name: _late(file, does) for file, names in _FILES.items() for name, does in names.items()}
    arguments = parser(commands).parse_args(words)
    command: Command = arguments.command
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


def _late(file: str, function: str) -> Command:
    def command(arguments: argparse.Namespace) -> int:
        does: Command = getattr(import_module(f"airladder.{file}"), function)
        return does(arguments)

    return command


def _give_up_what_cannot_be_said() -> None:
    """Drop output that cannot be written: Python would try again at its end, and fail with a code of its own."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
