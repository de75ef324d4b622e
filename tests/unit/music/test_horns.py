"""Horns and fingerings: transpositions as in any orchestration handbook."""

from __future__ import annotations

import pytest

from airladder.faults import BadInput
from airladder.music.fingerings import fingering_named, fingerings_of
from airladder.music.horns import HORNS, horn_named
from airladder.music.names import parse
from airladder.music.pitch import note_hz

# Written low B flat and F sharp 6 as they sound: MIDI numbers and Hz at A4 = 440 (the transpositions are in every
# orchestration handbook; the Hz follow from the MIDI Tuning Standard).
TABLE = {
    "soprano": (56, 207.652, 1318.510),
    "alto": (49, 138.591, 880.000),
    "tenor": (44, 103.826, 659.255),
    "baritone": (37, 69.296, 440.000),
}


@pytest.mark.parametrize("name", TABLE)
def test_horns_sound_as_the_handbooks_say(name: str) -> None:
    number, low_hz, high_hz = TABLE[name]
    horn = HORNS[name]
    assert horn.sounding(parse("Bb3").number) == number
    assert note_hz(number) == pytest.approx(low_hz, abs=5e-4)
    assert note_hz(horn.sounding(parse("F#6").number)) == pytest.approx(high_hz, abs=5e-4)


def test_the_baritone_goes_down_to_low_a() -> None:
    """Written A3 sounds C2, MIDI 36, 65.406 Hz."""
    baritone = HORNS["baritone"]
    assert note_hz(baritone.sounding(fingering_named(baritone, "A3").written.number)) == pytest.approx(
        65.406, abs=5e-4
    )


def test_long_fingerings_are_low_b_flat_to_low_d() -> None:
    """Common practice; on a baritone low A too."""
    long = {name: [str(f) for f in fingerings_of(horn).values() if f.long] for name, horn in HORNS.items()}
    assert long["alto"] == ["Bb3", "B3", "C4", "C#4", "D4"]
    assert long["baritone"] == ["A3", "Bb3", "B3", "C4", "C#4", "D4"]


def test_short_fingerings_go_from_e_flat_to_a() -> None:
    short = [str(f) for f in fingerings_of(HORNS["tenor"]).values() if not f.long]
    assert (short[0], short[-1], len(short)) == ("Eb4", "A4", 7)


def test_enharmonic_names_are_the_same_fingering() -> None:
    alto = HORNS["alto"]
    assert fingering_named(alto, "A#3") is not None
    assert str(fingering_named(alto, "Db4")) == "C#4"


def test_an_unknown_horn_suggests_the_near_one() -> None:
    with pytest.raises(
        BadInput,
        match=r"^'altto' is no horn that we know; did you mean alto\? Known: soprano, alto, tenor, baritone\.$",
    ):
        horn_named("altto")


@pytest.mark.parametrize("text", ["A3", "Bb5", "xyz", ""])
def test_an_unknown_fingering_lists_the_known_ones(text: str) -> None:
    with pytest.raises(BadInput, match=r"no (overtone )?fingering.*Known: Bb3, B3, C4, C#4, D4, Eb4"):
        fingering_named(HORNS["alto"], text)


def test_a_near_fingering_is_suggested() -> None:
    with pytest.raises(BadInput, match=r"did you mean Bb3\?"):
        fingering_named(HORNS["alto"], "Bbb3")
