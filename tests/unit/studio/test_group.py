"""The page of a group, and the queries behind it, held against counting by hand."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from pathlib import Path
from statistics import median

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.studio.engines import LEAST, duckdb, text_of
from airladder.studio.joining import join
from airladder.studio.middles import middles
from unit.studio.conftest import Player, players
from unit.studio.reading import sqlite

NAMES = ("totals", "practice", "ladder", "cents", "speak", "starts", "plateaus")


@pytest.fixture(scope="module")
def merged(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[Path], Path]:
    """The drives of five players, and the studio into which they were merged."""
    folder = tmp_path_factory.mktemp("five")
    play = players(folder / "drives")
    drives = [play(f"player {number}", days=4 + number, tries=10) for number in range(LEAST)]
    assert join(drives, folder / "studio").faults == []
    return drives, folder / "studio"


@pytest.fixture
def five(merged: tuple[list[Path], Path]) -> list[Path]:
    """The drives."""
    return merged[0]


@pytest.fixture
def group(merged: tuple[list[Path], Path]) -> Path:
    """Their studio."""
    return merged[1]


def test_the_totals_are_those_of_the_logs(five: list[Path], group: Path) -> None:
    with duckdb(group) as ask:
        totals = ask("totals")[0]
    tries = sum(sqlite(drive, "SELECT count(*) FROM attempt")[0][0] for drive in five)
    assert (totals["players"], totals["sessions"], totals["tries"]) == (5, 4 + 5 + 6 + 7 + 8, tries)


def test_the_median_of_the_cents_weighs_every_player_the_same(five: list[Path], group: Path) -> None:
    weights: dict[int, float] = defaultdict(float)
    for drive in five:
        query = "SELECT cents FROM attempt WHERE wanted = 2 AND outcome IN ('spoke', 'cracked')"
        cents = [row[0] for row in sqlite(drive, query)]
        for cent, tones in Counter(int(np.floor(value + 0.5)) for value in cents).items():
            weights[cent] += tones / len(cents)
    with duckdb(group) as ask:
        rows = [row for row in ask("cents") if row["wanted"] == 2]
    assert {row["stage"] for row in rows} == {"newest"}  # of few sessions all are the newest
    assert {row["value"]: row["weight"] for row in rows} == pytest.approx(weights)
    found = middles(rows, ("against", "stage", "wanted"))["tempered", "newest", 2]
    so_far, wanted = 0.0, None
    for cent in sorted(weights):
        so_far += weights[cent]
        if wanted is None and so_far >= 2.5:
            wanted = cent
    assert found.middle == wanted
    assert found.players == 5


def test_the_shares_of_the_starts_are_those_of_the_logs(five: list[Path], group: Path) -> None:
    shares = []
    for drive in five:
        query = "SELECT outcome FROM attempt WHERE wanted = 3 AND start_wanted = 'tongued'"
        outcomes = [row[0] for row in sqlite(drive, query)]
        if len(outcomes) >= 10:
            shares.append(outcomes.count("spoke") / len(outcomes))
    with duckdb(group) as ask:
        rows = ask("starts")
    assert all(row["players"] >= LEAST for row in rows)
    assert [row for row in rows if row["wanted"] == 3] == []  # too few tries of each, so too few players
    assert len(shares) < LEAST
    tongued = next(row for row in rows if row["wanted"] == 2 and row["start_wanted"] == "tongued")
    assert (tongued["players"], tongued["middle"]) == (5, 1.0)


def test_the_time_to_speak_is_that_of_the_logs(five: list[Path], group: Path) -> None:
    times = [
        value
        for drive in five
        for (value,) in sqlite(drive, "SELECT speak_ms FROM attempt WHERE wanted = 2 AND attack_kind = 'air'")
    ]
    with duckdb(group) as ask:
        found = middles(ask("speak"), ("attack_kind", "wanted"))["air", 2]
    assert found.middle == pytest.approx(median(times), abs=40.0)  # each player weighs the same there, each try here
    assert 50.0 <= found.low < found.middle < found.high <= 400.0


def test_the_ladder_counts_who_knows_a_partial(group: Path) -> None:
    with duckdb(group) as ask:
        rows = {row["partial"]: (row["known"], row["players"]) for row in ask("ladder")}
    assert rows[2] == (5, 5)
    assert rows[3][1] == 5
    assert rows[3][0] < 5  # spoke in one of two tries


def test_of_fewer_than_five_players_no_query_but_the_totals_tells(player: Player, studio: Path) -> None:
    join([player(f"player {number}", days=6, tries=10) for number in range(LEAST - 1)], studio)
    with duckdb(studio) as ask:
        assert {name: ask(name) for name in NAMES[1:]} == {name: [] for name in NAMES[1:]}
    page = (studio / "group.html").read_text("utf-8")
    assert "fewer than 5" in page
    assert page.count("<section") == 1  # the way to the players' own pages
    assert "<svg" not in page


def test_the_page_needs_nothing_else_and_ranks_nobody(group: Path) -> None:
    page = (group / "group.html").read_text("utf-8")
    assert not re.search(r"<script|https?://|@import|url\(|<link|<img", page)
    heads = re.findall(r"<h2[^>]*>([^<]*)</h2>", page)
    assert heads == [
        "How often they practise",
        "The ladder of the group",
        "Cents by partial",
        "Time to speak",
        "Tongued against air",
        "Plateaus",
        "The players' own pages",
    ]
    before_names = page.partition('id="players"')[0]
    assert "player 1" not in before_names
    assert not re.search(r"box-[0-9a-f]{16}", before_names)
    for link in re.findall(r'href="([^"]*)"', page):
        assert link.startswith("#") or (group / link).is_file()


def test_a_name_cannot_break_the_page(player: Player, studio: Path) -> None:
    join([player("<b>bold & brave")], studio)
    page = (studio / "group.html").read_text("utf-8")
    assert "&lt;b&gt;bold &amp; brave" in page
    assert "<b>" not in page


def test_what_the_demo_invented_is_no_practice_of_the_group(player: Player, studio: Path) -> None:
    join([player(f"player {number}", days=6, tries=10, invented=True) for number in range(LEAST)], studio)
    with duckdb(studio) as ask:
        assert ask("totals")[0]["players"] == 0
        assert {name: ask(name) for name in NAMES[1:]} == {name: [] for name in NAMES[1:]}
    assert "Nobody has practised yet" in (studio / "group.html").read_text("utf-8")


@pytest.mark.parametrize("name", NAMES)
def test_every_query_is_whole(name: str) -> None:
    assert "$" not in text_of(name)


@given(st.lists(st.tuples(st.integers(-100, 100), st.integers(1, 9)), min_size=1, max_size=30))
def test_a_middle_is_that_of_the_values_one_by_one(counted: list[tuple[int, int]]) -> None:
    """Against numpy's quantile of the values written out (method `inverted_cdf`)."""
    rows = [{"value": value, "weight": float(weight), "players": 7} for value, weight in sorted(counted)]
    values = [value for value, weight in counted for _ in range(weight)]
    wanted = np.quantile(values, [0.25, 0.5, 0.75], method="inverted_cdf")
    assert list(middles(rows, ())[()][:3]) == pytest.approx(wanted)
