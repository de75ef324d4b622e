"""Note names in scientific pitch notation, such as ``Bb3`` or ``F#6``.

Conventions
-----------
A name is a letter, an optional accidental (``b``/``♭`` or ``#``/``♯``) and the octave; C4 is note number 60.
Typed names use ``b`` and ``#``; `pretty` gives the real signs for the player's eye.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from airladder.faults import BadInput

LETTERS = "CDEFGAB"
_SEMITONES = dict(zip(LETTERS, (0, 2, 4, 5, 7, 9, 11), strict=True))
_PATTERN = re.compile(r"([A-Ga-g])([b♭#♯]?)(-?\d{1,2})")
_ACCIDENTALS = {"": 0, "b": -1, "♭": -1, "#": 1, "♯": 1}
_FLAT_NAMES = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
_SHARP_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")


@dataclass(frozen=True)
class Name:
    """One spelled note: `letter` of "CDEFGAB", `accidental` -1, 0 or 1, `octave` of scientific pitch notation."""

    letter: str
    accidental: int
    octave: int

    @property
    def number(self) -> int:
        """The note number: 60 for C4."""
        return 12 * (self.octave + 1) + _SEMITONES[self.letter] + self.accidental

    def __str__(self) -> str:
        return f"{self.letter}{('b', '', '#')[self.accidental + 1]}{self.octave}"


def parse(text: str) -> Name:
    """The note that `text` names.

    Raises
    ------
    BadInput : when it is no note name.
    """
    match = _PATTERN.fullmatch(text.strip())
    if match is None:
        raise BadInput(f"'{text}' is no note name; wanted a letter, an accidental and an octave, like Bb3 or F#4.")
    letter, accidental, octave = match.groups()
    return Name(letter.upper(), _ACCIDENTALS[accidental], int(octave))


def spelled(number: int, *, flats: bool) -> Name:
    """The name of a note number: black keys as flats or as sharps."""
    octave, step = divmod(number, 12)
    return parse(f"{(_FLAT_NAMES if flats else _SHARP_NAMES)[step]}{octave - 1}")


def pretty(name: Name | str) -> str:
    """The name as a player reads it: ``Bb3`` becomes ``B♭3``."""
    text = str(name)
    return text[0] + text[1:].replace("b", "♭").replace("#", "♯")


def lettered(steps: int, number: int, *, flats: bool) -> Name:
    """The name of a note number on a chosen letter, where players read that with pleasure.

    Parameters
    ----------
    steps : the letter, counted from C of octave 0: 7 times the octave and 0 to 6
    number : the note number
    flats : how a black key is called when the letter would need E sharp, C flat or a double accidental
    """
    octave, letter = divmod(steps, 7)
    natural = Name(LETTERS[letter], 0, octave)
    accidental = number - natural.number
    unread = (("E", 1), ("B", 1), ("C", -1), ("F", -1))
    if abs(accidental) > 1 or (natural.letter, accidental) in unread:
        return spelled(number, flats=flats)
    return Name(natural.letter, accidental, octave)
