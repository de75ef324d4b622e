"""The sections of the report, in the order in which a player and a teacher read them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from html import escape

from airladder.journal.dating import Dated
from airladder.journal.log import Reader
from airladder.music.names import pretty
from airladder.report import standing
from airladder.report.form import Figures, Part
from airladder.report.form import Head as Listed
from airladder.report.marks import legend
from airladder.report.parts import plotted, section
from airladder.report.plots import FUNDAMENTALS, PLOTS
from airladder.report.tables import Column, table
from airladder.report.tones import told
from airladder.report.words import EMPTY, OUTCOMES, counted, dated_day, day

TOLD_IN_FULL = 3
"""So many sessions of the newest day are told tone by tone at most."""

STORIES = 6
"""So many of the coach's newest sayings stand open; as many as in `page/coach.js`."""

_SESSIONS = (
    Column("Session", number=True),
    Column("Date", whole=True),
    Column("Horn"),
    Column("Fingering"),
    Column("Exercise", whole=True),
    Column("Tries", number=True),
    *(Column(word.capitalize(), number=True) for word in OUTCOMES.values()),
)
_TIMES = (
    ("30d", "the newest 30 days"),
    ("60d", "the newest 60 days"),
    ("12m", "the newest 12 months"),
    ("all", "the whole time"),
)


def summary(made: Figures) -> str:
    """What there is, in a sentence."""
    totals = made["practice"]["totals"]
    if not totals["sessions"]:
        invented = made["invented"]["totals"]["sessions"]
        return (
            "There is no practice in the log yet, only what the demo invented. The first try begins it."
            if invented
            else EMPTY
        )
    first, last = (day(date.fromisoformat(str(totals[end]))) for end in ("first", "last"))
    when = f"on {first}" if first == last else f"from {first} to {last}"
    horns = " and ".join(escape(horn) for horn in _horns(made))
    return (
        f"{counted(totals['sessions'], 'session', 'sessions')} of practice on "
        f"{counted(totals['days'], 'day', 'days')}, {when}, on {horns}: "
        f"{counted(totals['tries'], 'try', 'tries')} in all."
    )


def practice(made: Figures, log: Reader) -> str:
    """All that was really played; nothing when nothing was."""
    part = made["practice"]
    if not part["totals"]["sessions"]:
        return ""
    return (
        f"{_WITHOUT_SCRIPT}{_contents(made)}{_form(made)}{''.join(plotted(plot, made) for plot in PLOTS)}"
        f"{_coach(made)}{plotted(FUNDAMENTALS, made)}{_newest(part, log)}{_listed(part)}"
    )


def demo(made: Figures, log: Reader) -> str:
    """What the demo invented, apart from all else; nothing when it did not."""
    part = made["invented"]
    if not part["totals"]["sessions"]:
        return ""
    return section(
        "demo",
        "Demo: invented, not practice",
        "<p>Nobody played these, and none of the plots and figures above holds any of them. The demo invented player "
        f"and horn, to show what a record looks like.</p>{_sessions(part, 'The newest invented sessions')}"
        f"{legend()}{_tone_by_tone(part, log)}",
    )


_WITHOUT_SCRIPT = (
    "<noscript><p>This page draws its plots, and chooses what they show, by a script, and here none is run. "
    "The tables hold the newest figures all the same.</p></noscript>"
)


def _contents(made: Figures) -> str:
    """Links to the sections."""
    named = [(plot.id, plot.short) for plot in PLOTS]
    named += [("coach", "Coach"), (FUNDAMENTALS.id, FUNDAMENTALS.short)]
    named += [("newest", "Newest practice"), ("sessions", "Sessions")]
    named += [("demo", "Demo")] if made["invented"]["totals"]["sessions"] else []
    links = "".join(f'<li><a href="#{name}">{head}</a></li>' for name, head in named)
    return f'<nav aria-label="On this page"><ul>{links}</ul></nav>\n'


