"""The command line: for each bad input one sentence and an exit code, and nothing lost."""

from __future__ import annotations

import csv
import io
import json
import sqlite3
from pathlib import Path

import numpy as np
import pytest

from additive.note import Note
from airladder.cli import main
from airladder.config import Settings
from airladder.hearing.block import RATE
from stage import take, written

Said = pytest.CaptureFixture[str]


def sentence(said: Said) -> str:
    """What was said of the fault, without the name of the program."""
    return said.readouterr().err.strip().removeprefix("airladder: ")


def test_listen_writes_one_json_object_a_line(climb: Path, capsys: Said) -> None:
    assert main(["listen", str(climb), "--horn", "alto", "--fingering", "Bb3", "--json"]) == 0
    events = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert {event["event"] for event in events} == {"reading", "attack", "tone"}
    assert [event["partial"] for event in events if event["event"] == "tone"] == [1, 2]


def test_listen_says_the_same_again(climb: Path, capsys: Said) -> None:
    said = []
    for _ in range(2):
        main(["listen", str(climb), "--json"])
        said.append(capsys.readouterr().out)
    assert said[0] == said[1] != ""


def test_listen_without_json_names_each_tone(climb: Path, capsys: Said) -> None:
    assert main(["listen", str(climb)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split(":")[0] for line in lines] == ["partial 1, B♭3", "partial 2, B♭4"]


def test_practice_of_a_recording_tells_where_log_and_report_lie(climb: Path, home: Path, capsys: Said) -> None:
    assert main(["play", "partials rising", str(climb), "--at-once"]) == 0
    out = capsys.readouterr().out
    log = home / "data" / "airladder" / "log.sqlite"
    assert f"log:    {log}\nreport: {log.with_suffix('.html')}" in out
    assert "partial 2, B♭4: spoke" in out
    assert log.with_suffix(".html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


def test_the_log_is_listed_exported_and_reported(climb: Path, home: Path, capsys: Said) -> None:
    main(["play", "partials rising", str(climb), "--at-once"])
    capsys.readouterr()
    assert main(["sessions"]) == 0
    assert "alto" in capsys.readouterr().out
    assert main(["export", str(home / "out.csv")]) == 0
    rows = list(csv.DictReader(io.StringIO((home / "out.csv").read_bytes().decode("utf-8"))))
    assert len(rows) == 2
    assert main(["report", str(home / "out.html")]) == 0
    assert (home / "out.html").stat().st_size > 1000


def test_the_demos_log_is_not_the_players(home: Path, capsys: Said) -> None:
    assert main(["practice", "demo", "--at-once"]) == 0
    assert "invented" in capsys.readouterr().out
    assert main(["sessions"]) == 4
    assert main(["sessions", "--log", str(home / "data" / "airladder" / "demo.sqlite")]) == 0
    assert "invented" in capsys.readouterr().out


def test_config_prints_the_settings_in_force_and_where_they_come_from(home: Path, capsys: Said) -> None:
    assert main(["config"]) == 0
    assert capsys.readouterr().out.startswith(f"# built in; there is no {home / 'config'}")
    (home / "mine.toml").write_text('horn = "tenor"\n')
    assert main(["config", "--settings", str(home / "mine.toml")]) == 0
    assert capsys.readouterr().out.startswith(f'# {home / "mine.toml"}\nhorn = "tenor"\n')


def test_screens_draws_every_screen(home: Path, capsys: Said) -> None:
    assert main(["screens", "--out", str(home / "pictures")]) == 0
    paths = capsys.readouterr().out.split()
    assert len(paths) > 10
    *pictures, drawn = map(Path, paths)
    assert all(picture.read_bytes().startswith(b"\x89PNG") for picture in pictures)
    assert drawn.read_text(encoding="utf-8").startswith("<svg ")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--horn", "altoo"], "horn: 'altoo' is no horn that we know; did you mean alto?"),
        (["--fingering", "Bb9"], "fingering: 'Bb9' is no overtone fingering of the alto; did you mean Bb3?"),
        (["--a4", "460"], "a4: A4 of 460 Hz was asked for; wanted 430 to 450; the standard is 440."),
        (["--against", "pur"], "against: 'pur' is nothing that cents are measured from; did you mean pure?"),
    ],
)
def test_a_wrong_word_is_one_sentence_and_code_2(climb: Path, capsys: Said, words: list[str], said: str) -> None:
    assert main(["listen", str(climb), *words]) == 2
    assert said in sentence(capsys)


def test_two_wrong_words_are_told_together(climb: Path, capsys: Said) -> None:
    assert main(["listen", str(climb), "--horn", "tuba", "--a4", "1"]) == 2
    told = sentence(capsys)
    assert told.startswith("The command line has 2 faults:")
    assert len(told.splitlines()) == 3


@pytest.mark.parametrize("command", [["listen"], ["practice", "--at-once"]])
def test_a_source_that_cannot_be_read_is_one_sentence_and_code_3(
    tmp_path: Path, capsys: Said, command: list[str]
) -> None:
    bad = {name: tmp_path / name for name in ("none.wav", "empty.wav", "text.wav")}
    bad["empty.wav"].touch()
    bad["text.wav"].write_text("no sound at all, only words" * 100)
    for path in (*bad.values(), tmp_path):
        assert main([command[0], str(path), *command[1:]]) == 3
        told = sentence(capsys)
        assert len(told.splitlines()) == 1
        assert path.name in told


