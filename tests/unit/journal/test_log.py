"""What goes into the log comes out equal, stays, and can be read meanwhile."""

from __future__ import annotations

import signal
import sqlite3
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.faults import LogFault
from airladder.hearing.events import Attack, Tone
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head, Session
from airladder.journal.troubles import Refused
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome

Trier = Callable[..., Attempt]

numbers = st.floats(allow_nan=False, allow_infinity=False)
shares = st.floats(0, 1)
partials = st.integers(1, 40)
attacks = st.builds(
    Attack,
    t=numbers,
    known_at=numbers,
    kind=st.sampled_from(("tongued", "air", "unsure")),
    rise_ms=numbers,
    confidence=shares,
)
tones = st.builds(
    Tone,
    start=numbers,
    end=numbers,
    partial=st.none() | partials,
    hz=st.none() | st.floats(1e-300, 1e300),
    cents=st.none() | numbers,
    spread_cents=st.none() | numbers,
    attack=st.none() | attacks,
    speak_ms=st.none() | numbers,
    path=st.lists(st.tuples(st.none() | partials, numbers), max_size=5).map(tuple),
    split=shares,
    level_dbfs=numbers | st.just(float("-inf")),
    push_db=st.none() | numbers,
    unsteady_db=st.none() | numbers,
    clipped=st.none() | shares,
)
attempts = st.builds(
    Attempt,
    number=st.just(1),
    t=numbers,
    wanted=partials,
    outcome=st.sampled_from(Outcome),
    tone=st.none() | tones,
)
moments = st.datetimes(
    min_value=datetime(1970, 1, 1),  # a board without a clock begins here
    timezones=st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes))),
)
words = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
heads = st.builds(
    Head,
    started=moments,
    source=words,
    invented=st.booleans(),
    horn=words,
    fingering=words,
    a4_hz=st.floats(430, 450),
    against=st.sampled_from(("tempered", "pure", "measured")),
    exercise=words,
    version=words,
)


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Log]:
    with Log(tmp_path_factory.mktemp("log") / "log.sqlite") as log:
        yield log


@given(heads, attempts)
def test_every_session_and_try_comes_back_as_it_went_in(log: Log, head: Head, attempt: Attempt) -> None:
    session_id = log.begin(head, attempt)
    log.keep(session_id, replace(attempt, number=2))
    assert log.session(session_id) == Session(session_id, head, (attempt, replace(attempt, number=2)))


def test_what_was_kept_is_there_when_the_log_is_opened_again(path: Path, head: Head, tried: Trier) -> None:
    made = [tried(1), tried(2, tone=None, outcome=Outcome.NOTHING), tried(3, attack=None, speak_ms=None)]
    with Log(path) as log:
        session_id = log.begin(head, made[0])
        for attempt in made[1:]:
            log.keep(session_id, attempt)
    with Reader(path) as log:
        assert log.session(session_id).attempts == tuple(made)
        assert list(log.tries()) == [(session_id, head, attempt) for attempt in made]


def test_sessions_are_listed_in_the_order_of_their_making_whatever_their_dates(
    path: Path, head: Head, tried: Trier
) -> None:
    earlier = replace(head, started=head.started - timedelta(days=20000))
    with Log(path) as log:
        first, second = log.begin(head, tried(1)), log.begin(earlier, tried(1, Outcome.SPOKE))
        log.keep(second, tried(2, Outcome.OTHER))
        summaries = list(log.sessions())
    assert [(summary.id, summary.head) for summary in summaries] == [(first, head), (second, earlier)]
    assert [(summary.tries, summary.reached) for summary in summaries] == [(1, 1), (2, 1)]
    assert summaries[1].outcomes == dict.fromkeys(Outcome, 0) | {Outcome.SPOKE: 1, Outcome.OTHER: 1}


