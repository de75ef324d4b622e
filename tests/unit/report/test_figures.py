"""The figures of the report: what counts where, and that nothing is counted twice or left out."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta

import pytest

from airladder.hearing.events import Attack
from airladder.journal.log import Log
from airladder.journal.records import Head, Planned
from airladder.journal.rows import Summary
from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Asked, Attempt, Guess
from airladder.practice.judge import Outcome
from airladder.report.figures import figures

Trier = Callable[..., Attempt]
RISING = Asked("rising", "Bb3", partials=(3,))
COMPARED = Asked("compare", "F5", Task.USUAL, (1,), beside_fingering="Bb3", beside_partial=3, interval="unison")
SLUR = Asked("slurs", "C4", Task.SLUR, (2, 3))


def kept(log: Log, head: Head, attempts: Sequence[Attempt]) -> int:
    """One session."""
    session = log.begin(head, attempts[0])
    for attempt in attempts[1:]:
        log.keep(session, attempt)
    return session


def test_an_empty_log_has_no_figures_and_no_fault(log: Log) -> None:
    made = figures(log)
    assert not made["tubes"]
    assert not made["ladder"]
    assert not made["coach"]
    for part in (made["practice"], made["invented"]):
        assert part["totals"] == {
            "sessions": 0, "days": 0, "minutes": 0.0, "tries": 0, "reached": 0, "first": None, "last": None
        }  # fmt: skip
        assert part["newest"] is None
        assert part["rungs"] == {"day": [], "month": []}


def test_every_try_is_practice_and_belongs_to_one_tube(log: Log, head: Head, tried: Trier) -> None:
    """A usual fingering to the one it is set against; the time up to each try adds up to the session's."""
    attempts = [
        replace(tried(1, Outcome.SPOKE), asked=RISING),
        replace(tried(2, Outcome.OTHER), asked=RISING),
        replace(tried(3, Outcome.SPOKE, wanted=1), asked=COMPARED, difference_cents=6.25),
        replace(tried(5, Outcome.RESTARTED), asked=SLUR),
    ]
    kept(log, head, [replace(attempt, number=number) for number, attempt in enumerate(attempts, 1)])
    made = figures(log)
    assert [(tube["fingering"], tube["notes"][:3]) for tube in made["tubes"]] == [
        ("Bb3", ["B♭3", "B♭4", "F5"]),
        ("C4", ["C4", "C5", "G5"]),
    ]
    # judged at 6, 12, 18 and 30 s; the first tone began at 10.5 s, so its try takes no time at all
    assert made["practice"]["practised"]["day"] == [[0, 0, 0.2, 3, 2], [0, 1, 0.2, 1, 0]]
    assert made["practice"]["practised"]["month"] == made["practice"]["practised"]["day"]
    assert made["practice"]["calendar"] == [["2026-05-04", "alto", 0.4, 4, 2]]
    assert made["practice"]["totals"]["tries"] == 4


def test_a_rung_counts_as_the_coach_counts(log: Log, head: Head, tried: Trier) -> None:
    cold = replace(RISING, cold=True)
    air = replace(RISING, start=Start.AIR)
    tongued = Attack(t=10.5, known_at=10.56, kind="tongued", rise_ms=20.0, confidence=0.9)
    kept(
        log,
        head,
        [
            replace(tried(1, Outcome.SPOKE, cents=4.0, speak_ms=100.0), asked=cold),
            replace(tried(2, Outcome.CRACKED, cents=-2.0, speak_ms=300.0), asked=RISING),
            replace(tried(3, Outcome.SPLIT, cents=90.0, speak_ms=900.0), asked=RISING),
            replace(tried(4, Outcome.SPOKE, cents=6.0, speak_ms=200.0, attack=tongued), asked=air),  # the other way
            replace(tried(5, Outcome.NOTHING, tone=None), asked=cold),
            replace(tried(6, Outcome.SPOKE), asked=SLUR),
        ],
    )
    part = figures(log)["practice"]
    assert part["rungs"]["day"] == [[0, 0, 3, 5, 3, 2, 2, 1, [3, 1.0, 4.0, 5.0], [3, 150, 200, 250]]]
    assert part["starts"]["quarter"] == [
        [0, 0, 3, "air", 1, 1, 0, 3, 2, [2, 150, 200, 250]],
        [0, 0, 3, "tongued", 0, 0, 0, 1, 1, [1, 200, 200, 200]],
    ]


def test_overtones_against_usual_fingerings_stand_by_pair_and_interval(log: Log, head: Head, tried: Trier) -> None:
    octave = replace(COMPARED, fingering="F4", interval="octave")
    asks = [(COMPARED, 4.0), (COMPARED, 8.0), (octave, -3.0), (COMPARED, None)]
    tries = [
        replace(tried(number, Outcome.SPOKE, wanted=1), asked=asked, difference_cents=cents)
        for number, (asked, cents) in enumerate(asks, 1)
    ]
    kept(log, head, tries)
    assert figures(log)["practice"]["compared"]["quarter"] == [
        [0, 0, 3, "F4", "octave", [1, -3.0, -3.0, -3.0]],
        [0, 0, 3, "F5", "unison", [2, 5.0, 6.0, 7.0]],
    ]


