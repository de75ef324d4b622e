"""What becomes of releases on the box: taken, tried, confirmed or refused, told, and removed in the end."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from airladder.appliance.release import packed
from airladder.appliance.stated import Stated
from airladder.appliance.versions import Kept, Versions
from airladder.drive.incoming import MOST_RELEASE
from airladder.faults import BadInput, Fault
from airladder.journal.log import Log
from airladder.journal.steps import shipped
from unit.appliance.smallreleases import files, small, summed

As = Callable[[str], Versions]


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """The folder of the versions; not there yet."""
    return tmp_path / "airladder" / "versions"


@pytest.fixture
def compiling(store: Path, tmp_path: Path) -> As:
    """The store as a running version sees it."""

    def running(version: str) -> Versions:
        (tmp_path / "run").mkdir(exist_ok=True)
        log = store.with_name("log.sqlite")
        return Versions(store, log, running=version, runtime=tmp_path / "run", key=tmp_path / "none.pub")

    return running


@pytest.fixture
def box(compiling: As, monkeypatch: pytest.MonkeyPatch) -> As:
    """The same, with nothing compiled and nobody waiting for the disk, which takes longer than all else."""
    monkeypatch.setattr("airladder.appliance.unpacking._compile", lambda folder, final: None)
    monkeypatch.setattr("airladder.appliance.unpacking._flush_all", lambda folder: None)
    return compiling


def marks(store: Path) -> dict[str, str]:
    """All small files."""
    return {path.name: path.read_text() for path in store.iterdir() if path.is_file() and path.name != "taken"}


def folders(store: Path) -> set[str]:
    return {path.name for path in store.iterdir() if path.is_dir()}


def test_a_release_is_unpacked_compiled_and_to_be_tried(compiling: As, store: Path) -> None:
    assert compiling("0.1.0").take(small("0.2.0")) == "0.2.0"
    assert marks(store) == {"trial": "0.2.0 0\n"}
    assert folders(store) == {"0.2.0"}
    package = store / "0.2.0" / "airladder"
    compiled = (package / "__pycache__" / f"__main__.{sys.implementation.cache_tag}.pyc").read_bytes()
    assert compiled[4:8] == b"\1\0\0\0"  # PEP 552: by hash, and not to be checked
    assert f"{package}/__main__.py".encode() in compiled
    assert (store / "0.2.0" / "SHA256SUMS").is_file()


def test_compiled_code_is_used_whatever_the_clock_said(compiling: As, store: Path) -> None:
    compiling("0.1.0").take(small("0.2.0"))
    source = store / "0.2.0" / "airladder" / "__main__.py"
    os.utime(source, (4_000_000_000, 4_000_000_000))
    call = [sys.executable, "-v", "-m", "airladder", "x"]
    done = subprocess.run(
        call, env={"PYTHONPATH": str(store / "0.2.0")}, cwd="/", capture_output=True, text=True, check=True
    )
    assert done.stdout == "ran 0.2.0 x\n"
    assert "__main__.cpython" in done.stderr  # -v tells where code comes from
    assert f"code object from {source}" not in done.stderr


def test_a_version_that_came_up_is_told_once_and_the_base_is_the_one_before(box: As, store: Path) -> None:
    box("0.1.0").take(small("0.2.0"))
    assert box("0.1.0").news() == ""
    new = box("0.2.0")
    assert new.on_trial
    assert new.news() == ""
    new.confirm()
    assert marks(store) == {"current": "0.2.0\n", "before": "base\n", "confirmed": "0.2.0 0\n"}
    assert not new.on_trial
    assert new.news() == "Version 0.2.0 runs now."
    assert new.news() == ""
    new.confirm()
    assert marks(store) == {"current": "0.2.0\n", "before": "base\n"}
    assert new.kept() == (Kept("0.2.0", "runs"), Kept("base", "the one before"))


def test_the_third_version_leaves_two(box: As, store: Path) -> None:
    box("0.1.0").take(small("0.2.0"))
    box("0.2.0").confirm()
    box("0.2.0").take(small("0.3.0"))
    assert folders(store) == {"0.2.0", "0.3.0"}
    box("0.3.0").confirm()
    assert box("0.3.0").news() == "Version 0.3.0 runs now."
    box("0.3.0").take(small("0.4.0"))
    assert folders(store) == {"0.2.0", "0.3.0", "0.4.0"}
    assert box("0.3.0").kept() == (
        Kept("0.3.0", "runs"),
        Kept("0.4.0", "to be tried"),
        Kept("0.2.0", "the one before"),
    )
    box("0.4.0").confirm()
    box("0.4.0").news()
    assert folders(store) == {"0.3.0", "0.4.0"}
    assert marks(store)["before"] == "0.3.0\n"


def test_one_that_did_not_come_up_is_told_once_and_removed(box: As, store: Path) -> None:
    box("0.1.0").take(small("0.2.0"))
    (store / "trial").rename(store / "refused")  # as the launcher does
    old = box("0.1.0")
    assert old.kept() == (Kept("0.1.0", "runs"), Kept("0.2.0", "did not come up"))
    assert old.news() == "Version 0.2.0 did not come up; 0.1.0 runs again."
    assert old.news() == ""
    assert folders(store) == set()
    assert old.kept() == (Kept("0.1.0", "runs"), Kept("0.2.0", "did not come up"))


def test_what_failed_before_is_not_told_once_another_came_up(box: As, store: Path) -> None:
    """As after a cut between the trial's mark and taking the older marks away."""
    box("0.1.0").take(small("0.3.0"))
    (store / "refused").write_text("0.2.0 3\n")
    (store / "failed").write_text("0.2.0 3\n")
    box("0.3.0").confirm()
    assert box("0.3.0").news() == "Version 0.3.0 runs now."
    assert box("0.3.0").news() == ""
    assert box("0.3.0").kept() == (Kept("0.3.0", "runs"), Kept("base", "the one before"))