def test_the_same_try_kept_twice_is_there_once(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        session_id = log.begin(head, tried(1))
        log.keep(session_id, tried(1))
        assert log.session(session_id).attempts == (tried(1),)


def test_another_try_under_a_number_that_is_taken_is_refused(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        session_id = log.begin(head, tried(1))
        with pytest.raises(Refused, match=r"Try 1 of session 1 is in the log .* already, with other values"):
            log.keep(session_id, tried(1, wanted=4))
        assert log.session(session_id).attempts == (tried(1),)


@pytest.mark.parametrize(
    "changes",
    [
        {"number": 0},
        {"wanted": 0},
        {"split": 1.5},
        {"clipped": -0.1},
        {"hz": -1.0},
        {"level_dbfs": float("nan")},
        {"path": ((1, float("inf")),)},
    ],
)
def test_a_try_that_breaks_a_rule_is_refused_and_leaves_no_session(
    path: Path, head: Head, tried: Trier, changes: dict[str, object]
) -> None:
    with Log(path) as log:
        with pytest.raises(Refused, match="does not fit the log"):
            log.begin(head, tried(**changes))
        other = sqlite3.connect(path)
        assert other.execute("SELECT count(*) FROM session").fetchone() == (0,)
        other.close()
        assert log.begin(head, tried(1)) > 0


def test_a_try_of_a_session_that_is_not_there_is_refused(path: Path, tried: Trier) -> None:
    with Log(path) as log, pytest.raises(Refused, match="FOREIGN KEY"):
        log.keep(7, tried(1))


def test_numbers_of_the_number_library_are_kept_as_plain_ones(path: Path, head: Head, tried: Trier) -> None:
    strange = tried(1, partial=np.int64(3), cents=np.float32(2.5), path=((np.int64(3), np.float32(1.5)),))
    with Log(path) as log:
        session_id = log.begin(head, strange)
        assert log.session(session_id).attempts == (tried(1, partial=3, cents=2.5, path=((3, 1.5),)),)


def test_a_file_name_that_is_no_text_does_not_stop_the_log(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        session_id = log.begin(replace(head, source="recording \udcff.wav"), tried(1))
        assert log.session(session_id).head.source == r"recording \udcff.wav"


def test_asking_for_a_session_that_is_not_there_says_how_to_find_one(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log:
        log.begin(head, tried(1))
        with pytest.raises(LogFault, match=r"no session 9 in the log .*`airladder sessions` lists them"):
            log.session(9)


@pytest.mark.parametrize("change", ["DELETE FROM attempt", "UPDATE attempt SET cents = 0", "DELETE FROM session"])
def test_even_another_program_cannot_change_what_was_kept(path: Path, head: Head, tried: Trier, change: str) -> None:
    with Log(path) as log:
        log.begin(head, tried(1))
    other = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError, match="the log keeps its"):
        other.execute(change)
    other.close()


def test_a_reader_sees_every_kept_try_while_the_log_is_being_written(path: Path, head: Head, tried: Trier) -> None:
    with Log(path) as log, Reader(path) as reader:
        session_id = log.begin(head, tried(1))
        under_way = sqlite3.connect(path, isolation_level=None)
        under_way.execute("BEGIN IMMEDIATE")
        assert reader.session(session_id).attempts == (tried(1),)
        under_way.execute("ROLLBACK")
        under_way.close()
        log.keep(session_id, tried(2))
        assert reader.session(session_id).attempts == (tried(1), tried(2))


def test_a_commit_is_flushed_to_the_disk_before_it_returns(path: Path) -> None:
    """SQLite documentation, PRAGMA synchronous: 2 is FULL; only it is durable in WAL mode."""

    class Shown(Log):
        def setting(self, name: str) -> object:
            return self._connection.execute(f"PRAGMA {name}").fetchone()[0]

    with Shown(path) as log:
        assert [log.setting(name) for name in ("journal_mode", "synchronous", "foreign_keys")] == ["wal", 2, 1]


PLAYER = """
import os, signal, sys
from pathlib import Path
sys.path.insert(0, sys.argv[3])
from conftest import HEAD, TONE
from airladder.journal.keeper import Keeper
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome

last = int(sys.argv[2])

def told(number):
    print(number, flush=True)
    if number == last:
        os.kill(os.getpid(), signal.SIGKILL)

keeper = Keeper(Path(sys.argv[1]), HEAD, told, print)
for number in range(1, 1_000_000):
    keeper.keep(Attempt(number, 1.0 * number, 3, Outcome.CRACKED, TONE))
"""


def kept_in(path: Path) -> list[int]:
    with Log(path) as log:
        (summary,) = log.sessions()
        return [attempt.number for attempt in log.session(summary.id).attempts]


@pytest.mark.parametrize("last", [1, 2, 7])
def test_a_program_killed_the_moment_a_try_is_told_kept_has_kept_it(
    path: Path, other_program: Callable[..., subprocess.Popen[str]], last: int
) -> None:
    with other_program(PLAYER, path, last, Path(__file__).parent) as player:
        assert player.stdout is not None
        said = [int(line) for line in player.stdout]
    assert player.returncode == -signal.SIGKILL
    assert said == kept_in(path) == list(range(1, last + 1))


@pytest.mark.parametrize("lines", [1, 3, 10, 40, 41])
def test_a_program_killed_at_any_moment_has_kept_every_try_it_told_kept(
    path: Path, other_program: Callable[..., subprocess.Popen[str]], lines: int
) -> None:
    with other_program(PLAYER, path, 0, Path(__file__).parent) as player:
        assert player.stdout is not None
        said = [int(player.stdout.readline()) for _ in range(lines)]
        player.kill()
        said += [int(line) for line in player.stdout]
    kept = kept_in(path)
    assert kept == list(range(1, len(kept) + 1))
    assert set(said) <= set(kept)
    assert len(kept) - len(said) <= 1