def test_a_bad_sample_ends_listening_with_what_was_heard_before_it(tmp_path: Path, capsys: Said) -> None:
    samples = take(Settings(), Note(1), Note(2))
    samples[-RATE // 2] = np.nan
    path = written(tmp_path / "torn.wav", samples, subtype="FLOAT")
    assert main(["listen", str(path), "--json"]) == 3
    said = capsys.readouterr()
    tones = [json.loads(line) for line in said.out.splitlines() if '"tone"' in line]
    assert [tone["partial"] for tone in tones] == [1, 2]
    assert len(said.err.strip().splitlines()) == 1


def test_silence_is_said_and_is_code_1(tmp_path: Path, capsys: Said) -> None:
    path = written(tmp_path / "silent.wav", np.zeros(2 * RATE, np.float32))
    assert main(["listen", str(path)]) == 1
    assert len(sentence(capsys).splitlines()) == 1


def test_noise_is_no_tone_and_is_code_1(tmp_path: Path, capsys: Said) -> None:
    noise = 0.1 * np.random.default_rng(0).standard_normal(2 * RATE).astype(np.float32)
    assert main(["listen", str(written(tmp_path / "noise.wav", noise))]) == 1
    assert sentence(capsys) == "Nothing sounded that is a tone of a horn."


def test_a_truncated_clipped_or_offset_recording_is_used_and_remarked_on(tmp_path: Path, capsys: Said) -> None:
    samples = take(Settings(), Note(1))
    whole = written(tmp_path / "whole.wav", samples).read_bytes()
    (tmp_path / "cut.wav").write_bytes(whole[: len(whole) * 9 // 10])
    written(tmp_path / "offset.wav", 0.5 * samples + 0.3)
    written(tmp_path / "clipped.wav", np.clip(20 * samples, -1, 1))
    for name in ("cut", "offset", "clipped"):
        assert main(["listen", str(tmp_path / f"{name}.wav"), "--json"]) == 0
        said = capsys.readouterr()
        assert [json.loads(line)["partial"] for line in said.out.splitlines() if '"tone"' in line] == [1]
        assert len(said.err.strip().splitlines()) == 1


def test_a_log_from_a_newer_version_is_left_alone(climb: Path, home: Path, capsys: Said) -> None:
    log = home / "log.sqlite"
    main(["play", "partials rising", str(climb), "--at-once", "--log", str(log)])
    with sqlite3.connect(log) as connection:
        connection.execute("PRAGMA user_version = 99")
    connection.close()
    before = log.read_bytes()
    capsys.readouterr()
    for words in (["sessions"], ["play", "partials rising", str(climb), "--at-once"], ["export"], ["report"]):
        assert main([*words, "--log", str(log)]) == 4
        assert "newer" in sentence(capsys)
    assert log.read_bytes() == before


def test_a_folder_that_cannot_be_written_is_said_before_the_first_note(climb: Path, home: Path, capsys: Said) -> None:
    """A file where the folder should be: not even root can write there."""
    (home / "data").write_text("in the way")
    assert main(["play", "partials rising", str(climb), "--at-once"]) == 4
    said = capsys.readouterr()
    assert len(said.err.strip().splitlines()) == 1
    assert "partial" not in said.out


def test_the_plan_is_printed_with_reasons_and_evidence(home: Path, capsys: Said) -> None:
    assert main(["plan", "--horn", "baritone", "--fingering", "A3"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("first week, about ")
    assert "fundamental on A3" in out
    assert "how strong the evidence is" in out


def test_routines_are_listed_and_checked(home: Path, capsys: Said) -> None:
    assert main(["routines"]) == 0
    assert "backstage" in capsys.readouterr().out
    good, bad = home / "good.toml", home / "bad.toml"
    good.write_text('version = 1\nname = "mine"\nabout = "Before class."\n[[step]]\nexercise = "falling"\n')
    bad.write_text('version = 1\nname = "mine"\nabout = "x"\n[[step]]\nexercise = "risng"\ntrys = 2\n')
    assert main(["routines", "check", str(good)]) == 0
    assert "all is well; mine" in capsys.readouterr().out
    assert main(["routines", "check", str(good), str(bad)]) == 2
    told = sentence(capsys)
    assert "line 5: exercise: 'risng' is no exercise; did you mean rising?" in told
    assert "line 6" in told
    assert main(["routines", "check"]) == 2


def test_a_routine_file_is_played(home: Path, climb: Path, capsys: Said) -> None:
    mine = home / "mine.toml"
    mine.write_text('version = 1\nname = "mine"\nabout = "x"\n[[step]]\nexercise = "rising"\npartials = [1, 2]\n')
    assert main(["play", str(mine), str(climb), "--at-once"]) == 0
    out = capsys.readouterr().out
    assert "partial 1, B♭3: spoke" in out
    assert "partial 2, B♭4: spoke" in out
    assert "mine on the alto" in out


def test_practice_leads_what_the_coach_has_planned(home: Path, climb: Path, capsys: Said) -> None:
    """Of somebody new: the first week begins with the low note, as a long tone."""
    assert main(["practice", str(climb), "--at-once"]) in (0, 1)
    out = capsys.readouterr().out
    assert "first week on the alto" in out
    assert "partial 1, B♭3: spoke" in out