def test_one_that_is_taken_again_before_it_was_tried_is_counted_anew(box: As, store: Path) -> None:
    box("0.1.0").take(small("0.2.0"))
    (store / "trial").write_text("0.2.0 2\n")
    box("0.1.0").take(small("0.2.0"))
    assert marks(store) == {"trial": "0.2.0 0\n"}


def test_a_stick_that_comes_back_with_a_release_that_failed_wishes_nothing_and_a_drive_does(
    box: As, store: Path
) -> None:
    old = box("0.1.0")
    assert old.take(small("0.2.0"), again=False) == "0.2.0"
    (store / "trial").rename(store / "refused")
    assert old.take(small("0.2.0"), again=False) is None
    assert "trial" not in marks(store)
    assert old.take(small("0.2.0")) == "0.2.0"
    assert marks(store) == {"trial": "0.2.0 0\n"}


def test_the_version_that_runs_is_nothing_to_do(box: As, store: Path) -> None:
    with pytest.raises(BadInput, match=r"^version 0\.2\.0 runs already; there is nothing to do\.$"):
        box("0.2.0").take(small("0.2.0"))
    assert box("0.2.0").take(small("0.2.0"), again=False) is None
    assert not store.exists()


def test_only_the_version_on_trial_confirms_itself(box: As, store: Path) -> None:
    box("0.1.0").take(small("0.2.0"))
    box("0.1.0").confirm()
    assert marks(store) == {"trial": "0.2.0 0\n"}


def test_one_that_is_confirmed_lets_the_launcher_forget_its_starts(box: As, tmp_path: Path) -> None:
    versions = box("0.1.0")
    (tmp_path / "run" / "starts").write_text("3\n")
    versions.confirm()
    assert not (tmp_path / "run" / "starts").exists()


def test_a_newer_release_takes_the_place_of_one_that_was_not_tried_yet(box: As, store: Path) -> None:
    box("0.1.0").take(small("0.2.0"))
    box("0.1.0").take(small("0.3.0"))
    assert marks(store) == {"trial": "0.3.0 0\n"}
    assert folders(store) == {"0.3.0"}


def test_a_damaged_version_is_mended_by_its_release(box: As, store: Path) -> None:
    """The current one does not start, so the base runs and takes it anew."""
    box("0.1.0").take(small("0.2.0"))
    box("0.2.0").confirm()
    (store / "0.2.0" / "airladder" / "__main__.py").unlink()
    assert box("0.1.0").take(small("0.2.0")) == "0.2.0"
    assert (store / "0.2.0" / "airladder" / "__main__.py").exists()
    assert folders(store) == {"0.2.0"}


def test_a_release_that_does_not_compile_is_refused(compiling: As, store: Path) -> None:
    spoilt = packed(summed({**files("0.2.0"), "airladder/spoilt.py": b"print(\n"}))
    with pytest.raises(BadInput, match=r"^Python cannot compile it \(.*SyntaxError: '\(' was never closed\)"):
        compiling("0.1.0").take(spoilt)
    assert folders(store) == set()


def test_a_release_for_a_box_with_other_libraries_is_refused(box: As, store: Path) -> None:
    with pytest.raises(BadInput, match=r"^it needs numpy 99, and this box has "):
        box("0.1.0").take(small(said=Stated("0.2.0", 4, libraries={"all": {"numpy": "99"}})))
    assert not store.exists()


