"""The report is one whole, honest page: nothing from elsewhere, nothing unescaped, nothing invented passed off."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import html5lib
import pytest

from airladder.faults import LogFault
from airladder.journal.log import Log
from airladder.journal.records import Head
from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Asked, Attempt
from airladder.practice.judge import Outcome
from airladder.report.figures import figures
from airladder.report.page import page, report
from airladder.report.sections import TOLD_IN_FULL
from airladder.report.words import EMPTY

Trier = Callable[..., Attempt]

HOSTILE = "</script><!--<script>alert('x')</script> & \"co\""
COMPARED = Asked("compare", "F5", Task.USUAL, (1,), beside_fingering="Bb3", beside_partial=3, interval="unison")


@pytest.fixture
def full_log(log: Log, head: Head, tried: Trier) -> Log:
    """Every outcome, a demo session among the practice, words that would break a page, and horns nobody knows."""
    hostile = replace(head, source=f"microphone {HOSTILE}", exercise="<b>bold</b>", remarks=(HOSTILE,))
    session_id = log.begin(hostile, tried(1, Outcome.SPOKE, path=((3, 1.9),)))
    log.keep(session_id, tried(2, Outcome.CRACKED))
    log.keep(session_id, tried(3, Outcome.OTHER, wanted=4, cents=12.4))
    log.keep(session_id, tried(4, Outcome.SPLIT, partial=None, hz=None, cents=None, spread_cents=None))
    log.keep(session_id, tried(5, Outcome.NOTHING, tone=None))
    started = Asked("starts", "Bb3", partials=(3,), start=Start.TONGUED)
    log.keep(session_id, replace(tried(6, Outcome.SPOKE), asked=started))
    log.keep(session_id, replace(tried(7, Outcome.SPOKE), asked=COMPARED, difference_cents=7.0))
    log.keep(session_id, tried(8, Outcome.SPOKE, wanted=1, partial=1, hz=138.6, cents=1.0))
    log.begin(replace(head, invented=True, source="demo"), tried(1, Outcome.SPOKE))
    log.begin(replace(head, fingering="C#4", horn="baritone", against="measured"), tried(1, wanted=9, cents=80.0))
    log.begin(replace(head, horn=HOSTILE, fingering=HOSTILE), tried(1, Outcome.SPOKE))
    return log


def parsed(text: str) -> Any:
    """The page as html5lib reads it, a parser that follows the HTML standard; an error of syntax fails."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)


def inside(element: Any) -> str:
    return "".join(element.itertext())


def test_the_page_is_html_by_the_standard_and_says_its_language(full_log: Log) -> None:
    text = page(full_log, None)
    assert text.startswith("<!DOCTYPE html>\n")
    tree = parsed(text)
    assert tree.get("lang") == "en"
    assert inside(tree.find(".//title")) == "Overtone practice record"
    assert len(tree.findall(".//h1")) == len(tree.findall(".//main")) == 1


def test_nothing_is_fetched_from_anywhere(full_log: Log) -> None:
    tree = parsed(page(full_log, None))
    links = [value for element in tree.iter() for name, value in element.attrib.items() if name in ("href", "src")]
    assert links
    assert all(link.startswith("#") for link in links)
    assert not {"link", "img", "iframe", "object", "embed"} & {element.tag for element in tree.iter()}
    assert not [
        name for element in tree.iter() for name in element.attrib if name.startswith("on") or name == "style"
    ]
    assert not re.search(r"@import|url\(", inside(tree.find(".//style")))


def test_the_policy_lets_in_the_texts_of_the_page_and_nothing_else(full_log: Log) -> None:
    """Content Security Policy Level 3 (W3C): a source '<algorithm>-<base64 of the digest of the text>'."""
    tree = parsed(page(full_log, None))
    (policy,) = (m.get("content") for m in tree.iter("meta") if m.get("http-equiv") == "Content-Security-Policy")
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    run = [script for script in tree.iter("script") if script.get("type") is None]
    assert len(run) == 3
    assert rules.pop("script-src").split() == [_source(inside(script)) for script in run]
    assert rules.pop("style-src").split() == [_source(inside(style)) for style in tree.iter("style")]
    assert rules == {"default-src": "'none'", "base-uri": "'none'", "form-action": "'none'"}


