"""The whole log as a table for other programs: CSV by RFC 4180, one row a try.

Conventions
-----------
UTF-8, a header line, lines end in CR LF. Units stand in the names of the columns; times in seconds on the clock of
the session's sound. A field is empty where nothing sounded or nothing could be measured. `path` is what sounded on
the way, as ``partial:seconds`` in order, ``-`` standing for no partial.
"""

from __future__ import annotations

import csv
import io
import sys
from itertools import groupby
from operator import itemgetter
from pathlib import Path
from typing import TextIO

from airladder.hearing.events import Attack, Tone
from airladder.journal.aside import disk_told, put_in_place
from airladder.journal.log import Reader
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt

Cell = str | int | None

SESSION_COLUMNS = (
    *("session", "started", "source", "player", "horn", "fingering", "a4_hz", "against", "exercise", "version"),
)
TRY_COLUMNS = ("number", "t_s", "wanted", "outcome")
TONE_COLUMNS = (
    "start_s",
    "end_s",
    "partial",
    "hz",
    "cents",
    "spread_cents",
    "speak_ms",
    "path",
    "split",
    "level_dbfs",
)
ATTACK_COLUMNS = ("attack_s", "attack_known_at_s", "attack_kind", "attack_rise_ms", "attack_confidence")
EASE_COLUMNS = ("push_db", "unsteady_db", "clipped")
ASKED_COLUMNS = (
    *(
        "asked_exercise",
        "asked_fingering",
        "task",
        "partials",
        "start_wanted",
        "hold_wanted_s",
        "swell_wanted",
        "cold",
    ),
    *("beside_fingering", "beside_partial", "interval", "complete"),
)
FOUND_COLUMNS = ("difference_cents", "guess", "sung_hz", "sung_cents", "sung_spread_cents", "swell_db")
COLUMNS = (
    *(SESSION_COLUMNS + TRY_COLUMNS + TONE_COLUMNS + ATTACK_COLUMNS + EASE_COLUMNS),
    *(ASKED_COLUMNS + FOUND_COLUMNS),
)
"""The header line."""


def export(log: Reader, path: Path | None) -> None:
    """Write all tries to `path`, or to the standard output when it is None.

    Raises
    ------
    LogFault : when it cannot be written; what lay at `path` before is then as it was.
    BrokenPipeError : when the reader of the standard output has gone.
    """
    if path is None:
        _to_standard_output(log)
    else:
        with put_in_place(path, log.path) as out:
            write_csv(log, out)


def write_csv(log: Reader, out: TextIO) -> None:
    """Write all tries to a text stream that leaves ends of lines alone (``newline=""``)."""
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for (session_id, head), tries in groupby(log.tries(), key=itemgetter(0, 1)):
        session = (session_id, *_head_cells(head))
        writer.writerows((*session, *_try_cells(attempt)) for _, _, attempt in tries)


def _to_standard_output(log: Reader) -> None:
    # Text is wrapped anew: what the standard output was set up for may be neither UTF-8 nor free of translation.
    out = io.TextIOWrapper(sys.stdout.buffer, encoding="utf-8", newline="", write_through=True)
    with disk_told("the standard output"):
        try:
            write_csv(log, out)
            out.flush()
        finally:
            out.detach()


def _head_cells(head: Head) -> tuple[Cell, ...]:
    return (
        head.started.isoformat(timespec="seconds"),
        head.source,
        "invented" if head.invented else "real",
        head.horn,
        head.fingering,
        f"{head.a4_hz:g}",
        head.against,
        head.exercise,
        head.version,
    )


def _try_cells(attempt: Attempt) -> tuple[Cell, ...]:
    own = (attempt.number, _digits(attempt.t, 4), attempt.wanted, attempt.outcome.value)
    tone = attempt.tone
    asked = _asked_cells(attempt) + _found_cells(attempt)
    if tone is None:
        return own + (None,) * len(TONE_COLUMNS + ATTACK_COLUMNS + EASE_COLUMNS) + asked
    return own + _tone_cells(tone) + _attack_cells(tone.attack) + _ease_cells(tone) + asked


def _tone_cells(tone: Tone) -> tuple[Cell, ...]:
    return (
        _digits(tone.start, 4),
        _digits(tone.end, 4),
        tone.partial,
        _digits(tone.hz, 3),
        _digits(tone.cents, 2),
        _digits(tone.spread_cents, 2),
        _digits(tone.speak_ms, 1),
        " ".join(f"{partial or '-'}:{seconds:.3f}" for partial, seconds in tone.path),
        _digits(tone.split, 2),
        _digits(tone.level_dbfs, 1),
    )


def _attack_cells(attack: Attack | None) -> tuple[Cell, ...]:
    if attack is None:
        return (None,) * len(ATTACK_COLUMNS)
    return (
        _digits(attack.t, 4),
        _digits(attack.known_at, 4),
        attack.kind,
        _digits(attack.rise_ms, 1),
        _digits(attack.confidence, 2),
    )


def _ease_cells(tone: Tone) -> tuple[Cell, ...]:
    return _digits(tone.push_db, 1), _digits(tone.unsteady_db, 1), _digits(tone.clipped, 2)


def _asked_cells(attempt: Attempt) -> tuple[Cell, ...]:
    asked = attempt.asked
    if asked is None:
        return (None,) * len(ASKED_COLUMNS)
    return (
        asked.exercise,
        asked.fingering,
        asked.task.value,
        " ".join(str(partial) for partial in asked.partials),
        asked.start.value,
        _digits(asked.hold, 1),
        int(asked.swell),
        int(asked.cold),
        asked.beside_fingering,
        asked.beside_partial,
        asked.interval,
        int(attempt.right),
    )


def _found_cells(attempt: Attempt) -> tuple[Cell, ...]:
    sung = attempt.sung
    return (
        _digits(attempt.difference_cents, 2),
        attempt.guess.value if attempt.guess else None,
        *((_digits(sung.hz, 3), _digits(sung.cents, 2), _digits(sung.spread_cents, 2)) if sung else (None,) * 3),
        _digits(attempt.swell_db, 1),
    )


def _digits(number: float | None, digits: int) -> str | None:
    """As many decimals as the number is worth."""
    return None if number is None else f"{number:.{digits}f}"