def test_a_release_that_could_not_read_the_log_is_refused(box: As, store: Path) -> None:
    box("0.1.0").take(small("0.0.9", steps=3))  # there is no log yet
    Log(store.with_name("log.sqlite")).close()
    with pytest.raises(BadInput) as caught:
        box("0.1.0").take(small("0.0.9", steps=3))
    assert str(caught.value) == (
        "version 0.0.9 reads the log up to form 3, and the log on this box has form 4; take a newer version."
    )
    assert box("0.1.0").take(small("0.2.0", steps=4)) == "0.2.0"
    assert box("0.1.0").take(small("0.3.0", steps=5)) == "0.3.0"


def test_a_log_in_trouble_keeps_nobody_from_another_version(box: As, store: Path) -> None:
    store.parent.mkdir(parents=True)
    store.with_name("log.sqlite").write_bytes(b"no log" * 1000)
    assert box("0.1.0").take(small("0.2.0", steps=3)) == "0.2.0"
    assert box("0.2.0").leads_the_log_up


def test_whether_the_log_would_be_led_up_is_known_without_doing_it(box: As, store: Path) -> None:
    assert not box("0.1.0").leads_the_log_up
    log = store.with_name("log.sqlite")
    Log(log, steps=shipped()[:-1]).close()
    before = log.read_bytes()
    assert box("0.1.0").leads_the_log_up
    assert log.read_bytes() == before
    Log(log).close()
    assert not box("0.1.0").leads_the_log_up
    with sqlite3.connect(log) as later:
        later.execute(f"PRAGMA user_version = {len(shipped()) + 1}")
    assert not box("0.1.0").leads_the_log_up


def test_a_file_is_taken_by_its_name_and_refused_with_it(box: As, tmp_path: Path) -> None:
    (tmp_path / "a.zip").write_bytes(small("0.2.0"))
    assert box("0.1.0").take_file(tmp_path / "a.zip") == "0.2.0"
    (tmp_path / "a.zip").write_bytes(b"x")
    with pytest.raises(BadInput, match=r"/a\.zip: it is no ZIP file"):
        box("0.1.0").take_file(tmp_path / "a.zip")
    (tmp_path / "a.zip").write_bytes(bytes(MOST_RELEASE + 1))
    with pytest.raises(BadInput, match=r"/a\.zip: it is larger than 8 MiB; wanted a release of this program\."):
        box("0.1.0").take_file(tmp_path / "a.zip")
    with pytest.raises(BadInput, match=r"/b\.zip cannot be read \(No such file or directory\); name another file\."):
        box("0.1.0").take_file(tmp_path / "b.zip")


def test_without_room_it_is_refused_before_anything_is_written(
    box: As, store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shutil.disk_usage", lambda _: Full())
    with pytest.raises(BadInput, match=r"^it needs 1 MiB free on the box, and 0 are; make room there\.$"):
        box("0.1.0").take(small("0.2.0"))
    assert folders(store) == set()


class Full:
    """What a full disk says of itself."""

    free = 0


def test_what_the_disk_did_not_take_is_not_tried(compiling: As, store: Path, tmp_path: Path) -> None:
    """By a sync that fails as it does after a write that failed."""
    tools = tmp_path / "tools"
    tools.mkdir()
    (tools / "sync").write_text('#!/bin/sh\n[ "$1 ${2##*/}" = "--file-system .0.2.0.new" ] && exit 1\n')
    (tools / "sync").chmod(0o755)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PATH", f"{tools}:{os.environ['PATH']}")
        with pytest.raises(Fault, match=r"versions cannot be written \(the disk did not take it\); make room"):
            compiling("0.1.0").take(small("0.2.0"))
    assert list(store.iterdir()) == []


def test_a_store_that_cannot_be_written_is_a_sentence_and_hinders_no_start(box: As, store: Path) -> None:
    store.parent.mkdir(parents=True)
    store.write_text("a file where the folder should be")
    with pytest.raises(
        Fault, match=r"versions cannot be written \(File exists\); make room on the box, and try again"
    ):
        box("0.1.0").take(small("0.2.0"))
    assert box("0.1.0").news() == ""
    box("0.1.0").confirm()
    assert not box("0.1.0").on_trial


def test_marks_that_the_disk_has_damaged_name_nothing(box: As, store: Path) -> None:
    box("0.1.0").take(small("0.2.0"))
    for spoilt in (b"", b"\xff\xfe\0", b"../../etc 0\n", b"0.2.0\0\0", b"x" * 100_000):
        (store / "trial").write_bytes(spoilt)
        assert not box("0.2.0").on_trial
        assert box("0.1.0").kept() == (Kept("0.1.0", "runs"),)
