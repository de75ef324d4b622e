"""The launcher, run by the real sh: whatever lies on the data partition, something starts."""

from __future__ import annotations

import itertools
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

START = Path(__file__).parents[3] / "firmware" / "system" / "start"
PYTHON = """#!/bin/sh
echo "${PYTHONPATH##*/} $PYTHONDONTWRITEBYTECODE $PYTHONSAFEPATH $*"
"""


@dataclass(frozen=True)
class Board:
    """A board in a folder, with a python that says which version it was given."""

    top: Path
    path: str = "/usr/bin:/bin"

    @property
    def store(self) -> Path:
        """The versions on the data partition."""
        return self.top / "versions"

    def has(self, *versions: str) -> None:
        """Put versions there."""
        for version in versions:
            (self.store / version / "airladder").mkdir(parents=True)
            (self.store / version / "airladder" / "__main__.py").touch()

    def mark(self, **marks: str) -> None:
        """Write marks beside them."""
        self.store.mkdir(exist_ok=True)
        for name, text in marks.items():
            (self.store / name).write_text(text)

    def marks(self) -> dict[str, str]:
        """What the marks say."""
        return {path.name: path.read_text() for path in self.store.iterdir() if path.is_file()}

    def start(self, *words: str) -> str:
        """What python was told; nothing may be said beside it."""
        done = subprocess.run(
            ["sh", str(START), *words],
            env={
                "PATH": self.path,
                "AIRLADDER_BASE": str(self.top / "base"),
                "AIRLADDER_PYTHON": str(self.top / "python"),
                "AIRLADDER_VERSIONS": str(self.store),
                "RUNTIME_DIRECTORY": str(self.top / "run"),
            },
            capture_output=True,
            text=True,
            check=True,
        )
        assert done.stderr == ""
        return done.stdout.strip()

    def started(self) -> str:
        """The version alone."""
        return self.start().split()[0]


def board_in(top: Path) -> Board:
    """A board in the folder `top`, with nothing on its data partition."""
    (top / "run").mkdir()
    (top / "python").write_text(PYTHON)
    (top / "python").chmod(0o755)
    return Board(top)


@pytest.fixture
def board(tmp_path: Path) -> Board:
    """With nothing on its data partition."""
    return board_in(tmp_path)


def test_without_a_data_partition_the_base_runs(board: Board) -> None:
    assert board.start("--settings", "a b") == "base 1 1 -m airladder box --settings a b"


def test_the_current_version_runs(board: Board) -> None:
    board.has("0.2.0")
    board.mark(current="0.2.0\n", before="base\n")
    assert board.started() == "0.2.0"
    assert board.marks() == {"current": "0.2.0\n", "before": "base\n"}


def test_a_version_on_trial_is_started_three_times_and_then_set_aside(board: Board) -> None:
    board.has("0.1.5", "0.2.0")
    board.mark(current="0.1.5\n", trial="0.2.0 0\n")
    counted = []
    for _ in range(3):
        assert board.started() == "0.2.0"
        counted.append(board.marks()["trial"])
    assert counted == ["0.2.0 1\n", "0.2.0 2\n", "0.2.0 3\n"]
    assert board.started() == "0.1.5"
    assert board.marks() == {"current": "0.1.5\n", "refused": "0.2.0 3\n"}
    assert board.started() == "0.1.5"


def test_without_a_current_version_the_base_runs_again(board: Board) -> None:
    board.has("0.2.0")
    board.mark(trial="0.2.0 3\n")
    assert board.started() == "base"
    assert board.marks() == {"refused": "0.2.0 3\n"}


def test_a_start_is_counted_on_the_disk_before_it(board: Board, tmp_path: Path) -> None:
    """The order of what the launcher calls, by programs that write down their names."""
    calls = tmp_path / "calls"
    tools = tmp_path / "tools"
    tools.mkdir()
    for tool in ("sync", "mv"):
        (tools / tool).write_text(
            f'#!/bin/sh\necho "{tool} ${{1##*/}} ${{2##*/}}" >>{calls}\nexec /bin/{tool} "$@"\n'
        )
        (tools / tool).chmod(0o755)
    (tmp_path / "python").write_text(f"{PYTHON}\necho python >>{calls}\n")
    counting = Board(board.top, f"{tools}:/usr/bin:/bin")
    counting.has("0.2.0")
    counting.mark(trial="0.2.0 0\n")
    assert counting.started() == "0.2.0"
    said = [line.split() for line in calls.read_text().splitlines()]
    assert said == [["sync", ".trial.new"], ["mv", "-f", ".trial.new"], ["sync", "versions"], ["python"]]
    calls.unlink()
    counting.mark(trial="0.2.0 3\n")
    assert counting.started() == "base"
    assert [line.split()[0] for line in calls.read_text().splitlines()] == ["mv", "sync", "python"]
    calls.unlink()
    assert counting.started() == "base"
    assert calls.read_text() == "python\n"  # nothing on trial: no other program is run


