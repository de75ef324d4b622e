"""Many logs into one studio: every try once, with its very values, however often and in whatever order."""

from __future__ import annotations

import fcntl
import random
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import duckdb
import pytest

from acceptance import studio_players
from airladder.faults import LogFault
from airladder.journal.log import Log
from airladder.journal.records import CARRIED, Moment
from airladder.studio.joining import join
from unit.studio.conftest import FIRST, Player, attempt
from unit.studio.reading import columns, parquet, sqlite


def test_every_try_of_every_log_is_there_with_its_very_values(player: Player, studio: Path) -> None:
    drives = [player(name, days) for name, days in (("one", 3), ("two", 2), ("three", 4))]

    merged = join(drives, studio)

    assert merged.faults == []
    assert len(set(merged.devices)) == 3
    own = ", ".join(columns(drives[0]))
    for drive, device in zip(drives, merged.devices, strict=True):
        wanted = sqlite(drive, f"SELECT {own} FROM attempt ORDER BY session, number")
        found = parquet(studio, f"SELECT {own} FROM {{tries}} WHERE device = '{device}' ORDER BY session, number")
        assert found == wanted
        assert len(found) > 5
    assert parquet(studio, "SELECT count(*), count(DISTINCT device) FROM {tries}") == [(45, 3)]


def test_the_tries_lie_by_device_and_month(player: Player, studio: Path) -> None:
    merged = join([player("one", days=6)], studio)  # from 27 April to 2 May
    folders = sorted(str(path.relative_to(studio / "tries").parent) for path in studio.glob("tries/**/*.parquet"))
    assert folders == [f"device={merged.devices[0]}/month={month}" for month in ("2026-04", "2026-05")]
    assert parquet(studio, "SELECT month, count(*) FROM {tries} GROUP BY month ORDER BY month") == [
        ("2026-04", 20),
        ("2026-05", 10),
    ]


def test_a_merge_once_more_changes_no_byte(player: Player, studio: Path) -> None:
    drives = [player("one"), player("two")]
    join(drives, studio)
    before = _files(studio)
    again = join([*drives, drives[0]], studio)
    assert again.faults == []
    assert _files(studio) == before
    assert len(before) == 2 * 5 + 2  # four tables and a page of each, the page of the group, the names


def test_a_newer_export_takes_the_place_of_the_older_one(player: Player, studio: Path) -> None:
    join([player("one", days=3)], studio)
    drive = player("one", days=3, begin=FIRST + timedelta(days=3))
    join([drive], studio)
    assert parquet(studio, "SELECT count(*), count(DISTINCT device) FROM {tries}") == [(30, 1)]
    assert parquet(studio, "SELECT place FROM {sessions} ORDER BY session") == [(n,) for n in range(1, 7)]


