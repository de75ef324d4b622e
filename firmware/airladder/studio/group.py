"""The page of a group: what its players practise and how it comes along, each of them weighing the same.

It tells of the group, never of one player: no ranking, no score, and nothing of fewer than `engines.LEAST` players.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from importlib.resources import files
from pathlib import Path
from string import Template
from typing import Any

from airladder.journal.aside import put_in_place
from airladder.music.names import pretty
from airladder.practice.coach.wording import PRACTISED, spoken
from airladder.report.parts import section
from airladder.report.tables import Column, table
from airladder.report.words import AGAINST, NONE, counted, day, signed
from airladder.studio.engines import LEAST, SESSIONS, TONES, Ask, Rows
from airladder.studio.merge import names_of
from airladder.studio.middles import Middle, middles
from airladder.studio.strips import Scale, months, rungs, strips

_PARTIAL = Column("Partial", number=True)
_PLAYERS = Column("Players", number=True)
_FOUND = (Column("Median", number=True), Column("Middle half", number=True), _PLAYERS)


def write(ask: Ask, studio: Path) -> None:
    """Write ``group.html`` into the studio.

    Parameters
    ----------
    ask : gives the rows of a query

    Raises
    ------
    LogFault : when it cannot be written; what lay there before is then as it was.
    """
    text = page(ask, studio)
    with put_in_place(studio / "group.html", studio / "tries") as out:
        out.write(text)


def page(ask: Ask, studio: Path) -> str:
    """The page as the text of an HTML file: the same tries give the same text."""
    totals = ask("totals")[0]
    players = totals["players"]
    parts = (_practice, _ladder, _cents, _speak, _starts, _plateaus) if players >= LEAST else ()
    return Template(_own("group.html")).substitute(
        style=_look("report.css") + _look("plots.css") + _own("group.css"),
        summary=_summary(totals),
        body="".join(part(ask) for part in parts) + _pages(studio),
        least=LEAST,
    )


def _own(name: str) -> str:
    return (files("airladder.studio") / "page" / name).read_text(encoding="utf-8")


def _look(name: str) -> str:
    return (files("airladder.report") / "page" / name).read_text(encoding="utf-8")


def _summary(totals: dict[str, Any]) -> str:
    if not totals["players"]:
        return "Nobody has practised yet: the logs hold only what the demo invented."
    guessed = totals["guessed"]
    sure = "" if not guessed else f" Of {counted(guessed, 'session', 'sessions')} the date is only about right."
    few = f" They are fewer than {LEAST}: each has a page, and of the group as a whole nothing is told yet."
    return (
        f"{counted(totals['players'], 'player', 'players')}, {counted(totals['days'], 'day', 'days')} of practice "
        f"in all from {day(totals['first_date'])} to {day(totals['last_date'])}: "
        f"{counted(totals['tries'], 'try', 'tries')}.{sure}{few if totals['players'] < LEAST else ''}"
    )


def _practice(ask: Ask) -> str:
    found = [(row["month"], _middle(row)) for row in ask("practice")]
    rows = [(month, f"{one.middle:g}", f"{one.low:g} to {one.high:g}", str(one.players)) for month, one in found]
    return _shown(
        "practice",
        "How often they practise",
        "Of the players who practised in a month: on how many of its days. The stroke is the middle half of them, "
        "the dot the median.",
        months("practice-days", "Days of practice in each month", found) if found else "",
        ("Days of practice in a month", (Column("Month", whole=True), *_FOUND), rows[::-1]),
    )


def _ladder(ask: Ask) -> str:
    tubes: dict[tuple[str, str], list[tuple[str, int, int]]] = {}
    for row in ask("ladder"):
        rung = (str(row["partial"]), row["known"], row["players"])
        tubes.setdefault((row["horn"], row["fingering"]), []).append(rung)
    places = list(PRACTISED)
    ordered = sorted(
        tubes.items(), key=lambda item: (item[0][0], places.index(item[0][1]) if item[0][1] in places else 99)
    )
    pictures = "".join(
        f"<div><h3>{_tube(horn, fingering)}</h3>"
        f"{rungs(f'ladder-{number}', f'The group on {spoken(fingering)}, {horn}', found)}</div>"
        for number, ((horn, fingering), found) in enumerate(ordered)
    )
    rows = [
        (_tube(*tube), label, str(known), str(players)) for tube, found in ordered for label, known, players in found
    ]
    columns = (Column("Fingering"), _PARTIAL, Column("Know it", number=True), Column("Of players", number=True))
    return _shown(
        "ladder",
        "The ladder of the group",
        "Of the players who practise on a fingering, how many know each partial: known is what has surely spoken in "
        "more than 60 of 100 tries, on three days at least.",
        f'<div class="many">{pictures}</div>' if pictures else "",
        ("Players who know a partial", columns, rows),
    )


def _cents(ask: Ask) -> str:
    found = middles(ask("cents"), ("against", "stage", "wanted"))
    pictures, rows = "", []
    for against in dict.fromkeys(key[0] for key in found):
        own = _by_partial(found, (("newest", (against, "newest")), ("first", (against, "first"))))
        scale = Scale(-50, 50, (-50, -25, 0, 25, 50), signed)
        head = f"<h3>From {AGAINST.get(against, escape(against))}</h3>"
        pictures += head + strips(
            f"cents-{escape(against)}", "Cents by partial, newest and first sessions", own, scale
        )
        for label, pair in own:
            rows += [
                (label, AGAINST.get(against, escape(against)), stage, *_told(one, signed))
                for stage, one in zip(("newest", "first"), pair, strict=True)
            ]
    return _shown(
        "cents",
        "Cents by partial",
        f"Tones that were asked for and spoke, in the newest {SESSIONS} sessions of each player (full) and in the "
        f"first {SESSIONS} (dashed): the middle half and the median. Each weighs the same, from {TONES} tones on. "
        "The seventh partial is 31 cents flat by nature.",
        pictures,
        ("Cents by partial", (_PARTIAL, Column("From"), Column("Sessions"), *_FOUND), rows),
    )


def _speak(ask: Ask) -> str:
    found = middles(ask("speak"), ("attack_kind", "wanted"))
    own = _by_partial(found, (("tongued", ("tongued",)), ("air", ("air",))))
    far = max((one.high for one in found.values()), default=0.0)
    most = max(100.0, 100.0 * -(-far // 100))
    scale = Scale(0, most, [most * part / 4 for part in range(5)], _whole)
    return _shown(
        "speak",
        "Time to speak",
        f"Milliseconds until the partial stood, in the newest {SESSIONS} sessions: begun with the tongue (full) and "
        "by air alone (dashed). Every player weighs the same.",
        strips("speak-strips", "Milliseconds until the partial stood", own, scale) if own else "",
        (
            "Time until the partial stood, ms",
            (_PARTIAL, Column("Start"), *_FOUND),
            _pairs(own, ("tongued", "air"), _whole),
        ),
    )


def _starts(ask: Ask) -> str:
    found = {(row["start_wanted"], row["wanted"]): _middle(row) for row in ask("starts")}
    own = _by_partial(found, (("tongued", ("tongued",)), ("air", ("air",))))
    scale = Scale(0, 1, (0, 0.25, 0.5, 0.75, 1), _percent)
    return _shown(
        "starts",
        "Tongued against air",
        "Where a tongued start (full) or one by air alone (dashed) was asked for: in what share of a player's tries "
        "the partial spoke; the middle half of the players, and the median.",
        strips("starts-strips", "Share of the tries in which the partial spoke", own, scale) if own else "",
        (
            "Starts that were asked for",
            (_PARTIAL, Column("Start"), *_FOUND),
            _pairs(own, ("tongued", "air"), _percent),
        ),
    )


def _plateaus(ask: Ask) -> str:
    names = ("players", "plateaus", "helped", "not_helped", "untold", "under_way")
    heads = ("Players", "Plateaus", "Detour helped", "Did not", "Cannot be told", "Under way")
    rows = [
        (_tube(row["horn"], row["fingering"]), str(row["partial"]), *(str(row[name]) for name in names))
        for row in ask("plateaus")
    ]
    columns = (Column("Fingering"), _PARTIAL, *(Column(head, number=True) for head in heads))
    body = table("Plateaus within each player's newest 400 days of practice", columns, rows) if rows else _nothing()
    return section(
        "plateaus",
        "Plateaus",
        "<p>A partial that was practised for a long while and has not moved, and whether the way over the shorter "
        f"fingerings helped.</p>{body}",
    )


def _pages(studio: Path) -> str:
    """The way to the pages of the players, by name: in the order of the alphabet, and no other."""
    names = names_of(studio)
    devices = (path.stem for path in (studio / "players").glob("*.html"))
    called = sorted((names.get(device, device), device) for device in devices)
    items = "".join(f'<li><a href="players/{escape(device)}.html">{escape(name)}</a></li>' for name, device in called)
    return section(
        "players",
        "The players' own pages",
        "<p>In the order of the alphabet. A name is what somebody gave the folder of the drive; the others are known "
        f'by a number that says nothing of them.</p><ul class="players">{items}</ul>',
    )


def _shown(name: str, head: str, told: str, picture: str, numbers: tuple[str, Sequence[Column], Any]) -> str:
    """A section: what is to be seen, the picture, and the same in numbers."""
    caption, columns, rows = numbers
    body = f"{picture}<details><summary>The same in numbers</summary>{table(caption, columns, rows)}</details>"
    return section(name, head, f"<p>{told}</p>{body if rows else _nothing()}")


def _nothing() -> str:
    return f'<p class="few">Of this fewer than {LEAST} players have enough yet.</p>'


def _middle(row: dict[str, Any]) -> Middle:
    return Middle(row["low"], row["middle"], row["high"], row["players"])


def _by_partial(
    found: dict[tuple[Any, ...], Middle], kinds: Iterable[tuple[str, tuple[str, ...]]]
) -> list[tuple[str, list[Middle | None]]]:
    """Rows of a picture: the partial, and what was found of each kind."""
    keys = [key for _, key in kinds]
    partials = sorted({key[-1] for key in found if key[:-1] in keys})
    return [(str(partial), [found.get((*key, partial)) for key in keys]) for partial in partials]


def _pairs(own: Rows | Any, kinds: tuple[str, str], said: Any) -> list[tuple[str, ...]]:
    return [(label, kind, *_told(one, said)) for label, pair in own for kind, one in zip(kinds, pair, strict=True)]


def _told(one: Middle | None, said: Any) -> tuple[str, str, str]:
    if one is None:
        return NONE, NONE, NONE
    return said(one.middle), f"{said(one.low)} to {said(one.high)}", str(one.players)


def _tube(horn: str, fingering: str) -> str:
    return f"{escape(pretty(fingering))}, {escape(horn)}"


def _whole(value: float) -> str:
    return f"{value:.0f}"


def _percent(value: float) -> str:
    return f"{100 * value:.0f} %"
