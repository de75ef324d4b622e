"""The parts of the Ear, each by itself, on readings and envelopes made by hand."""

from __future__ import annotations

import numpy as np
import pytest

from airladder.hearing.block import HOP_SECONDS
from airladder.hearing.events import Reading
from airladder.hearing.notes import NoteUnderWay
from airladder.hearing.stretches import spread


def told(*stretches: tuple[int | None, float]) -> NoteUnderWay:
    """A note of readings: partial and seconds, one after the other."""
    note, t = NoteUnderWay(began=0.0), 0.0
    for partial, seconds in stretches:
        for _ in range(round(seconds / HOP_SECONDS)):
            t += HOP_SECONDS
            note.add(Reading(t, 140.0 * (partial or 1.5), partial, 5.0 if partial else None, -20.0, 0.99))
    return note


@pytest.mark.parametrize(
    ("stretches", "partial", "path"),
    [
        ([(3, 1.0)], 3, [3]),
        ([(2, 0.1), (3, 1.0)], 3, [2, 3]),
        ([(3, 1.0), (1, 0.06)], 3, [3]),  # the end of the breath
        ([(3, 2.0), (2, 0.2)], 3, [3]),  # less than 15 per cent of the note
        ([(3, 1.0), (2, 0.6)], 2, [3, 2]),
        ([(2, 0.02), (3, 1.0)], 3, [3]),  # the tracker changing its mind
        ([(3, 0.5), (None, 0.04), (3, 0.5)], 3, [3]),  # a blink
        ([(None, 0.2), (3, 1.0)], 3, [None, 3]),
        ([(None, 1.0)], None, [None]),
        ([(2, 0.05), (3, 0.05)], None, [2, 3]),  # nothing stood
    ],
)
def test_the_final_partial_is_the_last_that_stood(
    stretches: list[tuple[int | None, float]], partial: int | None, path: list[int | None]
) -> None:
    tone = told(*stretches).ended(10.0)
    assert tone.partial == partial
    assert [sounded for sounded, _ in tone.path] == path


def test_the_spread_holds_the_middle_four_fifths() -> None:
    assert spread(np.arange(11.0)) == 4.0
    assert spread(np.array([7.0])) == 0.0