def _source(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def test_the_figures_come_through_whatever_words_are_in_them(full_log: Log) -> None:
    tree = parsed(page(full_log, None))
    (data,) = (script for script in tree.iter("script") if script.get("id") == "figures")
    read, made = json.loads(inside(data)), figures(full_log, None)
    assert HOSTILE in [tube["horn"] for tube in read["tubes"]]
    assert read["practice"]["rungs"] == json.loads(json.dumps(made["practice"]["rungs"]))
    assert read["ladder"] == json.loads(json.dumps(made["ladder"]))
    assert "invented" not in read


def test_ids_are_unique_and_every_reference_leads_somewhere(full_log: Log) -> None:
    tree = parsed(page(full_log, None))
    ids = Counter(element.get("id") for element in tree.iter() if element.get("id"))
    assert set(ids.values()) == {1}
    for element in tree.iter():
        wanted = (element.get("aria-labelledby") or "").split()
        wanted += [element.get("href").removeprefix("#")] if element.get("href") else []
        assert set(wanted) <= set(ids)


def test_tables_are_real_ones(full_log: Log) -> None:
    """A caption, heads with a scope, and as many cells in each row as there are columns (WCAG 2.2, technique H63)."""
    tables = list(parsed(page(full_log, None)).iter("table"))
    assert len(tables) == 8 + 4 + 2  # beside plots, of sessions told in full, lists of sessions
    for table in tables:
        assert len(table.findall("caption")) == 1
        heads = table.findall("thead/tr/th")
        assert {head.get("scope") for head in heads} == {"col"}
        for row in table.findall("tbody/tr"):
            assert [cell.tag for cell in row] == ["th"] + ["td"] * (len(heads) - 1)


def test_without_a_script_every_table_beside_a_plot_has_its_newest_figures(full_log: Log) -> None:
    tree = parsed(page(full_log, None))
    tables = {
        section.get("id"): [[inside(cell) for cell in row] for row in section.findall(".//tbody/tr")]
        for section in tree.iter("section")
    }
    assert tables["by-day"][0][:1] + tables["by-day"][0][2:] == ["May 2026", "10", "7"]
    assert ["Low B flat, alto", "3 F5", "May 2026", "3 of 5", "0 of 0"] in tables["growth"]
    assert ["Low B flat, alto", "3 F5", "May 2026", "−7", "−7 to −7", "3"] in tables["cents"]
    assert tables["compared"] == [["Low B flat, alto", "3 and F5", "April to June 2026", "+7", "–", "1"]]
    assert ["Low B flat, alto", "3 F5", "tongued", "1 of 1", "–", "0 of 1"] in tables["starts"]
    assert ["Low B flat, alto", "3 F5", "April to June 2026", "air", "120", "120 to 120", "3"] in tables["speak"]
    assert tables["fundamentals"] == [["Low B flat, alto", "May 2026", "138.60", "+1", "–", "1"]]
    assert "here none is run" in inside(tree.find(".//noscript"))
    assert [form.get("hidden") for form in tree.iter("form")] == [""]


def test_what_the_demo_invented_stands_apart_and_is_not_counted(full_log: Log) -> None:
    text = page(full_log, None)
    practice, _, demo = text.partition('<section id="demo"')
    assert 'id="session-2"' not in practice
    assert "Session 2 (invented): " in demo
    assert 'class="session invented" id="session-2"' in demo
    assert "(invented)" not in practice
    assert "3 sessions of practice on 1 day, on 4 May 2026, on " in practice
    assert ": 10 tries in all." in practice


def test_a_log_of_the_demo_alone_says_that_nobody_practised(log: Log, head: Head, tried: Trier) -> None:
    log.begin(replace(head, invented=True), tried(1))
    text = page(log, None)
    assert "There is no practice in the log yet, only what the demo invented." in text
    tree = parsed(text)
    assert [section.get("id") for section in tree.iter("section")] == ["demo"]
    assert list(tree.iter("script")) == []


def test_an_empty_log_is_a_kind_sentence_on_a_whole_page(log: Log) -> None:
    text = page(log, None)
    assert f'<p class="lead">{EMPTY}</p>' in text
    assert list(parsed(text).iter("table")) == []
    assert "script-src 'none'" in text


def test_the_newest_day_is_told_tone_by_tone_and_no_other(log: Log, head: Head, tried: Trier) -> None:
    log.begin(head, tried(1))
    for _ in range(TOLD_IN_FULL + 1):
        log.begin(replace(head, started=head.started + timedelta(days=1)), tried(1))
    told = [int(number) for number in re.findall(r'<article[^>]* id="session-(\d+)"', page(log, None))]
    assert told == list(range(TOLD_IN_FULL + 2, 2, -1))


def test_the_same_log_always_gives_the_same_page(full_log: Log, path: Path, tmp_path: Path) -> None:
    with Log(path) as again:
        assert page(full_log, None) == page(again, tmp_path) == page(again, tmp_path)


def test_the_report_is_written_to_its_file(full_log: Log, tmp_path: Path) -> None:
    report(full_log, tmp_path / "record.html", None)
    assert (tmp_path / "record.html").read_text(encoding="utf-8") == page(full_log, None)


def test_a_place_that_cannot_be_written_is_a_sentence(full_log: Log, path: Path) -> None:
    before = path.read_bytes()
    with pytest.raises(LogFault, match="is the log itself and is not written over"):
        report(full_log, path, None)
    assert path.read_bytes() == before
