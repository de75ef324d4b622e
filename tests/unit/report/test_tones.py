"""A session is told tone by tone, in the words and numbers of the log."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from html import unescape
from typing import Any

import pytest

from airladder.journal.dating import Dated
from airladder.journal.log import Log
from airladder.journal.records import Head, Planned
from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Asked, Attempt, Guess
from airladder.practice.judge import Outcome, Voice
from airladder.report.tones import told

Trier = Callable[..., Attempt]


def article(log: Log, session_id: int, known: bool = True) -> str:
    session = log.session(session_id)
    return told(session, Dated(session.head.started, known))


def tones_of(log: Log, session_id: int) -> list[list[str]]:
    """The rows of a session's table as plain text."""
    body = article(log, session_id).partition("<tbody>")[2]
    return [
        [unescape(re.sub(r"<[^>]*>", "", cell)) for cell in re.findall(r"<t[hd].*?</t[hd]>", row)]
        for row in re.findall(r"<tr>(.*?)</tr>", body, re.DOTALL)
    ]


def test_every_try_is_told_in_words_and_numbers(log: Log, head: Head, tried: Trier) -> None:
    """Written names of partials 3 and 4 on low B flat: F5 and B flat 5 (common practice)."""
    session = log.begin(replace(head, exercise="<b>bold</b>"), tried(1, Outcome.SPOKE, path=((3, 1.9),)))
    log.keep(session, tried(2, Outcome.CRACKED))
    log.keep(session, tried(3, Outcome.OTHER, wanted=4, cents=12.4))
    log.keep(session, tried(4, Outcome.SPLIT, partial=None, hz=None, cents=None, spread_cents=None))
    log.keep(session, tried(5, Outcome.NOTHING, tone=None))
    measured = ["2.5", "air", "120", "−33", "1.9", ""]
    assert tones_of(log, session) == [
        ["1", "<b>bold</b>", "partial 3", "F5", "spoke", "−7", *measured],
        ["2", "<b>bold</b>", "partial 3", "F5", "cracked on the way: 2", "−7", *measured],
        ["3", "<b>bold</b>", "partial 4", "B♭5", "another partial: 3 F5", "+12", *measured],
        ["4", "<b>bold</b>", "partial 3", "F5", "split", "–", "–", "air", "120", "−33", "2.2", ""],
        ["5", "<b>bold</b>", "partial 3", "F5", "nothing stood", "–", "–", "–", "–", "–", "–", ""],
    ]
    assert "<b>" not in article(log, session)


def test_the_facts_are_written_with_real_signs(log: Log, head: Head, tried: Trier) -> None:
    text = article(log, log.begin(replace(head, fingering="C#4", horn="baritone", against="measured"), tried(1)))
    assert "<dt>Fingering</dt><dd>C♯4</dd>" in text
    assert "<dt>Cents from</dt><dd>the player&#x27;s own fundamental</dd>" in text


def test_a_date_that_nobody_told_is_no_date(log: Log, head: Head, tried: Trier) -> None:
    session = log.begin(head, tried(1))
    assert '<time datetime="2026-05-04T18:03+02:00">4 May 2026, 18:03</time>' in article(log, session)
    assert "Session 1: about 4 May 2026<" in article(log, session, known=False)


def test_the_plan_and_what_the_coach_said_stand_beside_the_ladder(log: Log, head: Head, tried: Trier) -> None:
    plan = (Planned("cold", "What stayed & what did not."), Planned("long tone"))
    text = article(log, log.begin(replace(head, plan=plan, remarks=("Back on the <long> ones.",)), tried(1)))
    assert "<p>Back on the &lt;long&gt; ones.</p>" in text
    assert "<li>cold<br><span>What stayed &amp; what did not.</span></li><li>long tone</li>" in text
    assert "The plan" not in article(log, log.begin(replace(head, started=head.started + timedelta(1)), tried(1)))


def test_a_horn_of_another_version_still_gets_its_numbers(log: Log, head: Head, tried: Trier) -> None:
    session = log.begin(replace(head, horn="sopranino"), tried(1, Outcome.SPOKE))
    assert tones_of(log, session) == [
        ["1", "partials rising", "partial 3", "", "spoke", "−7", "2.5", "air", "120", "−33", "1.9", ""]
    ]


COMPARED = Asked("compare", "F5", Task.USUAL, (1,), beside_fingering="Bb3", beside_partial=3, interval="unison")


@pytest.mark.parametrize(
    ("asked", "found", "said"),
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
    log: Log, head: Head, tried: Trier, asked: Asked, found: dict[str, Any], said: tuple[str, str, str]
) -> None:
    (row,) = tones_of(log, log.begin(head, replace(tried(1, Outcome.SPOKE), asked=asked, **found)))
    assert (row[1], *row[2:4], row[-1]) == (asked.exercise, *said)


def test_the_ladder_of_a_session_bears_only_what_was_played_on_its_fingering(
    log: Log, head: Head, tried: Trier
) -> None:
    session = log.begin(head, replace(tried(1, Outcome.SPOKE), asked=Asked("rising", "Bb3", partials=(3,))))
    slur = Asked("slurs", "Bb3", Task.SLUR, (2, 3))
    for number, asked in enumerate((Asked("rising", "F4", partials=(3,)), COMPARED, slur), start=2):
        log.keep(session, replace(tried(number, Outcome.SPOKE), asked=asked))
    picture = article(log, session).partition('class="ladder"')[2].partition("</svg>")[0]
    assert picture.count('href="#mark-') == 1


def test_a_slur_with_a_new_start_is_told_kindly(log: Log, head: Head, tried: Trier) -> None:
    asked = Asked("slurs", "Bb3", Task.SLUR, (2, 3))
    assert (
        tones_of(log, log.begin(head, replace(tried(1, Outcome.RESTARTED), asked=asked)))[0][4] == "with a new start"
    )


def test_what_sounded_instead_is_named_on_the_tube_that_was_fingered(log: Log, head: Head, tried: Trier) -> None:
    """The second partial of the tube of F4 is F5, an octave above (common practice)."""
    asked = Asked("rising", "F4", partials=(3,))
    session = log.begin(head, replace(tried(1, Outcome.OTHER, partial=2), asked=asked))
    assert tones_of(log, session)[0][4] == "another partial: 2 F5"
