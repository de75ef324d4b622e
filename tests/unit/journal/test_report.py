"""The record is one whole, honest page: nothing from elsewhere, nothing unescaped, nothing invented passed off."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from airladder.journal.log import Log
from airladder.journal.records import Head
from airladder.journal.report import EMPTY, TOLD_IN_FULL, page, report
from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Asked, Attempt, Guess
from airladder.practice.judge import Outcome, Voice

Trier = Callable[..., Attempt]

VOID = {"meta", "br", "hr", "img", "link", "input"}
"""Elements of HTML that have no end tag; those of SVG must be closed."""


class _Parsed(HTMLParser):
    """A page taken apart by Python's own parser: (name, attributes) of every element, and the text in it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.texts: list[tuple[str, str]] = []
        self._open: list[str] = []
        self.feed(text)
        self.close()
        assert self._open == [], "an element was left open"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_startendtag(tag, attrs)
        if tag not in VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop() == tag, f"</{tag}> closes another element"

    def handle_data(self, data: str) -> None:
        if self._open:
            self.texts.append((self._open[-1], data))

    def all(self, tag: str) -> list[dict[str, str]]:
        return [attributes for name, attributes in self.elements if name == tag]


@pytest.fixture
def log(path: Path) -> Iterator[Log]:
    with Log(path) as log:
        yield log


@pytest.fixture
def full_log(log: Log, head: Head, tried: Trier) -> Log:
    """Every outcome, a demo session among the practice, and words that would break a page."""
    hostile = replace(head, source="microphone <script>alert('x')</script> & \"co\"", exercise="<b>bold</b>")
    session_id = log.begin(hostile, tried(1, Outcome.SPOKE, path=((3, 1.9),)))
    log.keep(session_id, tried(2, Outcome.CRACKED))
    log.keep(session_id, tried(3, Outcome.OTHER, wanted=4, cents=12.4))
    log.keep(session_id, tried(4, Outcome.SPLIT, partial=None, hz=None, cents=None, spread_cents=None))
    log.keep(session_id, tried(5, Outcome.NOTHING, tone=None))
    log.begin(replace(head, invented=True, source="demo"), tried(1, Outcome.SPOKE))
    log.begin(replace(head, fingering="C#4", horn="baritone", against="measured"), tried(1, wanted=9, cents=80.0))
    return log


def test_the_page_is_well_formed_and_says_its_language(full_log: Log) -> None:
    text = page(full_log)
    assert text.startswith("<!DOCTYPE html>\n")
    parsed = _Parsed(text)
    assert parsed.all("html") == [{"lang": "en"}]
    assert ("title", "Overtone practice record") in parsed.texts
    assert len(parsed.all("h1")) == len(parsed.all("main")) == 1
    assert "$" not in text


def test_nothing_is_fetched_from_anywhere(full_log: Log) -> None:
    text = page(full_log)
    parsed = _Parsed(text)
    links = [
        value for _, attributes in parsed.elements for name, value in attributes.items() if name in ("href", "src")
    ]
    assert links
    assert all(link.startswith("#") for link in links)
    assert not {"script", "link", "img", "iframe", "object"} & {name for name, _ in parsed.elements}
    assert not re.search(r"https?:|//[a-z]|@import|url\(|\bon[a-z]+=", text)
    policy = [meta["content"] for meta in parsed.all("meta") if meta.get("http-equiv") == "Content-Security-Policy"]
    assert policy == ["default-src 'none'; style-src 'unsafe-inline'"]


def test_ids_are_unique_and_every_reference_leads_somewhere(full_log: Log) -> None:
    parsed = _Parsed(page(full_log))
    ids = Counter(attributes["id"] for _, attributes in parsed.elements if "id" in attributes)
    assert set(ids.values()) == {1}
    for _, attributes in parsed.elements:
        wanted = attributes.get("aria-labelledby", "").split()
        wanted += [attributes["href"].removeprefix("#")] if "href" in attributes else []
        assert set(wanted) <= set(ids)


def test_tables_are_real_ones(full_log: Log) -> None:
    """A caption, heads with a scope, and as many cells in each row as there are columns (WCAG 2.2, technique H63)."""
    text = page(full_log)
    tables = re.findall(r"<table>.*?</table>", text, re.DOTALL)
    assert len(tables) == 5
    for table in tables:
        parsed = _Parsed(table)
        assert len(parsed.all("caption")) == 1
        assert {head["scope"] for head in parsed.all("th")} == {"col", "row"}
        columns = table.count('scope="col"')
        for row in re.findall(r"<tr>(.*?)</tr>", table, re.DOTALL):
            assert len(re.findall(r"<t[hd][ >]", row)) == columns


