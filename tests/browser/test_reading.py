"""The report in a real browser: whole, quiet, and with the numbers of the log itself."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from scipy.stats import binomtest

from airladder.journal.log import Log
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome
from airladder.report.page import report
from browser.conftest import DRAWN, HOSTILE, Opener, asked, labels, rows
from chromium import Browser, Tab
from unit.journal.conftest import HEAD, TONE

PLOTTED = ("by-day", "ladders", "growth", "cents", "compared", "starts", "speak", "fundamentals")


def test_nothing_is_fetched_and_nothing_is_complained_of(opened: Opener, address: str) -> None:
    tab = opened()
    tab.ask("scrollTo(0, document.body.scrollHeight)")
    asked_for = [sent["request"]["url"] for sent in tab.events("Network.requestWillBeSent")]
    assert [url for url in asked_for if not url.startswith("about:")] == [address]
    assert tab.complaints() == []


def test_the_policy_lets_no_other_script_and_no_other_style_in(opened: Opener) -> None:
    tab = opened()
    tab.ask(
        "for (const kind of ['script', 'style']) { const it = document.createElement(kind);"
        " it.textContent = kind === 'script' ? 'document.title = 1' : 'h1 { color: red }';"
        " document.body.append(it); }"
    )
    assert tab.ask("document.title") == "Overtone practice record"
    refused = [found["entry"]["text"] for found in tab.events("Log.entryAdded")]
    assert len(refused) == 2
    assert all("Content Security Policy" in text for text in refused)


def test_every_plot_is_a_picture_with_a_sentence_and_a_table(read: Tab) -> None:
    """WCAG 2.2, 1.1.1: a short text, and the same information as text beside it."""
    for section in PLOTTED:
        said = labels(read, section)
        assert said, section
        assert all(len(sentence) > 30 and sentence.endswith(".") for sentence in said)
        assert len(rows(read, section)) >= len(said)


def test_the_ladder_and_its_table_count_what_the_log_holds(opened: Opener, log_path: Path) -> None:
    counted = asked(
        log_path,
        "SELECT wanted, sum(outcome IN ('spoke', 'cracked')), count(*) FROM attempt JOIN session ON session = id"
        " WHERE NOT invented AND horn = 'alto' AND asked_fingering = 'Bb3' AND task = 'play' GROUP BY wanted",
    )
    tab = opened("#horn=alto&fingering=Bb3&time=all")
    (sentence,) = labels(tab, "ladders")
    told = re.findall(r"partial (\d+) in (\d+) of (\d+)", sentence)
    assert [tuple(map(int, found)) for found in told] == counted
    assert [row[2] for row in rows(tab, "ladders")] == [f"{right} of {of}" for _, right, of in counted]
    assert tab.ask("document.querySelectorAll('#ladders .drawn circle').length") == len(counted)


def test_the_true_share_is_the_interval_of_wilson(opened: Opener) -> None:
    """Held against scipy's."""
    for row in rows(opened("#time=30d"), "ladders"):
        right, of = map(int, row[2].split(" of "))
        interval = binomtest(right, of).proportion_ci(method="wilson")
        low, high = map(float, re.findall(r"\d+", row[3]))
        assert low == pytest.approx(100 * interval.low, abs=0.51)
        assert high == pytest.approx(100 * interval.high, abs=0.51)


def test_few_tries_are_called_few_and_stand_hollow(opened: Opener) -> None:
    tab = opened("#time=30d")
    few = [row[4] for row in rows(tab, "ladders")]
    hollow = tab.ask("document.querySelectorAll('#ladders .drawn circle[fill=\"var(--sheet)\"]').length")
    assert [int(row[2].split(" of ")[1]) < 10 for row in rows(tab, "ladders")] == [bool(word) for word in few]
    assert hollow == len([word for word in few if word]) > 0


def test_a_month_of_cents_is_the_median_of_its_tones(opened: Opener, log_path: Path) -> None:
    found = asked(
        log_path,
        "SELECT substr(started, 1, 7), cents FROM attempt JOIN session ON session = id"
        " WHERE NOT invented AND horn = 'alto' AND asked_fingering = 'Bb3' AND task = 'play' AND wanted = 3"
        " AND outcome IN ('spoke', 'cracked') ORDER BY cents",
    )
    newest = max(month for month, _ in found)
    cents = [value for month, value in found if month == newest]
    median = (cents[(len(cents) - 1) // 2] + cents[len(cents) // 2]) / 2
    row = [row for row in rows(opened("#fingering=Bb3&time=12m"), "cents") if row[1].startswith("3 ")][-1]
    assert int(row[3].replace("−", "-")) == pytest.approx(median, abs=0.56)
    assert int(row[5]) == len(cents)


def test_every_day_of_practice_has_its_square(opened: Opener, log_path: Path) -> None:
    ((practised,),) = asked(
        log_path,
        "SELECT count(DISTINCT substr(started, 1, 10)) FROM session WHERE NOT invented AND horn = 'alto'"
        " AND substr(started, 1, 10) > (SELECT date(max(substr(started, 1, 10)), '-30 days') FROM session"
        " WHERE NOT invented)",
    )
    tab = opened("#horn=alto&time=30d")
    sentence = tab.ask("document.querySelector('#by-day .sentence').textContent")
    days = int(re.findall(r"on (\d+) days", sentence)[0])
    assert len(rows(tab, "by-day")) == days == practised
    assert tab.ask("[...document.querySelectorAll('#by-day svg g[data-part=cell]')].at(-1).children.length") == days


def test_the_first_day_is_told_day_by_day_whatever_the_words_in_it(browser: Browser, tmp_path: Path) -> None:
    with Log(tmp_path / "log.sqlite") as log:
        log.begin(replace(HEAD, horn=HOSTILE, fingering=HOSTILE), Attempt(1, 6.0, 3, Outcome.SPOKE, TONE))
        report(log, tmp_path / "report.html", None)
    tab = Tab(browser, (tmp_path / "report.html").as_uri())
    tab.until(DRAWN)
    assert labels(tab, "ladders") == [f"Ladder of {HOSTILE}. Spoke: partial 3 in 1 of 1."]
    assert rows(tab, "growth")[0][2] == "4 May 2026"
    assert "less than a minute of practice on 1 day, 1 try." in tab.ask("document.body.innerText")
    assert tab.complaints() == []
    tab.close()


def test_what_the_demo_invented_stands_apart_and_in_no_plot(read: Tab) -> None:
    assert read.ask("[...document.querySelector('[name=horn]').options].map((o) => o.value)") == ["alto", "tenor"]
    assert "Nobody played these" in read.ask("document.getElementById('demo').textContent")
    assert HOSTILE in read.ask("document.querySelector('#demo .session').textContent")


def test_the_newest_practice_is_told_tone_by_tone(read: Tab) -> None:
    assert read.ask("document.querySelectorAll('#newest .session tbody tr').length") == 40
    assert read.ask("document.querySelectorAll('#newest .ladder use').length") > 15
    assert "The plan:" in read.ask("document.querySelector('#newest .session').textContent")
