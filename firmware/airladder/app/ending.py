"""What is said on the computer when the program has ended: the summary, what went wrong, where the log lies."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from airladder.app.handover import digest_of
from airladder.app.order import Done
from airladder.app.telling import summary
from airladder.faults import LogFault
from airladder.journal.log import Reader
from airladder.report.page import report

NOTHING = "nothing was sounded"
"""What is said where no practice was begun."""


def told_at_the_end(done: Done, log: Path, say: Callable[[str], None]) -> int:
    """Say how it went, and write the report; the exit code."""
    for line in summary(done.state) if done.state else [NOTHING]:
        say(line)
    for sentence in (*done.notes, *map(str, done.faults)):
        say(sentence)
    page = log.with_suffix(".html")
    fault = None
    try:
        with Reader(log) as reader:
            report(reader, page, digest_of(log))
        say(f"log:    {log}\nreport: {page}")
    except LogFault as found:
        fault = found
        say(str(fault))
    faults = [*done.faults, *([fault] if fault else [])]
    return faults[0].exit_code if faults else 0
