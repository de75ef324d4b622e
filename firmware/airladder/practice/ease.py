"""Watches over ease: pushing, failing again and again, loudness and length; offers something kinder, orders nothing.

A level that jumps before the note speaks, or that lies far above the player's own relaxed one, is the audible sign
of pushing (common practice of teachers). The microphone is no sound-level meter, so "loud" is always loud for this
player and this place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import islice
from statistics import median

from airladder.faults import BadInput
from airladder.practice.ask import Task
from airladder.practice.attempt import Attempt
from airladder.practice.judge import Outcome


class Why(Enum):
    """Why something kinder is offered."""

    PUSHED = "pushed"
    FAILING = "failing"
    LOUD = "loud"
    LONG = "long"


@dataclass(frozen=True)
class Limits:
    """Where an offer is made; all of it can be set.

    Attributes
    ----------
    relaxed_dbfs : the player's own relaxed level on other days, dBFS; None when it is not known yet
    over_db : so far above the relaxed level a note is loud
    push_db : `Tone.push_db` from here on is a push
    in_a_row : so many failing, or so many pushed tries in a row
    loud_minutes : of sounding loudly, in one session
    minutes : of one session in all
    """

    relaxed_dbfs: float | None = None
    over_db: float = 9.0
    push_db: float = -3.0
    in_a_row: int = 5
    loud_minutes: float = 5.0
    minutes: float = 25.0

    def __post_init__(self) -> None:
        faults = [
            f"{name} is {getattr(self, name)!r}; wanted {low:g} to {high:g}."
            for name, (low, high) in _BOUNDS.items()
            if not (name == "relaxed_dbfs" and self.relaxed_dbfs is None)
            and not _is_within(getattr(self, name), low, high)
        ]
        if not isinstance(self.in_a_row, int):
            faults.append(f"in_a_row is {self.in_a_row!r}; wanted a whole number.")
        if faults:
            raise BadInput(" ".join(faults))


def _is_within(value: object, low: float, high: float) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high


_BOUNDS = {
    "relaxed_dbfs": (-100.0, 0.0),
    "over_db": (3.0, 40.0),
    "push_db": (-30.0, 20.0),
    "in_a_row": (2, 50),
    "loud_minutes": (0.5, 60.0),
    "minutes": (3.0, 120.0),
}


@dataclass(frozen=True)
class Made:
    """An offer that was made: why, and after how many tries of the session."""

    why: Why
    after: int


@dataclass(frozen=True)
class Offer:
    """Something kinder.

    Attributes
    ----------
    why : the reason
    sentence : what the player reads, at most 75 characters
    easier : a partial that is easier for the moment: one below that went well, or the fundamental
    ends : whether to end is what is offered, instead of a rest
    """

    why: Why
    sentence: str
    easier: int = 1
    ends: bool = False


_OWN_TRIES = 5  # so many tries that spoke tell a relaxed level, where other days do not
_SENTENCES = {
    Why.PUSHED: "That sounds like a push. A rest, or the low note, softly and free?",
    Why.FAILING: "It will not come just now, and need not. A rest, or an easier one?",
    Why.LOUD: "That was loud for a while. Rest your ears; softer goes further.",
    Why.LONG: "That is plenty for one day. Tomorrow gives more than another hour.",
}


def offer(attempts: Sequence[Attempt], seconds: float, made: Sequence[Made], limits: Limits) -> Offer | None:
    """What to offer after the newest try; None when all is well.

    Parameters
    ----------
    attempts : those of the session so far, in order
    seconds : how long the session has lasted
    made : the offers made so far in this session
    limits : where offers are made

    Returns
    -------
    The first that is due of: enough for the day, a rest of the ears (each once a session), less push, something
    easier (neither before `in_a_row` tries after the last offer of any kind).
    """
    if not attempts:
        return None
    told = [one.why for one in made]
    newest = _since_the_last(attempts, made, limits.in_a_row)
    relaxed = _surely_relaxed_dbfs(attempts, limits)
    if Why.LONG not in told and seconds >= 60.0 * limits.minutes:
        return Offer(Why.LONG, _SENTENCES[Why.LONG], _easier(attempts), ends=True)
    if Why.LOUD not in told and loud_seconds(attempts, limits) >= 60.0 * limits.loud_minutes:
        return Offer(Why.LOUD, _SENTENCES[Why.LOUD], _easier(attempts))
    if newest and all(_is_pushed(attempt, limits, relaxed) for attempt in newest):
        return Offer(Why.PUSHED, _SENTENCES[Why.PUSHED])
    if newest and not any(attempt.right for attempt in newest):
        return Offer(Why.FAILING, _SENTENCES[Why.FAILING], _easier(attempts))
    return None


def relaxed_dbfs(attempts: Sequence[Attempt], limits: Limits) -> float | None:
    """The player's relaxed level: of other days, or of the first tries of today that spoke; None without any."""
    return _todays_dbfs(attempts) if limits.relaxed_dbfs is None else limits.relaxed_dbfs


def _surely_relaxed_dbfs(attempts: Sequence[Attempt], limits: Limits) -> float | None:
    """The higher one of the two: after a turn at the microphone's gain every note would lie above other days'."""
    known = [level for level in (limits.relaxed_dbfs, _todays_dbfs(attempts)) if level is not None]
    return max(known, default=None)


def _todays_dbfs(attempts: Sequence[Attempt]) -> float | None:
    spoke = (one.tone.level_dbfs for one in attempts if one.outcome is Outcome.SPOKE and one.tone is not None)
    levels = list(islice(spoke, _OWN_TRIES))
    return median(levels) if len(levels) == _OWN_TRIES else None


def loud_seconds(attempts: Sequence[Attempt], limits: Limits) -> float:
    """For how long it was loud in this session, for this player, s."""
    relaxed = relaxed_dbfs(attempts, limits)
    if relaxed is None:
        return 0.0
    tones = [one.tone for one in attempts if one.tone is not None]
    return sum(tone.end - tone.start for tone in tones if tone.level_dbfs > relaxed + limits.over_db)


def _is_pushed(attempt: Attempt, limits: Limits, relaxed: float | None) -> bool:
    """Whether the level jumped before the note spoke, or lay far above the relaxed one."""
    tone = attempt.tone
    if tone is None:
        return False
    jumped = tone.push_db is not None and tone.push_db >= limits.push_db
    return jumped or (relaxed is not None and tone.level_dbfs > relaxed + limits.over_db)


def _since_the_last(attempts: Sequence[Attempt], made: Sequence[Made], in_a_row: int) -> Sequence[Attempt]:
    """The newest `in_a_row` tries; none where fewer were made since the last offer."""
    since = made[-1].after if made else 0
    return attempts[-in_a_row:] if len(attempts) - since >= in_a_row else ()


def _easier(attempts: Sequence[Attempt]) -> int:
    """The highest partial below the one asked for that went well today on the same tube; else the fundamental."""
    newest = attempts[-1]
    went_well = [one.wanted for one in attempts if one.right and one.wanted < newest.wanted and _is_like(one, newest)]
    return max(went_well, default=1)


def _is_like(attempt: Attempt, newest: Attempt) -> bool:
    """Whether a partial was played by itself, on the tube of the newest try."""
    if attempt.asked is None or newest.asked is None:
        return attempt.asked is newest.asked
    return attempt.asked.task is Task.PLAY and attempt.asked.fingering == newest.asked.fingering
