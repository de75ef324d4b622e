"""The fingerings on which overtones are practised: the long ones, and the shorter ones of the detour.

All are common practice: long is low B flat to low D (low A too on a baritone that has it), short is E flat to A
above. Longer tubes give a series nearer to the pure one, so tuning is studied on them; shorter ones help people
who make no headway on the long ones.
"""

from __future__ import annotations

from dataclasses import dataclass

from airladder.faults import BadInput, did_you_mean
from airladder.music.horns import Horn
from airladder.music.names import Name, parse

_LONG = ("Bb3", "B3", "C4", "C#4", "D4")
_SHORT = ("Eb4", "E4", "F4", "F#4", "G4", "G#4", "A4")


@dataclass(frozen=True)
class Fingering:
    """What the hands do: `written` is the written pitch of its fundamental, `long` whether the tube is a long one."""

    written: Name
    long: bool

    def __str__(self) -> str:
        return str(self.written)


def fingerings_of(horn: Horn) -> dict[str, Fingering]:
    """All practice fingerings of a horn by typed name, the longest tube first."""
    lowest = [str(horn.lowest)] if str(horn.lowest) not in _LONG else []
    long = [Fingering(parse(name), True) for name in (*lowest, *_LONG)]
    short = [Fingering(parse(name), False) for name in _SHORT]
    return {str(fingering): fingering for fingering in long + short}


def fingering_named(horn: Horn, text: str) -> Fingering:
    """The fingering whose written fundamental is `text`, enharmonic names included (``A#3`` is ``Bb3``).

    Raises
    ------
    BadInput : when `text` is no note name, or no fingering on which this horn practises overtones.
    """
    known = fingerings_of(horn)
    try:
        number = parse(text).number
    except BadInput:
        raise BadInput(f"'{text}' is no fingering{did_you_mean(text, known)}") from None
    for fingering in known.values():
        if fingering.written.number == number:
            return fingering
    raise BadInput(f"'{text}' is no overtone fingering of the {horn.name}{did_you_mean(text, known)}")
