"""`--fingering any` on the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from airladder.cli import main

Said = pytest.CaptureFixture[str]


def test_listen_names_the_note_and_what_could_be_fingered(climb: Path, capsys: Said) -> None:
    assert main(["listen", str(climb), "--horn", "alto", "--fingering", "any"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split(":")[0] for line in lines] == ["B♭3", "B♭4"]
    assert [line.split("; ")[1] for line in lines] == ["partial 1 of B♭3", "partial 2 of B♭3"]


def test_listen_as_json_has_no_partial_but_candidates(climb: Path, capsys: Said) -> None:
    assert main(["listen", str(climb), "--horn", "alto", "--fingering", "ANY", "--json"]) == 0
    events = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert {event["event"] for event in events} == {"reading", "attack", "tone"}
    told = [event for event in events if event["event"] == "tone"]
    assert [(tone["partial"], tone["note"], tone["could_be"]) for tone in told] == [
        (None, "Bb3", [["Bb3", 1]]),
        (None, "Bb4", [["Bb3", 2]]),
    ]


def test_practice_asks_for_the_name_of_one_fingering(climb: Path, capsys: Said) -> None:
    assert main(["practice", str(climb), "--fingering", "any", "--at-once"]) == 2
    assert capsys.readouterr().err == (
        "airladder: practice asks for the partials of one fingering: name it, like Bb3; 'any' is for listen.\n"
    )


def test_there_is_nothing_to_measure_against_without_a_fingering(climb: Path, capsys: Said) -> None:
    assert main(["listen", str(climb), "--fingering", "any", "--against", "pure"]) == 2
    assert "the cents are from the nearest tempered note" in capsys.readouterr().err


def test_other_wrong_words_are_told_as_ever(climb: Path, capsys: Said) -> None:
    assert main(["listen", str(climb), "--fingering", "any", "--horn", "altoo"]) == 2
    assert "did you mean alto?" in capsys.readouterr().err