def test_a_start_that_cannot_be_counted_is_none(board: Board, tmp_path: Path) -> None:
    """A full or read-only disk: whoever tests as root may write everywhere, so the tools fail instead."""
    for failing in ("sync", "mv"):
        tools = tmp_path / f"no {failing}"
        tools.mkdir()
        (tools / failing).write_text("#!/bin/sh\nexit 1\n")
        (tools / failing).chmod(0o755)
        full = Board(board.top, f"{tools}:/usr/bin:/bin")
        shutil.rmtree(board.store, ignore_errors=True)
        full.has("0.1.5", "0.2.0")
        full.mark(current="0.1.5\n", trial="0.2.0 0\n")
        assert full.started() == "0.1.5"
        assert full.marks()["trial"].startswith("0.2.0 0")
        full.mark(trial="0.2.0 3\n")
        assert full.started() == "0.1.5"


def test_a_mark_that_cannot_be_written_is_none(board: Board) -> None:
    board.has("0.2.0")
    board.mark(trial="0.2.0 0\n")
    (board.store / ".trial.new").mkdir()
    assert board.started() == "base"
    assert board.marks() == {"trial": "0.2.0 0\n"}


@pytest.mark.parametrize(
    "mark", ["", "\n", "0.2.0", "0.9.9 0\n", "0.2.0 x\n", "0.2.0 -1\n", "0.2.0 08\n", "../0.2.0 0\n"]
)
def test_a_trial_that_names_nothing_or_was_not_counted_is_set_aside(board: Board, mark: str) -> None:
    board.has("0.2.0")
    board.mark(trial=mark)
    assert board.started() == "base"
    assert board.marks() == {"refused": mark}


@pytest.mark.parametrize(
    "mark", ["", "\n", "0.9.9\n", "..\n", "/etc\n", "base\n", "-n\n", "*\n", "0.2.0/airladder\n"]
)
def test_a_current_version_that_is_none_is_the_base(board: Board, mark: str) -> None:
    board.has("0.2.0")
    board.mark(current=mark)
    assert board.started() == "base"


def test_a_current_version_without_its_files_is_the_one_before(board: Board) -> None:
    board.has("0.1.5", "0.2.0")
    board.mark(current="0.2.0\n", before="0.1.5\n")
    (board.store / "0.2.0" / "airladder" / "__main__.py").unlink()
    assert board.started() == "0.1.5"


def test_versions_that_do_not_come_up_take_turns_with_the_base(board: Board) -> None:
    board.has("0.1.5", "0.2.0")
    board.mark(current="0.2.0\n", before="0.1.5\n")
    assert [board.started() for _ in range(20)] == [*["0.2.0"] * 5, *["0.1.5"] * 5, *["base"] * 5, *["0.2.0"] * 5]
    (board.top / "run" / "starts").unlink()  # as one that came up does
    assert board.started() == "0.2.0"


@pytest.mark.parametrize("number", ["", "x", "08", "123456789", "-3", "1 2"])
def test_starts_that_nobody_can_count_begin_anew(board: Board, number: str) -> None:
    board.has("0.2.0")
    board.mark(current="0.2.0\n")
    (board.top / "run" / "starts").write_text(number)
    assert board.started() == "0.2.0"
    assert (board.top / "run" / "starts").read_text() == "1\n"


def test_without_a_runtime_folder_it_starts_too(board: Board) -> None:
    board.has("0.2.0")
    board.mark(current="0.2.0\n")
    (board.top / "run").rmdir()
    assert board.started() == "0.2.0"


def test_folders_in_the_place_of_marks_are_passed_over(board: Board) -> None:
    board.has("0.2.0")
    for mark in ("trial", "current", "before", "refused"):
        (board.store / mark).mkdir()
    assert board.started() == "base"


numbers = itertools.count()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.dictionaries(st.sampled_from(["trial", "current", "before", "refused"]), st.binary(max_size=20)))
def test_whatever_the_marks_hold_something_starts(tmp_path: Path, marks: dict[str, bytes]) -> None:
    top = tmp_path / str(next(numbers))
    top.mkdir()
    board = board_in(top)
    board.has("0.2.0")
    for name, content in marks.items():
        (board.store / name).write_bytes(content)
    assert board.started() in ("base", "0.2.0")
