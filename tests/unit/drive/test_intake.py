"""What a drive brought goes to the disk or is refused, with the real checks of routines and settings."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

from airladder.config import Settings, checked, shown
from airladder.drive.incoming import Taken
from airladder.drive.intake import Accepted, accept, refusals
from airladder.faults import BadInput, Fault
from airladder.practice.routines.reading import read
from airladder.practice.setting import Setting

ROUTINE = """version = 1
name = "mine"
about = "Short."

[[step]]
exercise = "rising"
"""
INCLUDING = ROUTINE.replace('exercise = "rising"', 'routine = "other"')
IN_FORCE = shown(Settings())

Accepting = Callable[[Taken], Accepted]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where the routines lie; not there yet."""
    return tmp_path / "box" / "routines"


@pytest.fixture
def settings(tmp_path: Path) -> Path:
    """Where the settings lie; not there yet."""
    return tmp_path / "config" / "settings.toml"


@pytest.fixture
def accepting(folder: Path, settings: Path) -> Accepting:
    """Accepts, as the program does."""
    return lambda taken: accept(
        taken,
        lambda path: read(path, Setting(Settings().series)),
        lambda text: checked(tomllib.loads(text), "it"),
        folder,
        settings,
        IN_FORCE,
        take_release,
    )


def take_release(content: bytes) -> str | None:
    """What the box does with a release, by what is in it."""
    if content == b"bad":
        raise BadInput("it is no ZIP file.")
    return None if content == b"known" else "0.2.0"


def test_a_good_routine_lies_in_the_folder_afterwards(accepting: Accepting, folder: Path) -> None:
    accepted = accepting(Taken(routines=(("mine.toml", ROUTINE),)))
    assert accepted == Accepted(routines=("mine.toml",))
    assert accepted
    assert [path.name for path in folder.iterdir()] == ["mine.toml"]
    assert (folder / "mine.toml").read_text() == ROUTINE


def test_the_one_before_stays_beside_it(accepting: Accepting, folder: Path) -> None:
    accepting(Taken(routines=(("mine.toml", ROUTINE),)))
    accepting(Taken(routines=(("mine.toml", ROUTINE + "# newer\n"),)))
    assert (folder / "mine.toml").read_text() == ROUTINE + "# newer\n"
    assert (folder / "mine.toml.old").read_text() == ROUTINE


def test_the_same_again_is_not_written(accepting: Accepting, folder: Path) -> None:
    accepting(Taken(routines=(("mine.toml", ROUTINE),)))
    before = (folder / "mine.toml").stat()
    accepted = accepting(Taken(routines=(("mine.toml", ROUTINE),)))
    assert not accepted
    assert (folder / "mine.toml").stat().st_ino == before.st_ino
    assert not (folder / "mine.toml.old").exists()


def test_a_faulty_routine_does_not_replace_a_good_one(accepting: Accepting, folder: Path) -> None:
    accepting(Taken(routines=(("mine.toml", ROUTINE),)))
    accepted = accepting(Taken(routines=(("mine.toml", ROUTINE.replace("rising", "rizing")),)))
    assert accepted.routines == ()
    assert (folder / "mine.toml").read_text() == ROUTINE
    assert len(accepted.refused) == 1
    assert accepted.refused[0].startswith("routines/mine.toml: mine.toml has 1 fault:\n  line 6: exercise:")
    assert "/tmp" not in accepted.refused[0]


def test_routines_that_include_one_another_come_together(accepting: Accepting) -> None:
    accepted = accepting(Taken(routines=(("mine.toml", INCLUDING), ("other.toml", ROUTINE))))
    assert accepted.routines == ("mine.toml", "other.toml")


def test_one_may_include_what_lay_there_before(accepting: Accepting) -> None:
    accepting(Taken(routines=(("other.toml", ROUTINE),)))
    assert accepting(Taken(routines=(("mine.toml", INCLUDING),))).routines == ("mine.toml",)


def test_a_circle_of_includes_is_refused(accepting: Accepting, folder: Path) -> None:
    circle = (("mine.toml", INCLUDING), ("other.toml", INCLUDING.replace('"other"', '"mine"')))
    accepted = accepting(Taken(routines=circle))
    assert accepted.routines == ()
    assert len(accepted.refused) == 2
    assert not folder.exists()


def test_a_routine_that_would_keep_the_reader_busy_is_refused(accepting: Accepting) -> None:
    accepted = accepting(Taken(routines=(("mine.toml", "a = " + "[" * 900), ("other.toml", ".".join("a" * 9000)))))
    assert accepted.routines == ()
    assert [sentence.split(":")[0] for sentence in accepted.refused] == ["routines/mine.toml", "routines/other.toml"]


def test_a_link_in_the_routines_is_not_written_through(accepting: Accepting, folder: Path, tmp_path: Path) -> None:
    folder.mkdir(parents=True)
    (tmp_path / "elsewhere").write_text("precious")
    (folder / "mine.toml").symlink_to(tmp_path / "elsewhere")
    accepting(Taken(routines=(("mine.toml", ROUTINE),)))
    assert (tmp_path / "elsewhere").read_text() == "precious"
    assert (folder / "mine.toml").read_text() == ROUTINE


