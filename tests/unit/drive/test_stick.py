"""A stick, as a mounted folder: what is copied to it, what is taken from it, and what lies in ambush on it."""

from __future__ import annotations

import os
from datetime import datetime
from pathlib import Path

import pytest

from airladder.drive.incoming import Taken, take_folder
from airladder.drive.stick import FOLDER, copy_to
from airladder.faults import BadInput, Fault

MAY_4 = datetime(2026, 5, 4, 18, 30).timestamp()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """What goes out."""
    top = tmp_path / "staged"
    for name in ("README.txt", "log.sqlite", "tries/2026-05.csv", "sessions/00001.mid"):
        (top / name).parent.mkdir(parents=True, exist_ok=True)
        (top / name).write_text(f"this is {name}")
        os.utime(top / name, (MAY_4, MAY_4))
    (top / ".hidden").write_text("not this")
    return top


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    """A stick with something of somebody's."""
    top = tmp_path / "stick"
    top.mkdir()
    (top / "thesis.doc").write_text("precious")
    return top


def test_all_is_copied_and_nothing_else_is_touched(folder: Path, stick: Path) -> None:
    assert sorted(copy_to(folder, stick)) == ["README.txt", "log.sqlite", "sessions/00001.mid", "tries/2026-05.csv"]
    assert (stick / FOLDER / "tries" / "2026-05.csv").read_text() == "this is tries/2026-05.csv"
    assert (stick / "thesis.doc").read_text() == "precious"
    found = sorted(path.name for path in stick.rglob("*") if path.is_file())
    assert found == ["00001.mid", "2026-05.csv", "README.txt", "log.sqlite", "thesis.doc"]


def test_the_second_time_only_what_changed_is_copied(folder: Path, stick: Path) -> None:
    copy_to(folder, stick)
    os.utime(stick / FOLDER / "README.txt", (MAY_4 + 1.9, MAY_4 + 1.9))  # as FAT rounds
    (folder / "log.sqlite").write_text("this is LOG.sqlite")
    assert copy_to(folder, stick) == ("log.sqlite",)
    assert (stick / FOLDER / "log.sqlite").read_text() == "this is LOG.sqlite"


def test_what_others_put_beside_ours_and_months_gone_by_stay(folder: Path, stick: Path) -> None:
    copy_to(folder, stick)
    (stick / FOLDER / "notes.txt").write_text("mine")
    (folder / "tries" / "2026-05.csv").unlink()
    copy_to(folder, stick)
    assert (stick / FOLDER / "notes.txt").read_text() == "mine"
    assert (stick / FOLDER / "tries" / "2026-05.csv").exists()


@pytest.mark.parametrize("where", [FOLDER, f"{FOLDER}/tries"])
def test_a_link_in_the_place_of_a_folder_is_not_followed(
    folder: Path, stick: Path, tmp_path: Path, where: str
) -> None:
    (tmp_path / "elsewhere").mkdir()
    (stick / where).parent.mkdir(exist_ok=True)
    (stick / where).symlink_to(tmp_path / "elsewhere")
    with pytest.raises(Fault, match=r"The stick at .* cannot be written"):
        copy_to(folder, stick)
    assert list((tmp_path / "elsewhere").iterdir()) == []


@pytest.mark.parametrize("name", ["README.txt", "README.txt.new"])
def test_a_link_in_the_place_of_a_file_is_replaced_and_not_written_through(
    folder: Path, stick: Path, tmp_path: Path, name: str
) -> None:
    (tmp_path / "precious").write_text("precious")
    (stick / FOLDER).mkdir()
    (stick / FOLDER / name).symlink_to(tmp_path / "precious")
    copy_to(folder, stick)
    assert (tmp_path / "precious").read_text() == "precious"
    assert (stick / FOLDER / "README.txt").read_text() == "this is README.txt"
    assert not (stick / FOLDER / "README.txt").is_symlink()


