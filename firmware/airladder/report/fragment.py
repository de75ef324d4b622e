"""The newest practice as a fragment of HTML for another page, such as the desk's."""

from __future__ import annotations

from html import escape

from airladder.journal.dating import Dated, dates
from airladder.journal.days import HAS_TRIES, history
from airladder.journal.log import Reader
from airladder.journal.order import NEWEST_FIRST
from airladder.journal.records import Session
from airladder.music.names import pretty
from airladder.report.daily import DAYS, daily
from airladder.report.ladder import ladder
from airladder.report.marks import legend, marks, shipped
from airladder.report.words import EMPTY, counted, dated_day

_DAYS_TOLD = "Day by day: a block is a partial reached at least once, a stroke one that was tried."


def plots(log: Reader) -> str:
    """The newest session's ladder, and the days of practice rung by rung.

    It brings its style; the page names the colours, as `page/report.css` does: ink, soft, rule, wood, sheet, reached
    and missed.

    Raises
    ------
    Fault : when the log cannot be read.
    """
    newest, practised = newest_session(log, "1"), newest_session(log, "NOT invented")
    if newest is None:
        return f"<p>{EMPTY}</p>"
    days = daily(history(log, practised.head.horn, DAYS), practised.head, "days") if practised else ""
    told = _newest_told(newest, dates(log)[newest.id])
    return (
        f"<style>{shipped('plots.css')}</style>{marks()}"
        f'<div class="plots">{_figure(told, ladder(newest, "newest"))}'
        f"{_figure(_DAYS_TOLD, days) if days else ''}</div>{legend()}"
    )


def newest_session(log: Reader, which: str) -> Session | None:
    """The newest session with tries of which the SQL expression `which` holds; None when there is none."""
    query = f"SELECT id FROM session s WHERE {which} AND {HAS_TRIES} ORDER BY {NEWEST_FIRST} LIMIT 1"
    found = list(log.rows(query))
    return log.session(found[0]["id"]) if found else None


def _newest_told(session: Session, dated: Dated) -> str:
    head = session.head
    invented = ", invented by the demo" if head.invented else ""
    return (
        f"The newest practice{invented}: {escape(head.horn)}, {escape(pretty(head.fingering))}, "
        f"{dated_day(dated)}, {counted(len(session.attempts), 'try', 'tries')}."
    )


def _figure(caption: str, picture: str) -> str:
    return f"<figure><figcaption>{caption}</figcaption>{picture}</figure>"
