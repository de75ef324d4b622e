"""One session of the record: its facts, its ladder, and its tries tone by tone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from airladder.journal.dating import Dated
from airladder.journal.records import Head, Session
from airladder.music.names import pretty
from airladder.music.usual import Interval
from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome
from airladder.report.ladder import ladder
from airladder.report.marks import mark
from airladder.report.tables import Column, table
from airladder.report.words import AGAINST, NONE, OUTCOMES, Notes, counted, dated_day, day, number, signed

_COLUMNS = (
    Column("Try", number=True),
    Column("Exercise"),
    Column("Asked"),
    Column("Note"),
    Column("Outcome", whole=True),
    Column("Cents", number=True),
    Column("Spread, cents", number=True),
    Column("Began"),
    Column("To speak, ms", number=True),
    Column("Push, dB", number=True),
    Column("Held, s", number=True),
    Column("Besides"),
)


def told(session: Session, dated: Dated) -> str:
    """The session in full, as HTML; its ids begin with ``session-`` and its number."""
    name = f"session-{session.id}"
    invented = session.head.invented
    whose = " (invented)" if invented else ""
    return (
        f'<article class="session{" invented" if invented else ""}" id="{name}" aria-labelledby="{name}-head">'
        f'<h3 id="{name}-head">Session {session.id}{whose}: {_moment(dated)}</h3>'
        f'{_facts(session)}<div class="beside">{ladder(session, name)}<div>{_planned(session.head)}'
        f"<p>{_counts(session.attempts)}.</p></div></div>{_tones(session)}</article>\n"
    )


def _moment(dated: Dated) -> str:
    if not dated.known:
        return dated_day(dated)
    when = dated.when
    return f'<time datetime="{when.isoformat(timespec="minutes")}">{day(when)}, {when:%H:%M}</time>'


def _facts(session: Session) -> str:
    head = session.head
    facts = {
        "Horn": head.horn,
        "Fingering": pretty(head.fingering),
        "Exercise": head.exercise,
        "A4": f"{head.a4_hz:g} Hz",
        "Cents from": AGAINST.get(head.against, head.against),
        "Sound": head.source,
    }
    return f'<dl class="facts">{"".join(_fact(what, text) for what, text in facts.items())}</dl>'


def _fact(what: str, text: str) -> str:
    return f"<div><dt>{what}</dt><dd>{escape(text)}</dd></div>"


def _tones(session: Session) -> str:
    notes = Notes(session.head)
    rows = [_row(attempt, session.head, notes) for attempt in session.attempts]
    return table("The tries in order", _COLUMNS, rows)


def _planned(head: Head) -> str:
    """What the coach said and planned; nothing in sessions that were kept before it was asked for."""
    said = "".join(f"<p>{escape(remark)}</p>" for remark in head.remarks)
    steps = "".join(
        f"<li>{escape(step.exercise)}{f'<br><span>{escape(step.reason)}</span>' if step.reason else ''}</li>"
        for step in head.plan
    )
    return said + (f"<p>The plan:</p><ol>{steps}</ol>" if steps else "")


def _counts(attempts: Sequence[Attempt]) -> str:
    """Such as ``3 tries: 2 spoke, 1 split``."""
    counts = {outcome: sum(attempt.outcome is outcome for attempt in attempts) for outcome in OUTCOMES}
    parts = ", ".join(f"{count} {OUTCOMES[outcome]}" for outcome, count in counts.items() if count)
    return f"{counted(len(attempts), 'try', 'tries')}: {parts}"


def _row(attempt: Attempt, head: Head, notes: Notes) -> Sequence[str]:
    exercise = attempt.asked.exercise if attempt.asked else head.exercise
    own = (str(attempt.number), escape(exercise), escape(_asked(attempt, head)), _note(attempt, notes))
    outcome = f"{mark(attempt.outcome)}{escape(_outcome(attempt, notes))}"
    return (*own, outcome, *_measured(attempt), escape(", ".join(_more(attempt))))


def _asked(attempt: Attempt, head: Head) -> str:
    """Such as ``partial 3``, ``F♯4 partial 2, air, 8 s``, ``slur 2-3`` or ``usual F5, octave below partial 6``.

    The fingering is named where it is not the session's.
    """
    asked = attempt.asked
    if asked is None:
        return f"partial {attempt.wanted}"
    if asked.task is Task.USUAL:
        below = "" if asked.interval == Interval.UNISON.value else f"{asked.interval} below "
        return f"usual {pretty(asked.fingering)}, {below}partial {asked.beside_partial}"
    partials = "-".join(str(partial) for partial in asked.partials)
    tube = "" if asked.fingering == head.fingering else f"{pretty(asked.fingering)} "
    parts = [f"{tube}{'slur' if asked.task is Task.SLUR else 'partial'} {partials}"]
    if asked.start is not Start.ANY:
        parts.append(asked.start.value)
    if asked.hold:
        parts.append(f"{asked.hold:g} s")
    return ", ".join([*parts, *(["swell"] if asked.swell else []), *(["cold"] if asked.cold else [])])


def _note(attempt: Attempt, notes: Notes) -> str:
    if attempt.asked is None:
        return notes[attempt.wanted]
    if attempt.asked.task is Task.USUAL:
        return pretty(attempt.asked.fingering)
    return notes.on(attempt.asked.fingering, attempt.wanted)


def _more(attempt: Attempt) -> Iterator[str]:
    """What was found beside the tone."""
    if attempt.difference_cents is not None:
        yield f"overtone {signed(attempt.difference_cents)} cents from it"
    if attempt.begun_as_asked is False:
        yield "began the other way"
    if attempt.guess is not None:
        yield f"guessed {attempt.guess.value}"
    if attempt.sung is not None:
        yield f"sung {signed(attempt.sung.cents)} cents"
    if attempt.swell_db is not None:
        yield f"swell {number(attempt.swell_db)} dB"


def _outcome(attempt: Attempt, notes: Notes) -> str:
    """The outcome in words, with what sounded instead or on the way."""
    word, tone = OUTCOMES[attempt.outcome], attempt.tone
    if tone is None:
        return word
    if attempt.outcome is Outcome.OTHER and tone.partial is not None:
        note = notes.on(attempt.asked.fingering, tone.partial) if attempt.asked else notes[tone.partial]
        return f"{word}: {tone.partial} {note}".rstrip()
    if attempt.outcome is Outcome.CRACKED:
        return f"{word}: {', '.join(str(partial) for partial in attempt.others)}"
    return word


def _measured(attempt: Attempt) -> Sequence[str]:
    tone = attempt.tone
    if tone is None:
        return (NONE,) * 6
    began = tone.attack.kind if tone.attack else NONE
    return (
        signed(tone.cents),
        number(tone.spread_cents, 1),
        began,
        number(tone.speak_ms),
        signed(tone.push_db),
        number(attempt.held or tone.end - tone.start, 1),
    )