def test_settings_that_changed_are_set_among_the_old_ones(accepting: Accepting, settings: Path) -> None:
    settings.parent.mkdir()
    settings.write_text('horn = "alto" # mine\nspeaker = "none"\n')
    accepted = accepting(Taken(settings=IN_FORCE.replace("a4 = 440", "a4 = 442")))
    assert accepted == Accepted(settings=("a4",))
    assert tomllib.loads(settings.read_text()) == {"horn": "alto", "speaker": "none", "a4": 442}
    assert settings.with_name("settings.old.toml").read_text() == 'horn = "alto" # mine\nspeaker = "none"\n'


def test_settings_that_are_in_force_already_are_not_written(accepting: Accepting, settings: Path) -> None:
    assert not accepting(Taken(settings=IN_FORCE))
    assert not settings.exists()


def test_the_same_file_again_does_not_undo_what_was_set_on_the_box_since(
    accepting: Accepting, settings: Path
) -> None:
    accepting(Taken(settings="a4 = 442\n"))
    settings.write_text("a4 = 439\n")
    assert not accepting(Taken(settings="a4 = 442\n"))
    assert settings.read_text() == "a4 = 439\n"
    assert accepting(Taken(settings="a4 = 443\n")).settings == ("a4",)


def test_of_a_drive_only_what_the_player_changed_on_it_counts(accepting: Accepting, settings: Path) -> None:
    before = 'horn = "tenor"\na4 = 442\n'
    accepted = accepting(Taken(settings=before.replace("442", "443"), before=before))
    assert accepted.settings == ("a4",)
    assert tomllib.loads(settings.read_text()) == {"a4": 443}


def test_a_drive_may_not_move_the_log_but_the_rest_of_it_counts(accepting: Accepting, settings: Path) -> None:
    accepted = accepting(Taken(settings='log_folder = "/tmp"\nspeaker = "hw:0"\na4 = 441\n'))
    assert accepted.settings == ("a4",)
    assert accepted.refused == (
        "settings/settings.toml: log_folder: a drive may not change it; it is set on the box itself.",
        "settings/settings.toml: speaker: a drive may not change it; it is set on the box itself.",
    )
    assert tomllib.loads(settings.read_text()) == {"a4": 441}


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("a4 = 500", "a4: "),
        ("hrn = 1", "hrn: no such setting; did you mean horn?"),
        ("a4 = " + "9" * 900, "more than 64 bits"),
        ("a4 = nan", "infinite, or none"),
        ("horn = [", "it is no TOML"),
        ("[aims]\nminutes = {a = 1}", "a value is neither"),
        ("a4 = {b.c.d = 1}", "a value is neither"),
    ],
)
def test_faulty_settings_are_refused_whole(accepting: Accepting, settings: Path, text: str, why: str) -> None:
    settings.parent.mkdir()
    settings.write_text("a4 = 439\n")
    accepted = accepting(Taken(settings=text))
    assert not accepted
    assert len(accepted.refused) == 1
    assert why in accepted.refused[0]
    assert settings.read_text() == "a4 = 439\n"
    assert [path.name for path in settings.parent.iterdir()] == ["settings.toml"]


def test_settings_on_the_box_that_cannot_be_read_are_left_alone(accepting: Accepting, settings: Path) -> None:
    settings.parent.mkdir()
    settings.write_bytes(b"\xff\xfe")
    accepted = accepting(Taken(settings="a4 = 441"))
    assert "are no TOML; mend or remove them first." in accepted.refused[0]
    assert settings.read_bytes() == b"\xff\xfe"


def test_a_disk_that_cannot_be_written_is_a_sentence_and_what_lies_there_stays(
    accepting: Accepting, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    accepting(Taken(routines=(("mine.toml", ROUTINE),)))

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(Fault, match=r"No space left on device.*; make room on the disk, and plug the drive in again"):
        accepting(Taken(routines=(("mine.toml", ROUTINE + "#"),)))
    assert (folder / "mine.toml").read_text() == ROUTINE
    assert [path.name for path in folder.iterdir()] == ["mine.toml"]


def test_what_was_refused_stands_in_a_file_for_the_drive() -> None:
    assert refusals(Accepted()) == {}
    text = refusals(Accepted(refused=("a.", "b.")))["REFUSED.txt"]
    assert text == "Not taken from this drive:\n\na.\n\nb.\n"


def test_a_release_is_taken_passed_over_or_refused_by_its_name(accepting: Accepting) -> None:
    accepted = accepting(Taken(release=("airladder-0.2.0.zip", b"good")))
    assert accepted == Accepted(release="0.2.0")
    assert accepted
    assert accepting(Taken(release=("airladder-0.2.0.zip", b"known"))) == Accepted()
    refused = accepting(Taken(release=("airladder-0.2.0.zip", b"bad"), routines=(("mine.toml", ROUTINE),)))
    assert refused == Accepted(("mine.toml",), refused=("airladder-0.2.0.zip: it is no ZIP file.",))
