"""What a board has said before its power was cut, and what must be on the disk therefore."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from typing import Any

from airladder.practice.attempt import Attempt

PREFIX = "cut: "


def as_told(attempt: Attempt) -> str:
    """All values of a try, in one way for the one that was given and the one that is read back."""
    return json.dumps(asdict(attempt), default=_plain, sort_keys=True)


def _plain(value: Any) -> object:
    return value.value if hasattr(value, "value") else float(value)


@dataclass
class Claims:
    """All that was said on all boards that had the same disk.

    Attributes
    ----------
    given : by the A4 of each practice: its tries in order, with all values, as they were handed to the journal
    floor : by the A4 of each practice: so many of its tries were told as kept, or were seen on the disk
    saved, saving : the A4 that was told to be in the settings, and that which was on its way; None before
    doing : what the board was doing last, by kind
    starts : what the program found at each start
    days : how many tries the program counted in the log at each start
    troubles : every trouble that was told
    practices : the numbers of those that were begun
    """

    given: dict[float, list[str]] = field(default_factory=lambda: defaultdict(list))
    floor: dict[float, int] = field(default_factory=lambda: defaultdict(int))
    saved: float | None = None
    saving: float | None = None
    doing: dict[str, str] = field(default_factory=dict)
    starts: list[dict[str, Any]] = field(default_factory=list)
    days: list[int] = field(default_factory=list)
    troubles: list[str] = field(default_factory=list)
    practices: list[int] = field(default_factory=list)

    @property
    def told(self) -> int:
        """How many tries must be there."""
        return sum(self.floor.values())

    @property
    def all_given(self) -> int:
        """How many tries may be there."""
        return sum(map(len, self.given.values()))

    @property
    def next_practice(self) -> int:
        """The number of a practice that was never begun."""
        return 1 + max(self.practices, default=-1)

    def hear(self, lines: Iterable[str]) -> None:
        """Take what a board said, until it said no more. A line that was cut off was not said."""
        for line in lines:
            if line.startswith(PREFIX):
                try:
                    said = json.loads(line.removeprefix(PREFIX))
                except json.JSONDecodeError:
                    continue
                self._take(said)

    def _take(self, said: dict[str, Any]) -> None:
        match said.pop("said"):
            case "given":
                self.given[said["practice"]].append(said["tried"])
            case "kept":
                self.floor[said["practice"]] = max(self.floor[said["practice"]], said["number"])
            case "saving":
                self.saving = said["a4"]
            case "saved":
                self.saved, self.saving = said["a4"], None
            case "start":
                self.starts.append(said)
            case "days":
                self.days.append(said["tries"])
            case "trouble":
                self.troubles.append(said["sentence"])
            case "refused":
                self.troubles.append(said["sentence"])
                self.doing.pop("release", None)
                self.doing.pop("drive", None)
            case "no data":
                self.doing = {"start": "without a data partition"}
            case "mounted":
                self.doing["start"] = "loading the program"
            case "practice":
                self.practices.append(said["number"])
                self.doing.pop("start", None)
                self.doing["practice"] = "practising"
            case "practised":
                self.troubles += said["faults"]
            case "taking":
                self.doing["release"] = "taking a release"
            case "taken":
                self.doing.pop("release", None)
            case "building":
                self.doing["drive"] = "building the drive"
            case "built":
                self.doing.pop("drive", None)
