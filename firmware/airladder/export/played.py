"""What sounded in a session as notes: each has a frequency and a beginning, and a cracked tone is several of them.

The log has the frequency of the partial that stood in the end. What sounded on the way is reckoned from it by the
places of the partials on that tube (`music.series`); where none stood, from the nominal fundamental.

Conventions
-----------
Times in seconds on the clock of the session's sound. The last note ends with the tone, each lasts as long as the log
says, and the first begins with the tone: what was too short to be named belongs to the beginning.
"""

from __future__ import annotations

from dataclasses import dataclass

from airladder.hearing.events import Tone
from airladder.journal.records import Head
from airladder.music.fingerings import Fingering
from airladder.music.horns import horn_named
from airladder.music.names import parse
from airladder.music.series import Series
from airladder.practice.attempt import Attempt


@dataclass(frozen=True)
class Note:
    """One note.

    Attributes
    ----------
    begin, end : s
    partial : of the fingered tube
    hz : as it sounds
    level_dbfs : of the tone that it belongs to
    stood : whether this is the partial that stood in the end, whose frequency was measured
    """

    begin: float
    end: float
    partial: int
    hz: float
    level_dbfs: float
    stood: bool


def notes_of(attempt: Attempt, head: Head) -> list[Note]:
    """The notes of one try in order; none where nothing sounded, or nothing on a partial.

    Raises
    ------
    BadInput : when the log names a horn or a fingering that this program does not know.
    """
    tone = attempt.tone
    if tone is None:
        return []
    horn = horn_named(head.horn)
    fingering = attempt.asked.fingering if attempt.asked else head.fingering
    series = Series(horn, Fingering(parse(fingering), long=False), head.a4_hz)
    raised = 1.0 if tone.hz is None or tone.partial is None else tone.hz / series.place_hz(tone.partial)
    return [
        Note(begin, end, partial, raised * series.place_hz(partial), tone.level_dbfs, partial == tone.partial)
        for partial, begin, end in _spans(tone)
        if partial is not None and end > begin
    ]


def _spans(tone: Tone) -> list[tuple[int | None, float, float]]:
    """The way of a tone as (partial or None, begin, end)."""
    spans: list[tuple[int | None, float, float]] = []
    end = tone.end
    for partial, seconds in reversed(tone.path):
        begin = max(tone.start, end - seconds)
        spans.append((partial, begin, end))
        end = begin
    if spans:
        partial, _, end = spans[-1]
        spans[-1] = (partial, tone.start, end)
    return spans[::-1]
