"""How calm the number is on recorded saxophones, heard by the real Ear.

Long tones of 4 s, played with vibrato as they are: low B flat on four horns, partials 1 to 6 as far as the samples
reach (fluid-soundfont-gm, see `saxophones`). Counted is how often a second the whole cents on the screen change, at
every hop of the Ear and from picture to picture. Seen (`python tests/unit/pages/test_calm_recorded.py`):

| horn     | heard, each hop | heard, each picture | calmed, each hop | calmed, each picture |
|----------|-----------------|---------------------|------------------|----------------------|
| soprano  | 119.8           | 14.2                | 7.8              | 3.0                  |
| alto     | 150.5           | 14.7                | 7.0              | 2.2                  |
| tenor    | 68.1            | 12.9                | 6.5              | 4.2                  |
| baritone | 73.1            | 12.5                | 9.6              | 4.6                  |

A mean with one time constant of 0.12 s, as quick to arrive, left 12.3, 14.0, 9.9 and 9.7 a second, each picture.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import pytest

from airladder.hearing.events import Reading
from airladder.music.fingerings import fingerings_of
from airladder.music.horns import HORNS, Horn
from airladder.music.series import SEMITONES, Series
from airladder.pages.calm import Calm
from airladder.panel.words import signed
from listening import heard, readings
from saxophones import Played, reach, render_many

PICTURES_A_SECOND = 15
"""The display shows no more (`app/showing`): changes between two pictures are seen by nobody."""


def long_tones(horn: Horn) -> list[list[Reading]]:
    series = Series(horn, fingerings_of(horn)["Bb3"])
    numbers = [series.fundamental_number + SEMITONES[n] for n in range(6)]
    played = [Played(horn, number, seconds=4.0) for number in numbers if number in reach(horn)]
    return [readings(heard(samples, series)) for samples in render_many(played)]


def calmed(sounded: Sequence[Reading]) -> list[Reading]:
    calm, shown = Calm(), []
    for one in sounded:
        calm = calm.fed(one)
        assert calm.shown is not None
        shown.append(calm.shown)
    return shown


def changes_a_second(shown: Sequence[Reading], *, seen: bool) -> float:
    """How often the whole number changes: at every hop, or from picture to picture."""
    if seen:
        step = 1.0 / PICTURES_A_SECOND
        shown = [one for before, one in pairwise(shown) if int(one.t / step) != int(before.t / step)]
    changes = sum(signed(one.cents) != signed(before.cents) for before, one in pairwise(shown))
    return changes / (shown[-1].t - shown[0].t)


def rates(horn: Horn) -> dict[str, float]:
    """Mean over the long tones of a horn."""
    tones = long_tones(horn)
    found = {}
    for name, shown in (("heard", tones), ("calmed", [calmed(tone) for tone in tones])):
        for seen in (False, True):
            each = [changes_a_second(tone, seen=seen) for tone in shown]
            found[f"{name}, {'seen' if seen else 'each hop'}"] = sum(each) / len(each)
    return found


@pytest.mark.parametrize("horn", HORNS.values(), ids=lambda horn: horn.name)
def test_the_number_is_calmer_than_what_is_heard(horn: Horn) -> None:
    found = rates(horn)
    assert found["calmed, each hop"] <= 0.15 * found["heard, each hop"]
    assert found["calmed, seen"] <= 0.4 * found["heard, seen"]


if __name__ == "__main__":
    for horn in HORNS.values():
        print(horn.name, {name: round(rate, 1) for name, rate in rates(horn).items()})  # noqa: T201
