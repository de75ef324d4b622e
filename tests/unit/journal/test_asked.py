"""What was asked and found beside the tone comes back from the log as it went in; older logs go along."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airladder.faults import LogFault
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head
from airladder.journal.rows import attempt_row
from airladder.journal.steps import shipped
from airladder.practice.ask import Start, Task
from airladder.practice.attempt import Asked, Attempt, Guess
from airladder.practice.judge import Outcome, Voice

Trier = Callable[..., Attempt]
numbers = st.floats(-1e6, 1e6)
positive = st.floats(1e-3, 1e6)
text = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=20)


@st.composite
def asked(draw: st.DrawFn) -> Asked:
    """Anything that may be asked for."""
    beside = draw(st.booleans())
    return Asked(
        exercise=draw(text),
        fingering=draw(text),
        task=draw(st.sampled_from([Task.PLAY, Task.USUAL, Task.SLUR])),
        partials=tuple(draw(st.lists(st.integers(1, 16), min_size=1, max_size=6))),
        start=draw(st.sampled_from(Start)),
        hold=draw(st.floats(0, 600)),
        swell=draw(st.booleans()),
        cold=draw(st.booleans()),
        beside_fingering=draw(text) if beside else None,
        beside_partial=draw(st.integers(1, 16)) if beside else None,
        interval=draw(st.sampled_from(["unison", "fifth", "octave", "twelfth"])) if beside else None,
    )


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.none() | asked(),
    st.none() | numbers,
    st.none() | st.sampled_from(Guess),
    st.none() | st.builds(Voice, positive, numbers, numbers),
    st.none() | numbers,
    st.sampled_from(Outcome),
)
def test_what_goes_in_comes_out_equal(
    tmp_path_factory: pytest.TempPathFactory,
    head: Head,
    tried: Trier,
    asked: Asked | None,
    difference: float | None,
    guess: Guess | None,
    sung: Voice | None,
    swell: float | None,
    outcome: Outcome,
) -> None:
    attempt = replace(
        tried(1, outcome), asked=asked, difference_cents=difference, guess=guess, sung=sung, swell_db=swell
    )
    with Log(tmp_path_factory.mktemp("log") / "log.sqlite") as log:
        assert log.session(log.begin(head, attempt)).attempts == (attempt,)


OLD = "INSERT INTO attempt (session, number, t, wanted, outcome) VALUES (1, 1, 6.5, 3, 'nothing')"
OLD_SESSION = (
    "INSERT INTO session (started, source, invented, horn, fingering, a4_hz, against, exercise, version) "
    "VALUES ('2026-05-04T18:03:12+02:00', 'mic', 0, 'alto', 'Bb3', 440, 'tempered', 'partials rising', '0.1')"
)


@pytest.fixture
def old(path: Path) -> Path:
    """A log of the form before this step, with one try in it."""
    Log(path, steps=shipped()[:2]).close()
    with sqlite3.connect(path) as connection:
        connection.execute(OLD_SESSION)
        connection.execute(OLD)
    connection.close()
    return path


def test_tries_of_an_older_log_stay_as_they_were(old: Path) -> None:
    with Reader(old) as log:
        assert log.session(1).attempts == (Attempt(1, 6.5, 3, Outcome.NOTHING, None),)


def test_every_column_of_an_older_log_goes_along_as_it_was(old: Path, tried: Trier) -> None:
    """Tries of all shapes, each number in them another one, so that no two columns can change places."""
    made = [
        tried(2, spread_cents=2.5, cents=-7.25, push_db=-33.25, unsteady_db=0.75, clipped=0.125),
        tried(3, Outcome.SPLIT, partial=None, hz=None, cents=None, spread_cents=None, speak_ms=None),
        tried(4, Outcome.OTHER, attack=None),
        tried(5, Outcome.NOTHING, tone=None),
    ]
    with sqlite3.connect(old) as connection:
        columns = [row[1] for row in connection.execute("PRAGMA table_info(attempt)")]
        values = ", ".join(f":{column}" for column in columns)
        for attempt in made:
            connection.execute(f"INSERT INTO attempt VALUES ({values})", {"session": 1, **attempt_row(attempt)})
        query = f"SELECT {', '.join(columns)} FROM attempt ORDER BY number"
        before = connection.execute(query).fetchall()
    connection.close()
    with Reader(old) as log:
        assert log.session(1).attempts == (Attempt(1, 6.5, 3, Outcome.NOTHING, None), *made)
        assert [tuple(row) for row in log.rows(query)] == before


def test_the_step_leaves_all_that_stands_beside_the_tables(old: Path) -> None:
    """Index and triggers of before: their names and their SQL."""
    query = "SELECT type, name, sql FROM sqlite_schema WHERE type IN ('index', 'trigger') ORDER BY name"
    with sqlite3.connect(old) as connection:
        before = connection.execute(query).fetchall()
    connection.close()
    assert len(before) == 5
    Log(old, steps=shipped()[:3]).close()
    with sqlite3.connect(old) as connection:
        assert connection.execute(query).fetchall() == before
    connection.close()


def test_what_was_kept_still_cannot_be_changed_after_the_step(old: Path) -> None:
    Log(old).close()
    with sqlite3.connect(old) as connection:
        for statement in ("DELETE FROM attempt", "UPDATE attempt SET wanted = 4"):
            with pytest.raises(sqlite3.IntegrityError, match="the log keeps its tries"):
                connection.execute(statement)
    connection.close()


def test_a_step_that_breaks_half_way_leaves_the_older_log_whole(old: Path) -> None:
    first, second, third = shipped()[:3]
    broken = third.replace("DROP TABLE attempt;", "DROP TABLE attempt;\nSELECT no_such_thing();")
    assert broken != third
    with pytest.raises(LogFault):
        Log(old, steps=(first, second, broken))
    with Reader(old) as log:
        assert len(log.session(1).attempts) == 1


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("task", "'sing'"),
        ("partials", "'[1,'"),
        ("start_wanted", "'slow'"),
        ("hold_s", "-0.5"),
        ("swell", "2"),
        ("cold", "2"),
        ("complete", "2"),
        ("beside_partial", "0"),
        ("beside_partial", "NULL"),
        ("interval", "'third'"),
        ("interval", "NULL"),
        ("guess", "'high'"),
        ("sung_hz", "0.0"),
        ("sung_cents", "NULL"),
        ("sung_spread_cents", "NULL"),
        ("outcome", "'missed'"),
    ],
)
def test_what_makes_no_sense_is_refused(path: Path, head: Head, tried: Trier, column: str, value: str) -> None:
    """The same row is taken when only its number is another."""
    asked = Asked("compare", "F5", Task.USUAL, (1,), beside_fingering="Bb3", beside_partial=3, interval="unison")
    full = replace(tried(1), asked=asked, sung=Voice(207.0, -14.0, 5.0), guess=Guess.FLAT)
    with Log(path) as log:
        log.begin(head, full)
    with sqlite3.connect(path) as connection:
        columns = [row[1] for row in connection.execute("PRAGMA table_info(attempt)")]
        copied = {name: name for name in columns} | {"number": "2"}
        connection.execute(f"INSERT INTO attempt SELECT {', '.join(copied.values())} FROM attempt")
        changed = copied | {"number": "3", column: value}
        with pytest.raises(sqlite3.IntegrityError, match="CHECK"):
            connection.execute(f"INSERT INTO attempt SELECT {', '.join(changed.values())} FROM attempt LIMIT 1")
    connection.close()


@pytest.mark.parametrize("half", ["asked_exercise", "asked_fingering", "task", "complete"])
def test_what_was_asked_is_kept_as_a_whole_or_not_at_all(path: Path, head: Head, tried: Trier, half: str) -> None:
    with Log(path) as log:
        log.begin(head, tried(1))
    with sqlite3.connect(path) as connection, pytest.raises(sqlite3.IntegrityError):
        connection.execute(
            f"INSERT INTO attempt (session, number, t, wanted, outcome, {half}) VALUES (1, 2, 9.0, 3, 'nothing', ?)",
            ("play" if half == "task" else 1 if half == "complete" else "Bb3",),
        )
    connection.close()