def test_a_month_in_which_nothing_is_new_is_not_written_again(player: Player, studio: Path) -> None:
    device = join([player("one", days=3)], studio).devices[0]
    april = studio / "tries" / f"device={device}" / "month=2026-04" / "tries.parquet"
    before = april.stat()
    join([player("one", days=2, begin=FIRST + timedelta(days=30))], studio)
    assert (april.stat().st_ino, april.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
    assert parquet(studio, "SELECT count(*) FROM {tries}") == [(25,)]


def test_an_older_export_takes_nothing_away(
    player: Player, studio: Path, copied: Callable[[Path, str], Path]
) -> None:
    older = copied(player("one", days=2), "old")
    join([player("one", days=1, begin=FIRST + timedelta(days=2))], studio)
    merged = join([older], studio)
    assert merged.exit_code == 0
    assert "is older than what" in merged.said[0]
    assert parquet(studio, "SELECT count(*) FROM {tries}") == [(15,)]


def test_two_logs_that_begin_alike_and_go_apart_are_not_mixed(
    player: Player, studio: Path, copied: Callable[[Path, str], Path]
) -> None:
    copied(player("one", days=2), "twin")
    drives = [player(name, days=1, begin=FIRST + timedelta(days=2)) for name in ("one", "twin")]
    merged = join(drives, studio)
    (fault,) = merged.faults
    assert f"The log in {drives[1]} begins like one that was merged before and then goes another way" in str(fault)
    assert f"remove the folders device={merged.devices[0]} from {studio}." in str(fault)
    assert parquet(studio, "SELECT count(*) FROM {tries}") == [(15,)]


def test_a_log_without_its_first_sessions_is_not_counted_beside_the_whole_one(
    player: Player, studio: Path, tmp_path: Path, copied: Callable[[Path, str], Path]
) -> None:
    whole = player("one", days=3)
    saved = copied(whole, "saved")
    for statement in ("DROP TRIGGER attempt_stays_on_delete", "DELETE FROM attempt WHERE session = 1"):
        _change(saved, statement)
    merged = join([whole, saved], studio)
    assert merged.exit_code == 4
    assert f"shares sessions with {merged.devices[0]}" in str(merged.faults[0])
    assert parquet(studio, "SELECT count(*) FROM {tries}") == [(15,)]


def test_clocks_a_year_off_keep_devices_apart_and_each_in_its_order(player: Player, studio: Path) -> None:
    year = timedelta(days=365)
    ahead, behind = player("ahead", begin=FIRST + year), player("behind", begin=FIRST - year)
    player("ahead", days=2, begin=FIRST)  # the clock was set right: the label goes back, the order does not
    merged = join([ahead, behind], studio)
    assert parquet(studio, "SELECT count(*), count(DISTINCT (device, session, number)) FROM {tries}") == [(40, 40)]
    for drive, device in zip((ahead, behind), merged.devices, strict=True):
        wanted = sqlite(drive, "SELECT id FROM session ORDER BY boot, boottime_s, id")
        query = f"SELECT session FROM {{sessions}} WHERE device = '{device}' ORDER BY place"
        assert parquet(studio, query) == wanted
        dates = parquet(studio, query.replace("session FROM", "date FROM"))
        assert dates == sorted(dates)


def test_a_date_that_is_told_later_moves_the_tries_to_their_month(player: Player, studio: Path) -> None:
    drive = player("one", days=0)
    moment = Moment("switched on", 100.0, CARRIED)
    player("one", days=1, begin=FIRST - timedelta(days=800))
    with Log(drive / "log.sqlite") as log:
        log.begin(replace(next(log.sessions()).head, moment=moment), attempt(1, random.Random(5)))
    join([drive], studio)
    assert len(parquet(studio, "SELECT DISTINCT month FROM {tries}")) == 1
    with Log(drive / "log.sqlite") as log:
        log.tell_date(Moment("switched on", 200.0, CARRIED), FIRST, "buttons")
    join([drive], studio)
    assert parquet(studio, "SELECT month, count(*) FROM {tries} GROUP BY month ORDER BY month") == [
        ("2024-02", 5),
        ("2026-04", 1),
    ]


def test_nothing_says_whose_it_is_but_the_name_that_somebody_gave(player: Player, studio: Path) -> None:
    merged = join([player("room 3"), player("AIRLADDER")], studio)
    assert (studio / "names.json").read_text("utf-8") == f'{{\n "{merged.devices[0]}": "room 3"\n}}\n'
    for path in studio.rglob("*.parquet"):
        held = path.read_bytes()
        assert b"nobody.wav" not in held  # where the sound came from
        assert b"room 3-1" not in held  # the key of a switch-on


def test_a_name_that_was_written_by_hand_stays(player: Player, studio: Path) -> None:
    drive = player("room 3")
    device = join([drive], studio).devices[0]
    (studio / "names.json").write_text(f'{{"{device}": "the loft"}}')
    join([drive], studio)
    assert "the loft" in (studio / "group.html").read_text("utf-8")


def test_what_the_demo_invented_is_marked(player: Player, studio: Path) -> None:
    player("one", days=1, invented=True)
    join([player("one", days=2, begin=FIRST + timedelta(days=1))], studio)
    assert parquet(studio, "SELECT invented, count(*) FROM {tries} GROUP BY invented ORDER BY invented") == [
        (False, 10),
        (True, 5),
    ]


def test_the_drive_is_only_read(player: Player, studio: Path) -> None:
    drive = player("one")
    before = _files(drive)
    join([drive], studio)
    assert _files(drive) == before


def test_two_merges_at_once_do_not_meet(player: Player, studio: Path) -> None:
    studio.mkdir()
    with (studio / ".lock").open("w") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        with pytest.raises(LogFault, match="Another program merges into"):
            join([player("one")], studio)


def test_the_players_of_the_large_studio_have_the_columns_of_merged_ones(player: Player, studio: Path) -> None:
    """So that what is measured there (`tests/acceptance/studio_scale.py`) is what a merge makes."""
    join([player("one")], studio)
    with duckdb.connect() as connection:
        studio_players.make(connection, studio, 1, days=2, tries=3)
    for table in ("tries", "sessions", "rungs", "plateaus"):
        own, other = (
            _schema(next(studio.glob(f"{table}/device={name}/**/*.parquet")))
            for name in (studio_players.device(1), "box-[!0]*")
        )
        assert own == other


def _schema(path: Path) -> list[tuple[str, str]]:
    with duckdb.connect() as connection:
        found = connection.execute(f"DESCRIBE SELECT * FROM read_parquet('{path}', hive_partitioning = false)")
        return [(row[0], row[1]) for row in found.fetchall()]


def _change(drive: Path, statement: str) -> None:
    with closing(sqlite3.connect(drive / "log.sqlite", isolation_level=None)) as connection:
        connection.execute(statement)


def _files(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != ".lock"
    }
