"""Power cuts and full disks: after any step of an update the launcher starts a version that is whole.

Every change of the disk that Python asks for is a step here: a file begun, renamed, removed, a folder made. A cut is
a copy of the data partition as it is before a step. What a real disk does between a write and its flush is looked at
on the virtual board (tests/board), not here.
"""

from __future__ import annotations

import errno
import shutil
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from airladder.appliance.versions import Versions
from airladder.faults import Fault
from unit.appliance.smallreleases import small
from unit.appliance.test_start import START

STEPS = ("open", "mkdir", "replace", "rename", "unlink")
"""The methods of `Path` that change a disk; `shutil.rmtree` is a further step."""


@contextmanager
def watched(before: Callable[[str], None]) -> Iterator[None]:
    """Calls `before` before every step of the block."""
    with pytest.MonkeyPatch.context() as patch:
        for name in STEPS:
            patch.setattr(Path, name, _told(before, name, getattr(Path, name)))
        patch.setattr(shutil, "rmtree", _told(before, "rmtree", shutil.rmtree))
        patch.setattr("airladder.appliance.unpacking._flush_all", _told(before, "sync", lambda folder: None))
        yield


def _told(before: Callable[[str], None], name: str, do: Any) -> Any:
    def step(path: Path, *words: Any, **more: Any) -> Any:
        writes = name != "open" or (words and words[0] in ("xb", "wb"))
        if writes and "versions" in str(path):
            before(f"{name} {path.name}")
        return do(path, *words, **more)

    return step


def with_two(store: Path) -> Path:
    """A store with a current version and one before, as after two updates."""
    log = store.with_name("log.sqlite")
    Versions(store, log, running="0.1.0").take(small("0.2.0"))
    Versions(store, log, running="0.2.0").confirm()
    Versions(store, log, running="0.2.0").take(small("0.3.0"))
    Versions(store, log, running="0.3.0").confirm()
    Versions(store, log, running="0.3.0").news()
    return store


def starts(store: Path, base: Path) -> str:
    """What the launcher starts, by a python that runs it for real."""
    base.mkdir(exist_ok=True)
    for name, text in {"__init__.py": '__version__ = "base"\n', "__main__.py": "print('ran base')\n"}.items():
        (base / "airladder").mkdir(exist_ok=True)
        (base / "airladder" / name).write_text(text)
    paths = {"AIRLADDER_BASE": str(base), "AIRLADDER_PYTHON": "/usr/bin/python3", "AIRLADDER_VERSIONS": str(store)}
    done = subprocess.run(
        ["sh", str(START)], env={"PATH": "/usr/bin:/bin", **paths}, capture_output=True, text=True, check=True
    )
    assert done.stderr == ""
    return done.stdout.split()[1]


def update(store: Path) -> None:
    """Take 0.4.0 over 0.3.0, or go on where it was cut off."""
    Versions(store, store.with_name("log.sqlite"), running="0.3.0").take(small("0.4.0"))


def come_up(store: Path) -> None:
    """The version on trial is confirmed, and told."""
    new = Versions(store, store.with_name("log.sqlite"), running="0.4.0")
    new.confirm()
    new.news()


@pytest.fixture(autouse=True)
def _quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is compiled: that takes longer than all else, and a version without compiled code runs too."""
    monkeypatch.setattr("airladder.appliance.unpacking._compile", lambda folder, final: None)


def copied(store: Path, to: Path) -> Path:
    """Copied by another program: ours are watched."""
    subprocess.run(["mkdir", "-p", str(to)], check=True)
    subprocess.run(["cp", "-a", str(store), str(to)], check=True)
    return to / store.name


def cuts_of(step: Callable[[Path], None], tmp_path: Path) -> tuple[Path, list[tuple[str, Path]]]:
    """The store after a step, and copies of it from before each of its own steps, with what came next."""
    store = with_two(tmp_path / "data" / "versions")
    if step is come_up:
        update(store)
    cuts: list[tuple[str, Path]] = []

    def cut(what: str) -> None:
        cuts.append((what, copied(store, tmp_path / f"cut {len(cuts)}")))

    with watched(cut):
        step(store)
    return store, cuts


@pytest.mark.parametrize(("step", "first", "last"), [(update, "0.3.0", "0.4.0"), (come_up, "0.4.0", "0.4.0")])
def test_a_cut_before_any_step_leaves_a_box_that_starts_and_can_do_it_again(
    tmp_path: Path, step: Callable[[Path], None], first: str, last: str
) -> None:
    store, cuts = cuts_of(step, tmp_path)
    found = []
    for what, each in cuts:
        found.append((what, starts(each, tmp_path / "base")))
        step(each)
        left = {path.name for path in each.iterdir() if path.is_dir() or not path.name.startswith(".")}
        assert left == {path.name for path in store.iterdir()}, what
    assert len(cuts) > 5
    assert {version for _, version in found} <= {first, last}, found
    assert found[0][1] == first
    assert starts(store, tmp_path / "base") == last


def test_a_disk_that_is_full_at_any_step_is_a_sentence_and_something_whole_runs(tmp_path: Path) -> None:
    whole = with_two(tmp_path / "data" / "versions")
    found = []
    steps: list[str] = []
    with watched(steps.append):
        update(copied(whole, tmp_path / "counted"))
    for number, step in enumerate(steps):
        if step.startswith(("unlink", "rmtree")):
            continue  # they need no room
        store = copied(whole, tmp_path / str(number))
        left = iter(range(number + 1))

        def full(what: str, left: Iterator[int] = left, number: int = number) -> None:
            if next(left, None) == number:
                raise OSError(errno.ENOSPC, "No space left on device")

        said = ""
        try:
            with watched(full):
                update(store)
        except Fault as fault:
            said = str(fault)
        found.append((step, starts(store, tmp_path / "base"), said.partition(" cannot ")[2]))
    sentence = "be written (No space left on device); make room on the box, and try again."
    refused, taken = found[:-3], found[-3:]
    assert [step for step, _, _ in taken] == ["mkdir versions", "open .taken.new", "replace .taken.new"]
    assert {each[1:] for each in refused} == {("0.3.0", sentence)}, found
    assert {each[1:] for each in taken} == {("0.4.0", "")}
