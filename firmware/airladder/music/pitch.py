"""Pitch: Hz, cents and the numbers of the tempered notes.

Conventions
-----------
Frequencies are in Hz and greater than 0. A note number is a float: 69 is A4, 60 is C4, one unit is a tempered
semitone (MIDI Tuning Standard). A4 is 440 Hz unless said otherwise (ISO 16:1975). A cent is 1/1200 of an
octave (A. J. Ellis, appendix to Helmholtz, On the Sensations of Tone, 1885).
"""

from __future__ import annotations

import math

from airladder.faults import BadInput

A4_HZ = 440.0
"""Standard tuning frequency in Hz (ISO 16:1975)."""

A4_LOWEST_HZ, A4_HIGHEST_HZ = 430.0, 450.0
"""The range in which players may set A4, in Hz (common practice: bands tune to 438-446)."""

A4_NOTE = 69
"""Note number of A4 (MIDI Tuning Standard)."""


def cents(hz: float, reference_hz: float) -> float:
    """The interval from `reference_hz` up to `hz` in cents; negative when `hz` is the lower (Ellis 1885)."""
    return 1200.0 * math.log2(hz / reference_hz)


def octave_folded_cents(hz: float, target_hz: float) -> float:
    """The cents from the octave of `target_hz` nearest to `hz` up to `hz`: -600 or more, less than 600."""
    folded = math.remainder(cents(hz, target_hz), 1200.0)
    return -folded if folded == 600.0 else folded


def raised(hz: float, by_cents: float) -> float:
    """The frequency in Hz that lies `by_cents` above `hz`."""
    return hz * math.exp2(by_cents / 1200.0)


def note_hz(number: float, a4_hz: float = A4_HZ) -> float:
    """The frequency in Hz of a tempered note number (MIDI Tuning Standard)."""
    return a4_hz * math.exp2((number - A4_NOTE) / 12.0)


def note_number(hz: float, a4_hz: float = A4_HZ) -> float:
    """The (fractional) tempered note number of a frequency: the inverse of `note_hz`."""
    return A4_NOTE + 12.0 * math.log2(hz / a4_hz)


def checked_a4(hz: float) -> float:
    """`hz` itself when A4 may be tuned so.

    Raises
    ------
    BadInput : when it lies outside 430-450 Hz, or is not a number.
    """
    if not A4_LOWEST_HZ <= hz <= A4_HIGHEST_HZ:
        raise BadInput(
            f"A4 of {hz:g} Hz was asked for; wanted {A4_LOWEST_HZ:g} to {A4_HIGHEST_HZ:g}; the standard is 440."
        )
    return hz
