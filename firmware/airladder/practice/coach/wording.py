"""How the coach says things: fingerings, rungs and shares as a player would."""

from __future__ import annotations

from airladder.music.fingerings import Fingering, fingerings_of
from airladder.music.horns import HORNS
from airladder.practice.coach.history import Rung

PRACTISED: dict[str, Fingering] = fingerings_of(HORNS["baritone"])
"""All fingerings of the practice by written name, the longest tube first; the baritone has every one of them."""

_ACCIDENTALS = {-1: " flat", 0: "", 1: " sharp"}
_DENOMINATORS = (2, 3, 4, 5, 6, 8, 10)


def spoken(fingering: str) -> str:
    """A fingering as it is called: ``Bb3`` is low B flat, ``F#4`` is F sharp; an unknown one by its own name."""
    known = PRACTISED.get(fingering)
    if known is None:
        return fingering
    name = known.written.letter + _ACCIDENTALS[known.written.accidental]
    return f"low {name}" if known.long else name


def spoken_rung(rung: Rung) -> str:
    """A rung in a sentence, such as ``partial 5 on low B flat``."""
    fingering, partial = rung
    return f"partial {partial} on {spoken(fingering)}"


def about(right: int, tries: int) -> str:
    """A share of many tries in round numbers, such as ``about 1 of 6 tries``."""
    if right in (0, tries):
        return f"{'none' if right == 0 else 'all'} of {tries} tries"
    share = right / tries
    if share < 0.1 or share > 0.9:
        return f"{right} of {tries} tries"
    near, of = min(
        ((max(1, min(of - 1, round(share * of))), of) for of in _DENOMINATORS),
        key=lambda pair: abs(pair[0] / pair[1] - share) + 0.002 * pair[1],  # of two as near, the rounder
    )
    return f"about {near} of {of} tries"


def days(count: int) -> str:
    """A number of days."""
    return "1 day" if count == 1 else f"{count} days"
