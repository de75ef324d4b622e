"""The folder that goes out: what is in it, and what is made anew after a day, after nothing, after forgetting."""

from __future__ import annotations

import csv
import os
import shutil
import sqlite3
from datetime import timedelta
from pathlib import Path

import mido
import pytest

import tenyears
from airladder.drive import outgoing
from airladder.drive.outgoing import Staged, stage
from airladder.faults import LogFault
from airladder.journal.log import Log, Reader

ALL = 3 + 2 * 13 + 20
"""README, report and log; thirteen months twice; twenty sessions."""


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log of 430 invented days of 5 tries, staged once."""
    place = tmp_path_factory.mktemp("first")
    tenyears.make(place / "log.sqlite", days=430, tries=5)
    assert len(staged(place / "log.sqlite", place / "staged").made) == ALL
    return place


@pytest.fixture
def log(first: Path, tmp_path: Path) -> Path:
    """Copies of both, times and all, to go on with."""
    shutil.copytree(first, tmp_path, dirs_exist_ok=True)
    return tmp_path / "log.sqlite"


def staged(log: Path, folder: Path, *, version: str = "1", clips: Path | None = None) -> Staged:
    """Stage it with a report of one line."""
    with Reader(log) as reader:
        return stage(reader, folder, lambda _, path: path.write_text("<p>report"), version=version, clips=clips)


def names(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_all_that_was_promised_lies_in_it_and_others_read_it(log: Path, tmp_path: Path) -> None:
    folder = tmp_path / "staged"
    found = names(folder)
    assert {"README.txt", "report.html", "log.sqlite"} <= found
    months = sorted(name for name in found if name.startswith("tries/") and name.endswith(".csv"))
    assert len(months) == 13
    assert (months[0], months[-1]) == ("tries/2016-07.csv", "tries/2017-07.csv")
    assert {name.replace(".csv", ".jsonl") for name in months} <= found
    midis = sorted(name for name in found if name.startswith("sessions/"))
    assert midis == [f"sessions/{number:05}.mid" for number in range(411, 431)]
    assert len(found) == ALL
    with (folder / months[0]).open(newline="") as file:
        assert len(list(csv.DictReader(file))) == 31 * 5
    assert mido.MidiFile(folder / midis[-1]).length > 10
    copied = sqlite3.connect(folder / "log.sqlite")
    assert copied.execute("SELECT count(*) FROM attempt").fetchone() == (430 * 5,)
    copied.close()


def test_the_time_is_that_of_the_newest_try(log: Path, tmp_path: Path) -> None:
    when = staged(log, tmp_path / "staged").when
    assert when == tenyears.FIRST + timedelta(days=429, seconds=4 * 4)


def test_when_nothing_was_added_nothing_is_made(log: Path, tmp_path: Path) -> None:
    again = staged(log, tmp_path / "staged")
    assert not again
    assert (again.made, again.taken_away) == ((), ())


def test_a_day_more_makes_its_month_and_its_session_and_no_other(log: Path, tmp_path: Path) -> None:
    tenyears.extend(log, 430, tries=5)
    after = staged(log, tmp_path / "staged")
    assert set(after.made) == {
        "report.html",
        "log.sqlite",
        "tries/2017-07.csv",
        "tries/2017-07.jsonl",
        "sessions/00431.mid",
    }
    assert after.taken_away == ("sessions/00411.mid",)


def test_a_new_month_sends_the_oldest_away(log: Path, tmp_path: Path) -> None:
    for day in range(430, 460):
        tenyears.extend(log, day, tries=5)
    after = staged(log, tmp_path / "staged")
    assert "tries/2017-08.csv" in after.made
    assert {"tries/2016-07.csv", "tries/2016-07.jsonl"} <= set(after.taken_away)


def test_tries_that_are_forgotten_leave_the_folder(log: Path, tmp_path: Path) -> None:
    """However they are forgotten: here by hand, past the rules of the log."""
    database = sqlite3.connect(log)
    for (trigger,) in database.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        database.execute(f"DROP TRIGGER {trigger}")
    database.execute("DELETE FROM attempt WHERE session = 420 AND number = 5")
    database.execute("UPDATE session SET source = 'microphone' WHERE id = 100")
    database.commit()
    database.close()
    after = staged(log, tmp_path / "staged")
    session_100 = f"tries/{tenyears.FIRST + timedelta(days=99):%Y-%m}.csv"
    session_420 = f"tries/{tenyears.FIRST + timedelta(days=419):%Y-%m}.csv"
    assert {"log.sqlite", "report.html", session_100, session_420, "sessions/00420.mid"} <= set(after.made)
    assert len(after.made) < 10


@pytest.mark.parametrize("harm", ["gone", "", "[]", "{", '{"README.txt": 1}'])
def test_a_list_of_keys_that_is_lost_or_broken_makes_all_anew(log: Path, tmp_path: Path, harm: str) -> None:
    keys = tmp_path / ".staged.keys"
    keys.unlink() if harm == "gone" else keys.write_text(harm)
    assert len(staged(log, tmp_path / "staged").made) == ALL


def test_a_file_that_is_missing_and_another_version_make_anew(log: Path, tmp_path: Path) -> None:
    (tmp_path / "staged" / "tries" / "2017-01.csv").unlink()
    (tmp_path / "staged" / "stranger.txt").write_text("who put me here?")
    after = staged(log, tmp_path / "staged")
    assert (after.made, after.taken_away) == (("tries/2017-01.csv",), ("stranger.txt",))
    assert len(staged(log, tmp_path / "staged", version="2").made) == ALL


def test_a_report_that_fails_leaves_the_rest_to_be_made_the_next_time(log: Path, tmp_path: Path) -> None:
    def failing(_: Reader, path: Path) -> None:
        raise LogFault(f"There is no room to write {path}.")

    with Reader(log) as reader, pytest.raises(LogFault, match="There is no room to write"):
        stage(reader, tmp_path / "staged", failing, version="2")
    assert len(staged(log, tmp_path / "staged", version="2").made) == ALL


def test_the_newest_clips_up_to_their_bound_are_there_and_cost_nothing(
    log: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clips = tmp_path / "clips"
    clips.mkdir()
    for number in range(4):
        (clips / f"{number}.flac").write_bytes(bytes(100))
        os.utime(clips / f"{number}.flac", (number, number))
    (clips / "notes.txt").write_text("no clip")
    monkeypatch.setattr(outgoing, "CLIPS_BYTES", 350)
    staged(log, tmp_path / "staged", clips=clips)
    folder = tmp_path / "staged"
    assert {name for name in names(folder) if name.startswith("clips/")} == {f"clips/{n}.flac" for n in (1, 2, 3)}
    assert (folder / "clips" / "1.flac").samefile(clips / "1.flac")
    (clips / "3.flac").unlink()
    after = staged(log, folder, clips=clips)
    assert after.taken_away == ("clips/3.flac",)
    assert after.made == ("clips/0.flac",)
    assert staged(log, folder).taken_away == ("clips/0.flac", "clips/1.flac", "clips/2.flac")


def test_an_empty_log_goes_out_too(tmp_path: Path) -> None:
    Log(tmp_path / "log.sqlite").close()
    after = staged(tmp_path / "log.sqlite", tmp_path / "staged")
    assert set(after.made) == {"README.txt", "report.html", "log.sqlite"}
    assert after.when.year == 1980
