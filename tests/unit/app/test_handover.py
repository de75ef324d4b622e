"""The drive from a real log and back: made by the real tools, read by them, taken in again."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from airladder.app.building import Aside
from airladder.app.handover import Handover, digest_of, heed_time, told
from airladder.devices.clock import StillClock
from airladder.drive.intake import Accepted
from airladder.faults import Fault
from airladder.journal.dating import dates
from airladder.journal.log import Log, Reader
from airladder.journal.records import Head, Moment
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome

MINE = 'version = 1\nname = "mine"\nabout = "Quiet."\n\n[[step]]\nexercise = "hear first"\npartials = [2, 3]\n'
WHEN = datetime(2026, 5, 4, 18, 3).astimezone()


@pytest.fixture
def handover(tmp_path: Path) -> Handover:
    log = tmp_path / "box" / "log.sqlite"
    head = Head(WHEN, "microphone m", False, "alto", "Bb3", 440.0, "tempered", "x", "0", Moment("b", 9.0, "known"))
    with Log(log) as writer:
        writer.begin(head, Attempt(1, 1.0, 3, Outcome.NOTHING, None))
    settings = tmp_path / "settings.toml"
    settings.write_text(f'log_folder = "{log.parent}"\n')
    return Handover(log, settings)


def names_on(image: Path) -> set[str]:
    """What mtools finds on it."""
    listed = subprocess.run(
        ["mdir", "-/", "-b", "-i", f"{image}@@1M", "::"], capture_output=True, text=True, check=True
    )
    return {line.removeprefix("::/") for line in listed.stdout.split("\n") if line}


def write(image: Path, name: str, content: str) -> None:
    """A computer writes a file onto the drive."""
    subprocess.run(["mcopy", "-D", "o", "-i", f"{image}@@1M", "-", f"::/{name}"], input=content.encode(), check=True)


def test_what_goes_out_holds_report_log_and_tables(handover: Handover, tmp_path: Path) -> None:
    names = names_on(handover.build())
    assert {"README.txt", "report.html", "log.sqlite", "tries/2026-05.csv", "tries/2026-05.jsonl"} <= names
    assert digest_of(handover.log).exists()
    other = handover.build(tmp_path / "other.img")
    assert other.read_bytes() == handover.out_image.read_bytes()


def test_nothing_to_hand_over_yet_is_a_drive_too(tmp_path: Path) -> None:
    assert "report.html" in names_on(Handover(tmp_path / "new" / "log.sqlite").build())


def test_a_routine_and_settings_come_in_and_the_rest_is_refused(handover: Handover, tmp_path: Path) -> None:
    drive = Path(shutil.copy(handover.blank(), tmp_path / "drive.img"))
    write(drive, "routines/mine.toml", MINE)
    write(drive, "routines/bad.toml", MINE.replace("hear first", "rizing"))
    write(drive, "settings/settings.toml", 'a4 = 442\nlog_folder = "/"\n')
    accepted, newest = handover.take(drive)
    assert (accepted.routines, accepted.settings) == (("mine.toml",), ("a4",))
    assert (handover.log.parent / "routines" / "mine.toml").read_text() == MINE
    assert "a4 = 442" in (tmp_path / "settings.toml").read_text()
    assert str(handover.log.parent) in (tmp_path / "settings.toml").read_text()
    assert len(accepted.refused) == 2
    assert newest is not None
    assert abs(newest - datetime.now()) < timedelta(days=2)
    said = list(told(accepted))
    assert said[:2] == ["A routine came in: mine.", "Set anew from the drive: a4."]
    assert {"REFUSED.txt", "routines/mine.toml"} <= names_on(handover.blank(accepted))


def test_a_stick_gets_the_same_and_brings_the_same(handover: Handover, tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    (stick / "AIRLADDER" / "routines").mkdir(parents=True)
    (stick / "AIRLADDER" / "routines" / "mine.toml").write_text(MINE)
    assert handover.exchange(stick) == Accepted(("mine.toml",))
    assert (stick / "AIRLADDER" / "report.html").read_text().startswith("<!DOCTYPE html>")


def test_the_building_aside_makes_the_same_drive(handover: Handover, tmp_path: Path) -> None:
    aside = Aside(handover.log, handover.settings_file)
    built = aside.build(tmp_path / "aside.img")
    assert built.read_bytes() == handover.build(tmp_path / "here.img").read_bytes()


def test_a_building_aside_that_fails_says_what_the_command_said(handover: Handover, tmp_path: Path) -> None:
    handover.log.write_bytes(b"no log at all, but some other file of some length")
    with pytest.raises(Fault, match=r"^/.*log\.sqlite is no log that can be read"):
        Aside(handover.log, handover.settings_file).build(tmp_path / "aside.img")


def test_the_date_is_taken_from_a_computer_only_where_nobody_keeps_it(handover: Handover) -> None:
    later = datetime(2027, 1, 31, 18, 5)
    kept = StillClock(WHEN)
    heed_time(later, kept, handover.log)
    assert kept.wall() == WHEN
    lost = StillClock(WHEN)
    lost.carry_on(WHEN)
    for none in (None, datetime(1995, 1, 1), datetime(2107, 12, 31)):  # and what no computer's clock can say
        heed_time(none, lost, handover.log)
    assert (lost.wall(), lost.kept) == (WHEN, False)
    heed_time(later, lost, handover.log)
    assert (lost.wall(), lost.kept) == (later.astimezone(), True)
    with Reader(handover.log) as log:
        assert [row["told_by"] for row in log.rows("SELECT told_by FROM date_told")] == ["computer"]
        assert [dated.when for dated in dates(log).values()] == [WHEN]


def test_a_building_aside_that_was_stopped_leaves_the_drive_before_it(handover: Handover, tmp_path: Path) -> None:
    (tmp_path / "aside.img").write_bytes(b"the drive before")
    aside = Aside(handover.log, handover.settings_file)
    aside.stop()
    with pytest.raises(Fault, match=r"The drive could not be made \(-15\)\.$"):
        aside.build(tmp_path / "aside.img")
    assert (tmp_path / "aside.img").read_bytes() == b"the drive before"


def test_a_release_is_a_wish_on_a_drive_and_may_be_an_old_one_on_a_stick(handover: Handover, tmp_path: Path) -> None:
    asked: list[tuple[bytes, bool]] = []

    def take(content: bytes, again: bool) -> str | None:
        asked.append((content, again))
        return "0.2.0" if again else None

    box = replace(handover, take_release=take)
    drive = Path(shutil.copy(box.blank(), tmp_path / "drive.img"))
    write(drive, "airladder-0.2.0.zip", "a release")
    accepted, _ = box.take(drive)
    assert list(told(accepted)) == ["Version 0.2.0 came in; it runs from the next start."]
    (tmp_path / "stick" / "AIRLADDER").mkdir(parents=True)
    (tmp_path / "stick" / "AIRLADDER" / "airladder-0.2.0.zip").write_text("a release")
    assert box.exchange(tmp_path / "stick") == Accepted()
    assert asked == [(b"a release", True), (b"a release", False)]


def test_a_computer_that_is_no_box_takes_no_release_and_says_so_of_its_drive_alone(
    handover: Handover, tmp_path: Path
) -> None:
    drive = Path(shutil.copy(handover.blank(), tmp_path / "drive.img"))
    write(drive, "airladder-0.2.0.zip", "a release")
    accepted, _ = handover.take(drive)
    sentence = "airladder-0.2.0.zip: another version is taken by the box only; put it on the drive of the box."
    assert accepted == Accepted(refused=(sentence,))
    (tmp_path / "stick" / "AIRLADDER").mkdir(parents=True)
    (tmp_path / "stick" / "AIRLADDER" / "airladder-0.2.0.zip").write_text("a release")
    assert handover.exchange(tmp_path / "stick") == Accepted()
