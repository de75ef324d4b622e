"""The commands about what was kept: list it, write it out, hand it over, take in, join, forget."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from shutil import rmtree

from airladder.app.handover import Handover, digest_of, heed_time, told
from airladder.config import load
from airladder.devices.clock import Clock
from airladder.export.contents import Contents
from airladder.export.out import WRITERS, export, export_session
from airladder.faults import BadInput, did_you_mean
from airladder.journal.back import as_form
from airladder.journal.copying import copy
from airladder.journal.forgetting import forget, numbers_before, traces
from airladder.journal.listing import listing
from airladder.journal.log import Reader
from airladder.report.page import report

_FORMS = (*WRITERS, "sqlite", "mid")
"""What the log is exported as, by the ending of the file's name."""


def log_of(arguments: argparse.Namespace) -> Path:
    """The log that is named, or the one that is set."""
    named: Path | None = arguments.log
    return named or load(arguments.settings).log


def sessions(arguments: argparse.Namespace) -> int:
    """List the sessions."""
    with Reader(log_of(arguments)) as log:
        dated = Contents(log).dated
        for line in listing(log.sessions(), dated):
            print(line)
    return 0


def write_export(arguments: argparse.Namespace) -> int:
    """Write the log, or a part of it, in the form that the file's name ends with; CSV to the standard output."""
    path: Path | None = arguments.file
    form = path.suffix.removeprefix(".").lower() if path is not None else "csv"
    if form not in _FORMS:
        raise BadInput(f"The log is not exported as '{form}'{did_you_mean(form, _FORMS)}")
    if (arguments.session is None) == (form == "mid"):
        raise BadInput("One session becomes one MIDI file: name both, like: export --session 12 twelve.mid.")
    if arguments.month is not None and form not in WRITERS:
        raise BadInput(f"A month is exported as {' or '.join(WRITERS)}; leave --month out, or name such a file.")
    if arguments.form is not None and form != "sqlite":
        raise BadInput("An older form is one of the log itself; name a file that ends with .sqlite.")
    with Reader(log_of(arguments)) as log:
        if form == "mid":
            export_session(Contents(log), arguments.session, Path(arguments.file))
        elif path is not None and form == "sqlite":
            if arguments.form is None:
                copy(log.path, path)
            else:
                dropped = as_form(log.path, arguments.form, path)
                left_out = ", ".join(f"{count} {what}" for what, count in dropped.items())
                _say(f"Form {arguments.form} has no place for: {left_out}." if left_out else "Nothing was left out.")
        else:
            contents = Contents(log)
            export(contents, path, WRITERS[form], _of_month(contents, arguments.month))
    return 0


def _of_month(contents: Contents, month: str | None) -> tuple[int, ...] | None:
    if month is None:
        return None
    months = contents.months()
    if month not in months:
        raise BadInput(f"Nothing was practised in the month '{month}'{did_you_mean(month, months)}")
    return months[month]


def write_report(arguments: argparse.Namespace) -> int:
    """Write the report."""
    path = log_of(arguments)
    page = arguments.file or path.with_suffix(".html")
    with Reader(path) as log:
        report(log, page, digest_of(path))
    print(page)
    return 0


def drive_build(arguments: argparse.Namespace) -> int:
    """Write the drive that goes out as an image."""
    print(Handover(log_of(arguments), arguments.settings).build(arguments.out))
    return 0


def drive_take(arguments: argparse.Namespace) -> int:
    """Take in what a drive's image brings."""
    log = log_of(arguments)
    accepted, newest = Handover(log, arguments.settings).take(arguments.image)
    for sentence in told(accepted):
        _say(sentence)
    if not accepted and not accepted.refused:
        _say("Nothing new lies on this drive.")
    heed_time(newest, Clock(), log)
    return BadInput.exit_code if accepted.refused else 0


def merge_drives(arguments: argparse.Namespace) -> int:
    """Join the logs of many devices, and write the reports."""
    from airladder.studio.joining import join  # DuckDB and Arrow, which the board does not have

    merged = join(arguments.drives, arguments.out, arguments.engine)
    for line in (*merged.said, *merged.faults):
        _say(str(line))
    return int(merged.exit_code)


def forget_sessions(arguments: argparse.Namespace) -> int:
    """Remove sessions for good, with all that was made of the log beside it."""
    path = log_of(arguments)
    numbers = _to_forget(arguments, path)
    found = [numbers] if numbers is None else sorted(numbers)
    what = "everything" if numbers is None else f"{len(found)} session{'' if len(found) == 1 else 's'}"
    if not found:
        raise BadInput("No session is that old, so nothing was removed; airladder sessions lists them.")
    question = f"Remove {what} from {path} for good, and all that was made of it? yes/no: "
    if not arguments.yes and not _agreed(question):
        _say("Nothing was removed.")
        return 0
    gone = forget(path, numbers)
    for trace in traces(path):
        rmtree(trace) if trace.is_dir() else trace.unlink()
    print(f"removed: {gone.sessions} of the sessions, {gone.tries} tries; what was made of them is made anew.")
    return 0


def _to_forget(arguments: argparse.Namespace, path: Path) -> tuple[int, ...] | None:
    with Reader(path) as log:
        if arguments.all:
            return None
        if arguments.before is not None:
            return numbers_before(log, arguments.before)
        for number in arguments.session:
            log.session(number)  # says so when there is none
        return tuple(arguments.session)


def _agreed(question: str) -> bool:
    try:
        return input(question).strip().lower() in ("y", "yes")
    except EOFError:
        return False


def _say(sentence: str) -> None:
    print(f"airladder: {sentence}", file=sys.stderr)
