"""The Ear on recorded saxophones: every long fingering, partials 1 to 8 as far as the samples reach.

The recordings are those of Debian's fluid-soundfont-gm; the pitch of each is measured by Praat's autocorrelation
(P. Boersma, Proc. Inst. Phonetic Sciences 17, 1993, 97-110), a slow method that shares nothing with the Ear.
`python tests/hearing/table.py` prints the whole table.
"""

from __future__ import annotations

import pytest

from airladder.music.fingerings import Fingering, fingerings_of
from airladder.music.horns import HORNS, Horn
from airladder.music.pitch import cents
from airladder.music.series import SEMITONES, Series
from listening import attacks, heard, readings, tones
from saxophones import START_SECONDS, Played, reach, render_many
from slowpitch import slow_pitch_hz

TUBES = [(horn, fingering) for horn in HORNS.values() for fingering in fingerings_of(horn).values() if fingering.long]
WITHIN_CENTS = 5.0


def notes_of(series: Series) -> dict[int, Played]:
    """By partial, the recorded note whose tempered pitch it is nearest to, bent to where the partial lies."""
    numbers = {n: series.fundamental_number + SEMITONES[n - 1] for n in range(1, 9)}
    return {
        n: Played(series.horn, number, bend_cents=cents(series.pure_hz(n), series.tempered_hz(n)))
        for n, number in numbers.items()
        if number in reach(series.horn)
    }


@pytest.mark.parametrize(("horn", "fingering"), TUBES, ids=str)
def test_every_partial_of_the_long_fingerings_is_heard_as_what_it_is(horn: Horn, fingering: Fingering) -> None:
    series = Series(horn, fingering)
    notes = notes_of(series)
    assert len(notes) >= 6
    for (partial, _), samples in zip(notes.items(), render_many(list(notes.values())), strict=True):
        events = heard(samples, series)
        (tone,) = tones(events)
        assert tone.partial == partial
        assert tone.cents is not None
        assert tone.cents == pytest.approx(
            cents(slow_pitch_hz(samples), series.tempered_hz(partial)), abs=WITHIN_CENTS
        )
        (attack,) = attacks(events)
        assert attack.t == pytest.approx(START_SECONDS, abs=0.04)
        assert tone.split == 0.0
        on_partial = [reading.partial == partial for reading in readings(events) if reading.partial is not None]
        assert sum(on_partial) / len(on_partial) > 0.85


@pytest.mark.parametrize("horn", HORNS.values(), ids=lambda horn: horn.name)
@pytest.mark.parametrize("velocity", [40, 120])
def test_soft_and_loud_notes_are_the_same_partials(horn: Horn, velocity: int) -> None:
    series = Series(horn, fingerings_of(horn)["Bb3"])
    played = [Played(horn, series.fundamental_number + SEMITONES[n - 1], velocity=velocity) for n in (1, 2, 3, 5)]
    found = [tones(heard(samples, series)) for samples in render_many(played)]
    assert [[tone.partial for tone in notes] for notes in found] == [[1], [2], [3], [5]]


@pytest.mark.parametrize("bend", [-40.0, -15.0, 15.0, 40.0])
def test_a_bent_note_is_off_by_what_it_was_bent(bend: float) -> None:
    horn = HORNS["tenor"]
    series = Series(horn, fingerings_of(horn)["C4"])
    number = series.fundamental_number + SEMITONES[2]
    straight, bent = render_many([Played(horn, number), Played(horn, number, bend_cents=bend)])
    (before,), (after,) = tones(heard(straight, series)), tones(heard(bent, series))
    assert before.cents is not None
    assert after.cents is not None
    assert after.cents - before.cents == pytest.approx(bend, abs=2.0)


def test_what_lies_between_two_partials_is_on_none() -> None:
    """Written G5 sounds 200 cents above partial 3 of low B flat and 300 below partial 4."""
    horn = HORNS["alto"]
    series = Series(horn, fingerings_of(horn)["Bb3"])
    (samples,) = render_many([Played(horn, horn.sounding(79))])
    events = heard(samples, series)
    (tone,) = tones(events)
    assert tone.partial is None
    assert {reading.partial for reading in readings(events)} == {None}