def test_every_ladder_has_a_title_and_a_description(full_log: Log) -> None:
    parsed = _Parsed(page(full_log))
    ladders = [svg for svg in parsed.all("svg") if svg.get("role") == "img"]
    assert [svg["aria-labelledby"] for svg in ladders] == [
        f"session-{number}-title session-{number}-desc" for number in (3, 1, 2)
    ]
    others = [svg for svg in parsed.all("svg") if svg.get("role") != "img"]
    assert all(svg["aria-hidden"] == "true" for svg in others)


def test_words_from_outside_cannot_break_out(full_log: Log) -> None:
    text = page(full_log)
    assert "<script>" not in text
    assert "<b>" not in text
    assert "microphone &lt;script&gt;alert(&#x27;x&#x27;)&lt;/script&gt; &amp; &quot;co&quot;" in text


def tones_of(text: str, session_id: int) -> list[list[str]]:
    """The rows of a session's table as plain text."""
    article = re.search(rf'<article[^>]* id="session-{session_id}".*?</article>', text, re.DOTALL)
    assert article is not None
    body = article[0].partition("<tbody>")[2]
    rows = re.findall(r"<tr>(.*?)</tr>", body, re.DOTALL)
    return [
        [unescape(re.sub(r"<[^>]*>", "", cell)) for cell in re.findall(r"<t[hd].*?</t[hd]>", row)] for row in rows
    ]


def test_every_try_is_told_in_words_and_numbers(full_log: Log) -> None:
    """Written names of partials 3 and 4 on low B flat: F5 and B flat 5 (common practice)."""
    assert tones_of(page(full_log), 1) == [
        ["1", "<b>bold</b>", "partial 3", "F5", "spoke", "−7", "2.5", "air", "120", "−33", "1.9", ""],
        ["2", "<b>bold</b>", "partial 3", "F5", "cracked on the way: 2", "−7", "2.5", "air", "120", "−33", "1.9", ""],
        [
            "3",
            "<b>bold</b>",
            "partial 4",
            "B♭5",
            "another partial: 3 F5",
            "+12",
            "2.5",
            "air",
            "120",
            "−33",
            "1.9",
            "",
        ],
        ["4", "<b>bold</b>", "partial 3", "F5", "split", "–", "–", "air", "120", "−33", "2.2", ""],
        ["5", "<b>bold</b>", "partial 3", "F5", "nothing stood", "–", "–", "–", "–", "–", "–", ""],
    ]


def test_the_fingering_is_written_with_real_signs(full_log: Log) -> None:
    text = page(full_log)
    assert "<dt>Fingering</dt><dd>B♭3</dd>" in text
    assert "<dt>Fingering</dt><dd>C♯4</dd>" in text
    assert "<dt>Cents from</dt><dd>the player&#x27;s own fundamental</dd>" in text


def test_what_the_demo_invented_stands_apart_and_is_not_counted(full_log: Log) -> None:
    text = page(full_log)
    practice, _, demo = text.partition('id="demo">Demo: invented, not practice')
    assert 'id="session-2"' not in practice
    assert "Session 2 (invented): " in demo
    assert 'class="session invented" id="session-2"' in demo
    assert "(invented)" not in practice
    assert "2 sessions of practice on 4 May 2026 on alto and baritone, 6 tries in all." in practice


def test_a_log_of_the_demo_alone_says_that_nobody_practised(log: Log, head: Head, tried: Trier) -> None:
    log.begin(replace(head, invented=True), tried(1))
    text = page(log)
    assert "There is no practice in the log yet, only what the demo invented." in text
    assert 'id="practice"' not in text


def test_an_empty_log_is_a_kind_sentence_on_a_whole_page(log: Log) -> None:
    text = page(log)
    assert f'<p class="lead">{EMPTY}</p>' in text
    assert _Parsed(text).all("table") == []


