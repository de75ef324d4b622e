"""A digest that cannot be used: it is made anew, or done without, and no figure suffers."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airladder.journal.log import Log, Reader
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt
from airladder.report.digest import digested
from airladder.report.figures import figures
from airladder.report.listed import listed

Trier = Callable[..., Attempt]
NAME = "digest.sqlite"


@pytest.fixture
def kept(path: Path, head: Head, tried: Trier) -> tuple[Path, Path, str]:
    """A log of some days, its digest, and its figures as JSON."""
    cache = path.with_name(NAME)
    with Log(path) as log:
        for day in range(12):
            log.begin(replace(head, started=head.started + timedelta(days=9 * day)), tried(cents=float(day)))
    with Reader(path) as log:
        return path, cache, json.dumps(figures(log, cache))


def told(path: Path, cache: Path) -> str:
    """The figures with the digest, as JSON."""
    with Reader(path) as log:
        return json.dumps(figures(log, cache))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(where=st.floats(0, 1, exclude_max=True), what=st.binary(min_size=1, max_size=2000))
def test_whatever_is_written_over_it_the_figures_stay(
    kept: tuple[Path, Path, str], where: float, what: bytes
) -> None:
    path, cache, right = kept
    whole = cache.read_bytes()
    at = int(where * len(whole))
    cache.write_bytes(whole[:at] + what + whole[at + len(what) :])
    assert told(path, cache) == right
    assert told(path, cache) == right


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5, 0.9])
def test_a_torn_digest_is_made_anew(kept: tuple[Path, Path, str], share: float) -> None:
    path, cache, right = kept
    whole = cache.read_bytes()
    cache.write_bytes(whole[: int(share * len(whole))])
    assert told(path, cache) == right
    assert len(cache.read_bytes()) == len(whole)


def test_a_digest_of_another_form_is_made_anew(kept: tuple[Path, Path, str]) -> None:
    path, cache, right = kept
    connection = sqlite3.connect(cache)
    connection.execute("PRAGMA user_version = 99")
    connection.execute("DELETE FROM period")
    connection.commit()
    connection.close()
    assert told(path, cache) == right
    connection = sqlite3.connect(cache)
    assert connection.execute("PRAGMA user_version").fetchone()[0] != 99
    connection.close()


def test_a_digest_that_another_program_holds_is_done_without(
    kept: tuple[Path, Path, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path, cache, right = kept
    monkeypatch.setattr("airladder.report.digest._WAIT_S", 0.01)
    other = sqlite3.connect(cache, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    before = cache.read_bytes()
    assert told(path, cache) == right
    assert cache.read_bytes() == before
    other.close()


def test_where_no_digest_can_be_kept_the_figures_are_made_all_the_same(kept: tuple[Path, Path, str]) -> None:
    path, cache, right = kept
    assert told(path, cache.parent / "no such folder" / NAME) == right
    cache.unlink()
    cache.mkdir()
    assert told(path, cache) == right


def test_the_log_itself_is_never_taken_for_its_digest(kept: tuple[Path, Path, str]) -> None:
    path, _, right = kept
    with Reader(path) as log, pytest.raises(ValueError, match="the log itself"):
        digested(log, listed(log), path)
    assert told(path, path.with_name("other")) == right
