"""The record: the log as one page that a player shows to a teacher.

One HTML file that needs nothing else: no script, no network, no fonts. All sessions stand in a table, the newest
are told tone by tone. What the demo invented stands apart and says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from importlib.resources import files
from pathlib import Path
from string import Template

from airladder.journal.aside import put_in_place
from airladder.journal.daily import DAYS, daily
from airladder.journal.days import HAS_TRIES, history
from airladder.journal.ladder import ladder
from airladder.journal.log import Reader
from airladder.journal.records import Session
from airladder.journal.rows import Summary
from airladder.journal.tables import Column, table
from airladder.journal.tones import mark, told
from airladder.journal.words import OUTCOMES, counted, day
from airladder.music.names import pretty

TOLD_IN_FULL = 20
"""So many of the newest sessions are told tone by tone: a month of practice, and a page that any phone can open."""

_COLUMNS = (
    Column("Session", number=True),
    Column("Date", whole=True),
    Column("Horn"),
    Column("Fingering"),
    Column("Exercise", whole=True),
    Column("Tries", number=True),
    *(Column(word.capitalize(), number=True) for word in OUTCOMES.values()),
)

_DAYS_TOLD = "Day by day: a block is a partial reached at least once, a stroke one that was tried."

EMPTY = "The log is still empty. It begins with the first try; there is no hurry."


def report(log: Reader, path: Path) -> None:
    """Write the record of all that `log` holds to `path`.

    Raises
    ------
    LogFault : when it cannot be written; what lay at `path` before is then as it was.
    """
    with put_in_place(path, log.path) as out:
        out.write(page(log))


def page(log: Reader) -> str:
    """The record as the text of an HTML file."""
    sessions = list(log.sessions())
    practice = [session for session in sessions if not session.head.invented]
    invented = [session for session in sessions if session.head.invented]
    body = (_practice(log, practice) if practice else "") + (_demo(log, invented) if invented else "")
    return Template(_shipped("record.html")).substitute(
        style=_shipped("record.css") + _shipped("plots.css"),
        marks=_shipped("marks.html"),
        summary=_summary(practice, invented),
        body=body,
    )


def plots(log: Reader) -> str:
    """The newest session's ladder, and the days of practice rung by rung, as a fragment of HTML for another page.

    It brings its style; the page names the colours, as `record.css` does: ink, soft, rule, wood, sheet, reached and
    missed. It costs the same however long the log is.

    Raises
    ------
    Fault : when the log cannot be read.
    """
    newest, practised = _newest_of(log, "1"), _newest_of(log, "NOT invented")
    if newest is None:
        return f"<p>{EMPTY}</p>"
    days = daily(history(log, practised.head.horn, DAYS), practised.head, "days") if practised else ""
    return (
        f"<style>{_shipped('plots.css')}</style>{_shipped('marks.html')}"
        f'<div class="plots">{_figure(_newest_told(newest), ladder(newest, "newest"))}'
        f"{_figure(_DAYS_TOLD, days) if days else ''}</div>{_legend()}"
    )


def _newest_of(log: Reader, which: str) -> Session | None:
    found = list(log.rows(f"SELECT id FROM session s WHERE {which} AND {HAS_TRIES} ORDER BY id DESC LIMIT 1"))
    return log.session(found[0]["id"]) if found else None


def _newest_told(session: Session) -> str:
    head = session.head
    invented = ", invented by the demo" if head.invented else ""
    return (
        f"The newest practice{invented}: {escape(head.horn)}, {escape(pretty(head.fingering))}, "
        f"{day(head.started)}, {counted(len(session.attempts), 'try', 'tries')}."
    )


def _figure(caption: str, picture: str) -> str:
    return f"<figure><figcaption>{caption}</figcaption>{picture}</figure>"


def _shipped(name: str) -> str:
    return (files("airladder.journal") / "page" / name).read_text(encoding="utf-8")


def _summary(practice: Sequence[Summary], invented: Sequence[Summary]) -> str:
    if not practice and not invented:
        return EMPTY
    if not practice:
        return "There is no practice in the log yet, only what the demo invented. The first try begins it."
    tries = sum(session.tries for session in practice)
    first, last = day(practice[0].head.started), day(practice[-1].head.started)
    when = f"on {first}" if first == last else f"from {first} to {last}"
    horns = " and ".join(dict.fromkeys(session.head.horn for session in practice))
    return (
        f"{counted(len(practice), 'session', 'sessions')} of practice {when} on {escape(horns)}, "
        f"{counted(tries, 'try', 'tries')} in all."
    )


def _practice(log: Reader, sessions: Sequence[Summary]) -> str:
    newest = _newest(sessions)
    which = "All sessions" if len(newest) == len(sessions) else f"The newest {len(newest)} sessions"
    return (
        '<section aria-labelledby="practice"><h2 id="practice">Practice</h2>'
        f"{_overview(sessions, 'All sessions, the newest first')}</section>"
        '<section aria-labelledby="tones"><h2 id="tones">Tone by tone</h2>'
        f"<p>{which}, the newest first. A try is a mark on the rung of the partial that sounded. "
        "Slurs, and what was played on other fingerings, stand in the table alone.</p>"
        f"{_legend()}{_told(log, newest)}</section>"
    )


def _demo(log: Reader, sessions: Sequence[Summary]) -> str:
    return (
        '<section aria-labelledby="demo"><h2 id="demo">Demo: invented, not practice</h2>'
        "<p>Nobody played these. The demo invented player and horn, to show what a record looks like.</p>"
        f"{_overview(sessions, 'Invented sessions, the newest first')}{_legend()}"
        f"{_told(log, _newest(sessions))}</section>"
    )


def _newest(sessions: Sequence[Summary]) -> Sequence[Summary]:
    return sessions[: -TOLD_IN_FULL - 1 : -1]


def _overview(sessions: Sequence[Summary], caption: str) -> str:
    in_full = {session.id for session in _newest(sessions)}
    return table(caption, _COLUMNS, [_row(session, session.id in in_full) for session in reversed(sessions)])


def _row(session: Summary, in_full: bool) -> Sequence[str]:
    head = session.head
    name = f'<a href="#session-{session.id}">{session.id}</a>' if in_full else str(session.id)
    words = (day(head.started), head.horn, pretty(head.fingering), head.exercise)
    counts = (session.tries, *(session.outcomes[outcome] for outcome in OUTCOMES))
    return (name, *map(escape, words), *map(str, counts))


def _legend() -> str:
    items = (f"<li>{mark(outcome)}{word}</li>" for outcome, word in OUTCOMES.items())
    return f'<ul class="marks">{"".join(items)}</ul>'


def _told(log: Reader, sessions: Sequence[Summary]) -> str:
    return "".join(told(log.session(session.id)) for session in sessions)
