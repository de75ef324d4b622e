"""The commands about what was kept, from the words of the command line to the files."""

from __future__ import annotations

import csv
import json
import sqlite3
import subprocess
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import mido
import pytest

from airladder.cli import main
from airladder.journal.log import Log
from airladder.journal.records import Head
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome

Said = pytest.CaptureFixture[str]
START = datetime(2026, 4, 30, 18, 3).astimezone()


@pytest.fixture
def log(home: Path) -> Path:
    """Three days of practice, the first of them in April."""
    path = home / "log.sqlite"
    with Log(path) as writer:
        for day in range(3):
            head = Head(
                START + timedelta(days=day), "microphone m", False, "alto", "Bb3", 440.0, "tempered", f"x{day}", "0"
            )
            writer.begin(head, Attempt(1, 1.0, 3, Outcome.NOTHING, None))
    return path


@pytest.fixture
def said(log: Path, capsys: Said) -> Callable[..., tuple[int, str, str]]:
    """Runs a command on that log: its exit code, and what it said."""

    def run(*words: str) -> tuple[int, str, str]:
        code = main([*words, "--log", str(log)])
        out, err = capsys.readouterr()
        return code, out, err

    return run


Run = Callable[..., tuple[int, str, str]]


def test_a_month_is_exported_alone(said: Run, home: Path) -> None:
    assert said("export", str(home / "may.csv"), "--month", "2026-05")[0] == 0
    with (home / "may.csv").open(newline="") as file:
        assert [row["exercise"] for row in csv.DictReader(file)] == ["x1", "x2"]
    assert said("export", str(home / "all.jsonl"))[0] == 0
    assert len([json.loads(line) for line in (home / "all.jsonl").read_text().splitlines()]) == 3


def test_the_log_itself_and_an_older_form_of_it_are_exported(said: Run, home: Path) -> None:
    assert said("export", str(home / "copy.sqlite"))[0] == 0
    code, _, err = said("export", str(home / "old.sqlite"), "--form", "3")
    assert (code, err) == (0, "airladder: Nothing was left out.\n")
    for name, form in (("copy", "4"), ("old", "3")):
        shell = subprocess.run(
            ["sqlite3", home / f"{name}.sqlite", "PRAGMA user_version; SELECT count(*) FROM session;"],
            capture_output=True,
            text=True,
            check=True,
        )
        assert shell.stdout.split() == [form, "3"]


def test_a_session_is_exported_as_midi(said: Run, home: Path) -> None:
    assert said("export", str(home / "one.mid"), "--session", "2")[0] == 0
    assert mido.MidiFile(home / "one.mid").type == 1


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["export", "a.cvs"], "The log is not exported as 'cvs'; did you mean csv?"),
        (["export", "a.mid"], "One session becomes one MIDI file: name both, like: export --session 12 twelve.mid."),
        (["export", "a.csv", "--session", "1"], "One session becomes one MIDI file: name both"),
        (["export", "a.sqlite", "--month", "2026-05"], "A month is exported as csv or jsonl; leave --month out"),
        (
            ["export", "a.csv", "--month", "2026-06"],
            "Nothing was practised in the month '2026-06'; did you mean 2026-0",
        ),
        (["export", "a.csv", "--form", "3"], "An older form is one of the log itself; name a file that ends with"),
        (["export", "a.sqlite", "--form", "9"], "There is no form 9 of the log; this version of Airladder knows"),
        (["forget", "--before", "2020-01-01"], "No session is that old, so nothing was removed"),
        (["merge", "x", "--out", "y", "--engine", "duckbd"], "'duckbd' is no engine; did you mean duckdb?"),
    ],
)
def test_a_wrong_word_is_one_sentence(said: Run, words: list[str], sentence: str) -> None:
    if words[0] == "merge":
        assert main(words) == 2
        return
    code, out, err = said(*words)
    assert (code, out) == (2, "")
    assert err.startswith(f"airladder: {sentence}")
    assert err.count("\n") == 1