def test_a_full_stick_is_a_sentence_and_what_lay_there_stays(
    folder: Path, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy_to(folder, stick)
    (folder / "README.txt").write_text("newer")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("shutil.copyfileobj", full)
    with pytest.raises(Fault, match=r"there is no room on it.*; make room, or put in another"):
        copy_to(folder, stick)
    assert (stick / FOLDER / "README.txt").read_text() == "this is README.txt"
    assert not list(stick.rglob("*.new"))


def test_a_stick_that_is_gone_is_a_sentence(folder: Path, tmp_path: Path) -> None:
    with pytest.raises(Fault, match=r"cannot be written \(No such file or directory\)"):
        copy_to(folder, tmp_path / "gone")


def test_routines_and_settings_are_taken_from_it(stick: Path) -> None:
    for name, text in {"routines/mine.toml": "x = 1", "settings/settings.toml": "a4 = 442"}.items():
        path = stick / FOLDER / name
        path.parent.mkdir(parents=True)
        path.write_text(text)
        os.utime(path, (MAY_4, MAY_4))
    taken = take_folder(stick, FOLDER)
    assert taken == Taken((("mine.toml", "x = 1"),), "a4 = 442", datetime(2026, 5, 4, 18, 30), ())


def test_a_stick_without_our_folder_brings_nothing(stick: Path) -> None:
    assert take_folder(stick, FOLDER) == Taken()
    with pytest.raises(BadInput, match="cannot be looked into"):
        take_folder(stick / "gone", FOLDER)


def test_links_pipes_and_folders_are_not_there(stick: Path, tmp_path: Path) -> None:
    (tmp_path / "secret.toml").write_text("key = 1")
    routines = stick / FOLDER / "routines"
    (routines / "folder.toml").mkdir(parents=True)
    (routines / "link.toml").symlink_to(tmp_path / "secret.toml")
    (routines / "dangling.toml").symlink_to(tmp_path / "nothing")
    os.mkfifo(routines / "pipe.toml")
    assert take_folder(stick, FOLDER) == Taken()


@pytest.mark.parametrize("where", [FOLDER, f"{FOLDER}/routines"])
def test_a_link_in_the_place_of_a_folder_brings_nothing(stick: Path, tmp_path: Path, where: str) -> None:
    for inside in ("", "routines"):
        (tmp_path / "elsewhere" / inside).mkdir(exist_ok=True, parents=True)
        (tmp_path / "elsewhere" / inside / "secret.toml").write_text("key = 1")
    (stick / where).parent.mkdir(exist_ok=True)
    (stick / where).symlink_to(tmp_path / "elsewhere")
    assert take_folder(stick, FOLDER) == Taken()


def test_wrong_names_and_sizes_are_told_as_from_a_drive(stick: Path) -> None:
    routines = stick / FOLDER / "routines"
    routines.mkdir(parents=True)
    (routines / "big.toml").write_bytes(bytes(65537))
    (routines / os.fsdecode(b"\xff\xfe.toml")).write_text("x")
    (routines / "a\nb.toml").write_text("x")
    taken = take_folder(stick, FOLDER)
    assert taken.routines == ()
    assert len(taken.refused) == 3
    assert all(sentence.isprintable() for sentence in taken.refused)


def test_a_file_without_end_is_read_no_further_than_it_said(stick: Path) -> None:
    """A sparse file of a tebibyte."""
    routines = stick / FOLDER / "routines"
    routines.mkdir(parents=True)
    with (routines / "huge.toml").open("wb") as file:
        file.truncate(1 << 40)
    assert "larger than 64 KiB" in take_folder(stick, FOLDER).refused[0]


def test_descriptors_are_given_back(folder: Path, stick: Path) -> None:
    (stick / FOLDER / "routines").mkdir(parents=True)
    (stick / FOLDER / "routines" / "x.txt").write_text("x")
    before = len(list(Path("/proc/self/fd").iterdir()))
    for _ in range(3):
        copy_to(folder, stick)
        take_folder(stick, FOLDER)
    assert len(list(Path("/proc/self/fd").iterdir())) == before


def test_a_release_in_the_folder_of_a_stick_is_taken_and_one_beside_it_is_not(tmp_path: Path) -> None:
    (tmp_path / "AIRLADDER").mkdir()
    (tmp_path / "airladder-0.3.0.zip").write_bytes(b"beside it")
    (tmp_path / "AIRLADDER" / "airladder-0.2.0.zip").write_bytes(b"a release")
    (tmp_path / "AIRLADDER" / "airladder-0.4.0.zip").symlink_to("/etc/passwd")
    assert take_folder(tmp_path, "AIRLADDER") == Taken(release=("airladder-0.2.0.zip", b"a release"))