def test_only_the_newest_sessions_are_told_tone_by_tone_and_all_are_listed(
    log: Log, head: Head, tried: Trier
) -> None:
    for _ in range(TOLD_IN_FULL + 3):
        log.begin(head, tried(1))
    text = page(log)
    told = [int(number) for number in re.findall(r'<article[^>]* id="session-(\d+)"', text)]
    assert told == list(range(TOLD_IN_FULL + 3, 3, -1))
    overview = text.partition("</table>")[0]
    assert overview.count("<tr>") == 1 + TOLD_IN_FULL + 3
    assert overview.count('href="#session-') == TOLD_IN_FULL


def test_a_horn_of_another_version_still_gets_its_numbers(log: Log, head: Head, tried: Trier) -> None:
    log.begin(replace(head, horn="sopranino"), tried(1, Outcome.SPOKE))
    assert tones_of(page(log), 1) == [
        ["1", "partials rising", "partial 3", "", "spoke", "−7", "2.5", "air", "120", "−33", "1.9", ""]
    ]


def test_the_same_log_always_gives_the_same_page(full_log: Log, path: Path) -> None:
    with Log(path) as again:
        assert page(full_log) == page(again)


def test_the_report_is_written_to_its_file(full_log: Log, tmp_path: Path) -> None:
    report(full_log, tmp_path / "record.html")
    assert (tmp_path / "record.html").read_text(encoding="utf-8") == page(full_log)


TONGUED = Asked("starts", "B3", partials=(3,), start=Start.TONGUED)
COMPARED = Asked("compare", "F5", Task.USUAL, (1,), beside_fingering="Bb3", beside_partial=3, interval="unison")


@pytest.mark.parametrize(
    ("asked", "found", "told"),
    [
        (
            Asked("starts", "B3", partials=(3,), start=Start.TONGUED),
            {},
            ("B3 partial 3, tongued", "F♯5", "began the other way"),
        ),
        (Asked("long tone", "Bb3", partials=(3,), hold=8.0, cold=True), {}, ("partial 3, 8 s, cold", "F5", "")),
        (Asked("slurs", "Bb3", Task.SLUR, (2, 3)), {}, ("slur 2-3", "F5", "")),
        (COMPARED, {"difference_cents": 7.0}, ("usual F5, partial 3", "F5", "overtone +7 cents from it")),
        (replace(COMPARED, interval="octave", fingering="F4"), {}, ("usual F4, octave below partial 3", "F4", "")),
        (
            Asked("hear first", "Bb3", partials=(3,), swell=True),
            {"sung": Voice(207.0, -14.2, 5.0), "guess": Guess.SHARP, "swell_db": 6.0},
            ("partial 3, swell", "F5", "guessed sharp, sung −14 cents, swell 6 dB"),
        ),
    ],
)
def test_what_was_asked_and_found_besides_is_told(
    log: Log, head: Head, tried: Trier, asked: Asked, found: dict[str, Any], told: tuple[str, str, str]
) -> None:
    log.begin(head, replace(tried(1, Outcome.SPOKE), asked=asked, **found))
    (row,) = tones_of(page(log), 1)
    assert (row[1], *row[2:4], row[-1]) == (asked.exercise, *told)


def test_the_ladder_of_a_session_bears_only_what_was_played_on_its_fingering(
    log: Log, head: Head, tried: Trier
) -> None:
    session = log.begin(head, replace(tried(1, Outcome.SPOKE), asked=Asked("rising", "Bb3", partials=(3,))))
    slur = Asked("slurs", "Bb3", Task.SLUR, (2, 3))
    for number, asked in enumerate((Asked("rising", "F4", partials=(3,)), COMPARED, slur), start=2):
        log.keep(session, replace(tried(number, Outcome.SPOKE), asked=asked))
    picture = page(log).partition('class="ladder"')[2].partition("</svg>")[0]
    assert picture.count('href="#mark-') == 1


def test_a_slur_with_a_new_start_is_told_kindly(log: Log, head: Head, tried: Trier) -> None:
    log.begin(head, replace(tried(1, Outcome.RESTARTED), asked=Asked("slurs", "Bb3", Task.SLUR, (2, 3))))
    assert tones_of(page(log), 1)[0][4] == "with a new start"


def test_what_sounded_instead_is_named_on_the_tube_that_was_fingered(log: Log, head: Head, tried: Trier) -> None:
    """The second partial of the tube of F4 is F5, an octave above (common practice)."""
    asked = Asked("rising", "F4", partials=(3,))
    log.begin(head, replace(tried(1, Outcome.OTHER, partial=2), asked=asked))
    assert tones_of(page(log), 1)[0][4] == "another partial: 2 F5"