def _horns(made: Figures) -> list[str]:
    """The horns of the practice, that of the newest session first."""
    part, tubes = made["practice"], made["tubes"]
    newest = [head["horn"] for head in part["sessions"][:1]]
    return list(dict.fromkeys([*newest, *(tubes[row[1]]["horn"] for row in part["practised"]["month"])]))


def _form(made: Figures) -> str:
    """What the reader may choose; the script fills in the fingerings."""
    part, horns = made["practice"], _horns(made)
    years = sorted({month[:4] for month in part["months"]}, reverse=True)
    times = [*_TIMES, *((year, year) for year in years)]
    return (
        f'<form id="choose" class="choose" aria-label="What the plots show" data-horn="{escape(horns[0])}" '
        f'data-time="{_usual_time(part)}" data-drawn hidden>'
        f"{_select('horn', 'Horn', [(horn, horn) for horn in horns])}{_select('fingering', 'Fingering', [])}"
        f"{_select('time', 'Time', times)}"
        '<button type="reset">As at first</button><p class="now" role="status"></p></form>\n'
    )


def _usual_time(part: Part) -> str:
    """The time that is shown first: day by day as long as there is little, then all of it, then the newest year."""
    first, last = (date.fromisoformat(str(part["totals"][end])) for end in ("first", "last"))
    for days in (30, 60):
        if (last - first).days < days:
            return f"{days}d"
    return "12m" if len(part["months"]) > 12 else "all"


def _select(name: str, label: str, options: Sequence[tuple[str, str]]) -> str:
    inside = "".join(f'<option value="{escape(value)}">{escape(text)}</option>' for value, text in options)
    return f'<label>{label}<select name="{name}">{inside}</select></label>'


def _coach(made: Figures) -> str:
    said = [
        f'<li><time datetime="{when}">{day(date.fromisoformat(when))}</time>{escape(text)}</li>'
        for when, text in standing.story(made)
    ]
    more = " open" if len(said) > STORIES else " hidden"
    return section(
        "coach",
        "Plateaus, and what the coach did",
        "<p>A plateau is a partial that was practised for a long while and has not moved. Then the way leads over "
        "the shorter fingerings for some days (the bar), and it is looked at again whether that helped.</p>"
        '<p class="sentence"></p><div class="drawn"></div>'
        f'<ul class="story">{"".join(said[:STORIES])}</ul><details class="numbers"{more}>'
        f'<summary>Earlier</summary><ul class="story">{"".join(said[STORIES:])}</ul></details>',
    )


def _newest(part: Part, log: Reader) -> str:
    return section(
        "newest",
        "The newest practice, tone by tone",
        "<p>A try is a mark on the rung of the partial that sounded. Slurs, and what was played on other fingerings, "
        f"stand in the table alone.</p>{legend()}{_tone_by_tone(part, log)}",
    )


def _tone_by_tone(part: Part, log: Reader) -> str:
    newest = part["sessions"][0]["when"][:10]
    heads = [head for head in part["sessions"] if head["when"][:10] == newest][:TOLD_IN_FULL]
    return "".join(told(log.session(head["id"]), _dated(head)) for head in heads)


def _listed(part: Part) -> str:
    shown, all_of_them = len(part["sessions"]), part["totals"]["sessions"]
    which = "All sessions" if shown == all_of_them else f"The newest {shown} of {all_of_them} sessions"
    return section("sessions", "Sessions", _sessions(part, f"{which}, the newest first"))


def _sessions(part: Part, caption: str) -> str:
    guessed = any(not head["known"] for head in part["sessions"])
    note = "<p>About: nobody told the box the date of that day.</p>" if guessed else ""
    return f"{table(caption, _SESSIONS, [_row(head) for head in part['sessions']])}{note}"


def _row(head: Listed) -> Sequence[str]:
    words = (dated_day(_dated(head)), head["horn"], pretty(head["fingering"]), head["exercise"])
    counts = (head["tries"], *(head["outcomes"][outcome.value] for outcome in OUTCOMES))
    return (str(head["id"]), *map(escape, words), *map(str, counts))


def _dated(head: Listed) -> Dated:
    return Dated(datetime.fromisoformat(head["when"]), head["known"])