def test_fundamentals_are_those_of_the_log(log: Log, head: Head, tried: Trier) -> None:
    low = replace(RISING, partials=(1,))
    for day, hz in enumerate((138.5, 138.7, 139.5)):
        first = replace(tried(1, Outcome.SPOKE, wanted=1, partial=1, hz=hz, cents=day - 1.0), asked=low)
        kept(log, replace(head, started=head.started + timedelta(days=day)), [first, tried(2)])
    made = figures(log)["practice"]["fundamentals"]
    assert made["month"] == [[0, 0, [3, 138.6, 138.7, 139.1], [3, -0.5, 0.0, 0.5]]]
    assert [row[2][2] for row in made["day"]] == [138.5, 138.7, 139.5]


def test_what_the_demo_invented_stands_apart(log: Log, head: Head, tried: Trier) -> None:
    kept(log, head, [tried(1), tried(2)])
    kept(log, replace(head, invented=True, horn="tenor", source="demo"), [tried(1)])
    made = figures(log)
    assert made["practice"]["totals"]["tries"] == 2
    assert made["invented"]["totals"]["tries"] == 1
    assert [one["horn"] for one in made["practice"]["sessions"]] == ["alto"]
    assert [one["horn"] for one in made["invented"]["sessions"]] == ["tenor"]
    assert [way["horn"] for way in made["coach"]] == ["alto"]
    assert {made["tubes"][ladder["tube"]]["horn"] for ladder in made["ladder"]} == {"alto"}


def test_the_newest_session_is_told_tone_by_tone(log: Log, head: Head, tried: Trier) -> None:
    kept(log, head, [tried(1)])
    first = replace(tried(1), asked=replace(COMPARED, cold=True), difference_cents=-4.04, guess=Guess.SHARP)
    own = replace(
        head,
        started=head.started + timedelta(days=1),
        plan=(Planned("cold", "What stayed."), Planned("rising")),
        remarks=("Softer goes further.",),
    )
    session = kept(log, own, [first, tried(2, Outcome.NOTHING, tone=None)])
    told = figures(log)["practice"]["newest"]
    assert told is not None
    assert (told["head"]["id"], told["head"]["when"], told["head"]["known"]) == (session, "2026-05-05T18:03", True)
    assert told["plan"] == [("cold", "What stayed."), ("rising", "")]
    assert told["remarks"] == ["Softer goes further."]
    spoke, nothing = told["tries"]
    assert spoke["beside"] == ("Bb3", 3, "unison")
    assert (spoke["note"], spoke["difference_cents"], spoke["guess"], spoke["cold"]) == ("F5", -4.0, "sharp", True)
    assert spoke["path"] == [(2, 0.25), (None, 0.12), (3, 1.88)]
    assert spoke["others"] == [2, 3]  # of the usual fingering itself the fundamental was wanted
    assert (nothing["partial"], nothing["cents"], nothing["attack"]) == (None, None, None)
    assert (nothing["note"], nothing["path"], nothing["held_s"]) == ("F5", [], 0.0)


def test_the_heads_say_what_the_log_says_of_the_newest_sessions(log: Log, head: Head, tried: Trier) -> None:
    outcomes = list(Outcome)
    for day in range(25):
        tries = [tried(number, outcomes[(number * day) % len(outcomes)]) for number in range(1, 2 + day % 5)]
        kept(log, replace(head, started=head.started + timedelta(days=day)), tries)
    heads = figures(log)["practice"]["sessions"]
    summaries: list[Summary] = list(log.sessions())[::-1]
    assert [one["id"] for one in heads] == [25 - place for place in range(20)]
    for one, summary in zip(heads, summaries, strict=False):
        assert (one["tries"], one["reached"]) == (summary.tries, summary.reached)
        assert one["outcomes"] == {outcome.value: count for outcome, count in summary.outcomes.items()}


def test_a_horn_of_another_version_has_figures_and_no_names(log: Log, head: Head, tried: Trier) -> None:
    kept(log, replace(head, horn="serpent", fingering="X9"), [tried(1)])
    (tube,) = figures(log)["tubes"]
    assert (tube["spoken"], tube["notes"]) == ("X9", [])


def test_the_figures_are_json_and_the_same_every_time(log: Log, head: Head, tried: Trier) -> None:
    for day in range(3):
        kept(log, replace(head, started=head.started + timedelta(days=day)), [tried(1), tried(2, Outcome.OTHER)])
    assert json.dumps(figures(log), allow_nan=False) == json.dumps(figures(log), allow_nan=False)


@pytest.mark.parametrize(("days", "in_full"), [(61, 60), (20, 20)])
def test_only_the_newest_days_are_told_in_full(log: Log, head: Head, tried: Trier, days: int, in_full: int) -> None:
    for day in range(days):
        kept(log, replace(head, started=head.started + timedelta(days=day)), [tried(1)])
    rows = figures(log)["practice"]["rungs"]["day"]
    assert [len(row) for row in rows] == [8] * (days - in_full) + [10] * in_full
