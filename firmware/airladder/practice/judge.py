"""Judging one try: honest, kind, and separate results; nothing is averaged into a score."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from itertools import groupby

from airladder.hearing.events import Tone
from airladder.practice.ask import Ask, Task

SPLIT_SHARE = 0.3
"""A tone that was split for more of its time than this is called split: shorter splits are on the way."""

PASSING_SECONDS = 0.05
"""In a slur, what sounds for less than this between two partials is the way from one to the other."""


class Outcome(Enum):
    """What became of a try; the value is its name in the log."""

    SPOKE = "spoke"
    """What was wanted sounded, and nothing else on the way."""
    CRACKED = "cracked"
    """What was wanted sounded in the end, others on the way."""
    SPLIT = "split"
    """More than one partial sounded at once."""
    OTHER = "other"
    """Another partial sounded."""
    NOTHING = "nothing"
    """No partial stood, or nothing sounded."""
    RESTARTED = "restarted"
    """All partials of a slur sounded, but one of them with a new start."""


ARRIVED = frozenset({Outcome.SPOKE, Outcome.CRACKED})
"""The outcomes after which the practice goes on to the next thing: what was wanted was reached."""


def judged(ask: Ask, tones: Sequence[Tone]) -> Outcome:
    """What became of a try that sounded as `tones`: one, or the pieces of a slur in order."""
    whole = joined(tones)
    if whole.split > SPLIT_SHARE:
        return Outcome.SPLIT
    if ask.task is Task.SLUR and steps(whole):  # the end of a slur may fail after its beginning stood
        return _slurred(ask.partials, whole, len(tones))
    if whole.partial is None:
        return Outcome.NOTHING
    if ask.task is Task.SLUR:  # a bump on its way reached nothing, not even its last partial
        return Outcome.OTHER
    if whole.partial != ask.wanted:
        return Outcome.OTHER
    return Outcome.CRACKED if others((whole.partial,), whole) else Outcome.SPOKE


def joined(tones: Sequence[Tone]) -> Tone:
    """The pieces of one try as one tone: it begins as the first did, and ends on what the last one ended on."""
    first, last = tones[0], tones[-1]
    if first is last:
        return first
    seconds = sum(tone.end - tone.start for tone in tones)
    return replace(
        last,
        start=first.start,
        attack=first.attack,
        speak_ms=first.speak_ms,
        push_db=first.push_db,
        path=tuple(part for tone in tones for part in tone.path),
        split=sum(tone.split * (tone.end - tone.start) for tone in tones) / seconds,
    )


def steps(tone: Tone) -> tuple[int, ...]:
    """The partials that stood one after another in a slur."""
    stood = [partial for partial, seconds in tone.path if partial is not None and seconds >= PASSING_SECONDS]
    return tuple(partial for partial, _ in groupby(stood))


def others(wanted: Sequence[int], tone: Tone) -> tuple[int, ...]:
    """The partials that sounded besides the wanted ones, each once."""
    return tuple(dict.fromkeys(partial for partial, _ in tone.path if partial is not None and partial not in wanted))


def _slurred(wanted: tuple[int, ...], tone: Tone, pieces: int) -> Outcome:
    stood = steps(tone)
    if not _in_order(wanted, stood) or tone.partial != wanted[-1]:
        return Outcome.OTHER
    if pieces > 1:
        return Outcome.RESTARTED
    return Outcome.SPOKE if stood == wanted else Outcome.CRACKED


def _in_order(wanted: Sequence[int], stood: Sequence[int]) -> bool:
    """Whether `wanted` stood in this order, others between them allowed."""
    rest = iter(stood)
    return all(partial in rest for partial in wanted)


def may_go_on(ask: Ask, tones: Sequence[Tone]) -> bool:
    """Whether a slur that sounded as `tones` so far is on its way: its first partials stood, the last one not yet."""
    stood = steps(joined(tones))
    return ask.task is Task.SLUR and 0 < len(stood) < len(ask.partials) and stood == ask.partials[: len(stood)]


@dataclass(frozen=True)
class Voice:
    """What was sung for a partial: `hz`, `cents` from the nearest octave of its tempered note, `spread_cents`."""

    hz: float
    cents: float
    spread_cents: float
