"""What the box says of itself beside the log."""

from __future__ import annotations

from pathlib import Path

from airladder.appliance.telling import WELL, Telling, told
from airladder.devices.notify import Notifier


class Status(Notifier):
    """Keeps what would be shown."""

    def __init__(self) -> None:
        super().__init__({})
        self.said: list[str] = []

    def status(self, sentence: str) -> None:
        """Kept."""
        self.said.append(sentence)


def test_it_is_written_when_it_says_something_else_and_the_drive_is_made_anew(tmp_path: Path) -> None:
    troubles: dict[str, str] = {}
    stuck: list[str] = []
    changed: list[int] = []
    status, path = Status(), tmp_path / "box.txt"
    tell = Telling(path, "0.1.0", lambda: troubles, lambda: tuple(stuck), status, lambda: changed.append(1))
    tell()
    tell()
    assert (WELL in path.read_text(), len(changed), status.said) == (True, 1, [WELL])
    troubles["screen"] = "There is no screen."
    tell()
    assert "- There is no screen.\n" in path.read_text()
    assert WELL not in path.read_text()
    stuck.append("display")
    tell()
    assert "waits for its display in vain" in path.read_text()
    assert len(changed) == 3


def test_the_same_text_after_a_new_start_builds_no_drive(tmp_path: Path) -> None:
    path = tmp_path / "box.txt"
    path.write_text(told("0.1.0", {}, ()))
    changed: list[int] = []
    Telling(path, "0.1.0", dict, lambda: (), Status(), lambda: changed.append(1))()
    assert changed == []


def test_where_nothing_can_be_written_the_rest_goes_on(tmp_path: Path) -> None:
    status = Status()
    Telling(tmp_path / "none" / "box.txt", "0.1.0", lambda: {"a": "A."}, lambda: (), status, lambda: None)()
    assert status.said == ["A."]
