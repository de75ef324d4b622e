"""The Ear where one thing is like another: the note before like a push, the beats of a split like the tongue."""

from __future__ import annotations

import numpy as np
import pytest

from additive.note import Note
from additive.voice import sound
from airladder.hearing.block import RATE, Samples
from airladder.virtualhorn.gesture import Gesture
from airladder.virtualhorn.mouth import SPLITTING
from airladder.virtualhorn.physical import play
from listening import heard, series_of, tones


def quiet(seconds: float) -> Samples:
    """Silence."""
    return np.zeros(round(seconds * RATE), np.float32)


def test_the_note_before_is_no_push_of_the_next() -> None:
    series = series_of("alto", "Bb3")
    third = sound(series, Note(3, seconds=0.8), 0)
    found = tones(heard(np.concatenate([quiet(0.6), third, quiet(0.1), third, quiet(0.5)]), series))
    assert [tone.partial for tone in found] == [3, 3]
    assert found[1].push_db is not None
    assert found[1].push_db < -20.0


@pytest.mark.parametrize(
    ("horn", "fingering", "setting"),
    [("alto", "D4", 0), ("soprano", "Bb3", 0), ("baritone", "D4", 0), ("baritone", "Bb3", 4)],
)
def test_the_beats_of_a_split_do_not_cut_its_tone(horn: str, fingering: str, setting: int) -> None:
    """On these tubes they look like a tongue that touches the reed again and again, most of all on the last."""
    series, mouth = series_of(horn, fingering), SPLITTING[setting]
    split = play(series, Gesture(mouth.partial, seconds=1.5, setting=mouth), 1).samples
    found = tones(heard(np.concatenate([quiet(0.6), split, quiet(0.5)]), series))
    assert len(found) == 1
    assert found[0].split > 0.5
