"""README.txt beside the exports: what each file is, and what every column means, in what unit.

Conventions
-----------
Plain text, at most 78 columns, UTF-8. Every column comes from the table of `columns`, so none can be left out.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from airladder.export.columns import SESSION, TRY, Column

WIDTH = 78
"""Columns of text: it is read in any editor."""

_ABOUT = """\
This is what the overtone trainer has kept. Nothing here names a person, unless somebody typed a name. All
pitches are as they sound; names of fingerings are the written ones. Partial 1 is the fundamental. A session has
a number, and its tries are counted from 1: both together name a try in every file.
"""

_FILES = (
    ("report.html", "the report, for any browser; it needs no network"),
    ("box.txt", "how the box itself is, where it had something to say"),
    (
        "log.sqlite",
        "the whole log as it is kept (SQLite 3), with the plans and their reasons, which the tables below leave out",
    ),
    ("tries/YYYY-MM.csv", "the tries of a month as CSV (RFC 4180): a header line, then a row a try"),
    ("tries/YYYY-MM.jsonl", "the same as JSON Lines: an object (RFC 8259) a line, a line a try"),
    ("sessions/NNNNN.mid", "a session as a Standard MIDI File, for notation programs and synthesizers"),
    ("clips/", "tones as sound; only if that was asked for"),
)

_NUMBERS = """\
All is UTF-8 text. Times without a date are seconds on the clock of the session's sound. CSV has as many
decimals as a number is worth, and an empty field where nothing sounded or nothing could be measured; lines end
in CR LF. JSON has all digits of the log, null for what is empty, true and false in place of 1 and 0, and null
for a whole group of which nothing is known; lines end in LF.
"""

_MIDI = """\
Type 1, 1000 ticks a quarter note and 60 quarter notes a minute: a beat is a second, a tick a millisecond. The
file begins on the whole second before the first tone; a text tells which second that is. Notes are in concert
pitch, as they sound, key 69 being 440 Hz. Every tone is the key next to it and a pitch bend for the rest, by
the convention of MIDI Polyphonic Expression (MIDI Association, M1-100-UM): a lower zone on channel 1 with
channels 2 to 9, set up by registered parameter 6, and a bend range of 2 semitones, set by registered parameter
0. What sounded on the way of a tone is a note of its own; its pitch was not kept and is reckoned from the
partial. Which partials sounded at once in a split tone was not kept either: it is one note, and its text says
for how much of the time it was split. The loudest tone of the session has velocity 112; the others follow by
their levels (40 times the decimal logarithm, as in General MIDI 2). Lyrics give the partial and the cents,
texts all that was found.
"""

_CLIPS = """\
FLAC, one channel, 48,000 samples a second, 24 bits, from 0.2 s before a tone until 0.2 s after it. The name has
the session and the try; tags give the partial, the cents and the session. They are kept only where the settings
ask for it.
"""

_BACK = """\
Where this folder lies on a stick, it is also the way to the trainer: routines of your own in routines (files that
end in .toml), changed settings as settings/settings.toml, and another version of the trainer's program as
airladder-VERSION.zip beside this text, one at a time. The trainer takes them when the stick is put in, and tries the
other version when it is switched on the next time. Over the cable the drive AIRL-IN is there for that.
"""


def readme() -> str:
    """The whole text, ending in a line feed."""
    return "\n".join(_lines()) + "\n"


def _lines() -> Iterator[str]:
    yield from _titled("What is here", _ABOUT)
    yield from _listed(_FILES)
    yield from _titled("Tables of tries", _NUMBERS)
    yield from ("Columns that are true of the whole session:", "")
    yield from _columns(SESSION)
    yield from ("Columns of one try:", "")
    yield from _columns(TRY)
    yield from _titled("MIDI", _MIDI)
    yield from _titled("Clips", _CLIPS)
    yield from _titled("Back to the trainer", _BACK)


def _titled(title: str, text: str) -> Iterator[str]:
    yield from (title.upper(), "")
    yield from textwrap.wrap(text, WIDTH)
    yield ""


def _listed(items: Sequence[tuple[str, str]]) -> Iterator[str]:
    for name, text in items:
        yield f"  {name}"
        yield from textwrap.wrap(text, WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)
    yield ""


def _columns(columns: Sequence[Column]) -> Iterator[str]:
    """Each with its unit and, where it differs, its place in JSON."""
    yield from _listed([(f"{column.name}{_unit(column)}{_json(column)}", column.means) for column in columns])


def _unit(column: Column) -> str:
    return f" ({column.unit})" if column.unit else ""


def _json(column: Column) -> str:
    return f"   JSON: {column.place}" if column.place != column.name else ""