def test_sessions_are_forgotten_only_after_a_yes(
    said: Run, log: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert said("report")[0] == 0
    for answer in ("no", ""):
        monkeypatch.setattr("builtins.input", lambda question, answer=answer: answer)
        assert said("forget", "--all") == (0, "", "airladder: Nothing was removed.\n")
    assert log.with_suffix(".html").exists()
    code, out, _ = said("forget", "--session", "2", "--yes")
    assert (code, out) == (0, "removed: 1 of the sessions, 1 tries; what was made of them is made anew.\n")
    assert not log.with_suffix(".html").exists()
    assert {path.name for path in home.iterdir() if path.name.startswith(("log", "digest"))} == {"log.sqlite"}
    connection = sqlite3.connect(log)
    assert [row[0] for row in connection.execute("SELECT exercise FROM session")] == ["x0", "x2"]
    connection.close()


def test_all_before_a_day_is_forgotten(said: Run) -> None:
    assert said("forget", "--before", "2026-05-01", "--yes")[0] == 0
    assert "x1" in (listed := said("sessions")[1])
    assert "x0" not in listed


def test_a_session_that_is_not_there_is_not_forgotten(said: Run) -> None:
    code, _, err = said("forget", "--session", "9", "--yes")
    assert code == 4
    assert "There is no session 9 in the log" in err


def test_the_drive_is_built_and_taken(said: Run, home: Path) -> None:
    assert said("drive", "build", "--out", str(home / "out.img")) == (0, f"{home / 'out.img'}\n", "")
    code, _, err = said("drive", "take", str(home / "out.img"))
    assert (code, err) == (0, "airladder: Nothing new lies on this drive.\n")
    (home / "no.img").write_bytes(b"no drive")
    assert said("drive", "take", str(home / "no.img"))[0] == 2


def test_a_damaged_log_is_mended_and_said_before_the_first_note_and_practice_is_kept(
    climb: Path, home: Path, capsys: Said
) -> None:
    assert main(["play", "partials rising", str(climb), "--at-once"]) == 0
    kept = home / "data" / "airladder" / "log.sqlite"
    kept.write_bytes(b"\0" * 4096 + kept.read_bytes()[4096:])
    capsys.readouterr()
    assert main(["play", "partials rising", str(climb), "--at-once"]) == 0
    said = capsys.readouterr().out
    assert (
        "The log was damaged; it lies aside as log.damaged-1.sqlite; 2 of its tries were saved into a new one."
        in said
    )
    with Log(kept) as log:
        assert [summary.tries for summary in log.sessions()] == [2, 2]


def test_a_log_of_anothers_choosing_is_never_moved_aside(climb: Path, home: Path, capsys: Said) -> None:
    mine = home / "take.wav"
    mine.write_bytes(climb.read_bytes())
    assert main(["play", "partials rising", str(climb), "--at-once", "--log", str(mine)]) == 4
    assert mine.read_bytes() == climb.read_bytes()


def test_tones_are_kept_as_sound_only_where_that_was_asked_for(climb: Path, home: Path) -> None:
    clips = home / "data" / "airladder" / "log-clips"
    assert main(["play", "partials rising", str(climb), "--at-once"]) == 0
    assert not clips.exists()
    (home / "with.toml").write_text("clips = true\n")
    assert main(["play", "partials rising", str(climb), "--at-once", "--settings", str(home / "with.toml")]) == 0
    with Log(home / "data" / "airladder" / "log.sqlite") as log:
        (row,) = log.rows("SELECT key, boottime_s FROM session JOIN boot ON boot = boot.number WHERE id = 2")
    assert [path.name for path in sorted(clips.iterdir())] == [
        f"{row['key'][:8]}-{row['boottime_s']:.0f}-{number:03}.flac" for number in (1, 2)
    ]
