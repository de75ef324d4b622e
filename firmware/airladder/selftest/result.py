"""What a check found, and what a check is.

Conventions
-----------
Figures are what JSON can hold; their names end with the unit where they have one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

STOP_THE_SERVICE = "The service has the box's devices; end it with `sudo systemctl stop airladder` and check again."
"""To be said when something that only one program can have is taken."""


class Verdict(Enum):
    """How a check ended; the value is the word that is printed."""

    OK = "ok"
    FAILED = "failed"
    NOT_THERE = "not there"
    SKIPPED = "skipped"


@dataclass(frozen=True)
class Result:
    """What a check found.

    Attributes
    ----------
    verdict : how it ended
    says : one sentence or a few: what was found, and what to do where it failed
    figures : what was measured
    """

    verdict: Verdict
    says: str
    figures: Mapping[str, Any] = field(default_factory=dict)


def well(says: str, **figures: Any) -> Result:
    """All as it should be."""
    return Result(Verdict.OK, says, figures)


def failed(says: str, **figures: Any) -> Result:
    """Something is to be mended."""
    return Result(Verdict.FAILED, says, figures)


def not_there(says: str, **figures: Any) -> Result:
    """A part that a box may do without, or a computer that is no box."""
    return Result(Verdict.NOT_THERE, says, figures)


def skipped(says: str, **figures: Any) -> Result:
    """Left out, because somebody said so."""
    return Result(Verdict.SKIPPED, says, figures)


def missing(says: str, *, on_board: bool, **figures: Any) -> Result:
    """A part that every box has: its lack is a failure on the board, and nothing to wonder at elsewhere."""
    return (failed if on_board else not_there)(says, **figures)


def taken_by_the_service(says: str) -> str:
    """The sentence of a device that is in use, with what to do about it; any other as it is."""
    busy = ("in use", "busy", "reserved")  # ALSA's words and ours; lgpio's; gpiozero's
    return f"{says} {STOP_THE_SERVICE}" if any(word in says.casefold() for word in busy) else says


@dataclass(frozen=True)
class Check:
    """A check that can be named on the command line.

    Attributes
    ----------
    name : its word
    about : what it looks at, for the list
    run : does it; a `Fault` or an OSError that comes out of it is a failure
    by_hand : whether nothing of it can be done without a person
    exclusive : whether it needs what the service has while it runs
    """

    name: str
    about: str
    run: Callable[[], Result]
    by_hand: bool = False
    exclusive: bool = False
