"""The microphone, well and otherwise."""

from __future__ import annotations

import numpy as np
import pytest

from airladder.hearing.block import RATE, Samples
from airladder.selftest import capsule
from airladder.selftest.result import STOP_THE_SERVICE, Result, Verdict
from jig import Jig, JigMicrophone, noise, rounded, sine

ROOM = noise(4.0, -66.0)


def listened(
    jig: Jig, samples: Samples, *, person: bool = True, on_board: bool = True, **microphone: object
) -> Result:
    """After the settling, two quiet seconds of it are looked at; what follows may be loud."""
    made = JigMicrophone(samples, jig.clock, **microphone)  # type: ignore[arg-type]
    found = capsule.check(made, jig.stage, person=person, quick=True, on_board=on_board)
    assert not made.is_open
    return found


def then(quiet: Samples, loud: Samples) -> Samples:
    return np.concatenate([quiet, loud, loud])


def test_a_good_microphone_in_a_quiet_room_is_well(jig: Jig) -> None:
    found = listened(jig, then(ROOM, sine(4.0, 233.0, -20.0)))
    assert found.verdict is Verdict.OK
    assert found.figures["noise_dbfs"] == pytest.approx(-66.0, abs=0.2)
    assert found.figures["peak_dbfs"] == pytest.approx(-17.0, abs=0.2)
    assert found.figures["clipped"] == 0
    assert [line.split(":")[0].strip() for line in jig.out.getvalue().splitlines()] == ["Be quiet", "Make a sound"]


def test_without_a_person_the_room_is_heard_and_nothing_is_asked(jig: Jig) -> None:
    found = listened(jig, ROOM, person=False)
    assert found.verdict is Verdict.OK
    assert "takes a person" in found.says
    assert "peak_dbfs" not in found.figures
    assert jig.out.getvalue() == ""


def test_a_dead_line_fails_at_once(jig: Jig) -> None:
    found = listened(jig, np.zeros(RATE, np.float32))
    assert found.verdict is Verdict.FAILED
    assert found.says.startswith("The microphone is dead")
    assert "Make a sound" not in jig.out.getvalue()


@pytest.mark.parametrize(
    ("room", "told"),
    [
        (noise(4.0, -40.0), "The noise is -40 dBFS, at most -50 is wanted"),
        (noise(4.0, -66.0) + np.float32(0.05), "The sound stands +5.0 % off the middle, 1 % is allowed"),
        (noise(4.0, -70.0) + sine(4.0, 50.0, -55.0), "It hums at 50 Hz and its multiples with -55 dBFS, at most -60"),
        (
            noise(4.0, -70.0) + sine(4.0, 120.0, -55.0),
            "It hums at 60 Hz and its multiples with -55 dBFS, at most -60",
        ),
        (
            rounded(np.floor(noise(4.0, -66.0) * 32768 / 4) * 4 / 32768),
            "Of 16 bits, counted from 0, bit 0, 1 never moves",
        ),
    ],
)
def test_what_is_wrong_with_the_quiet_is_told(jig: Jig, room: Samples, told: str) -> None:
    found = listened(jig, then(room, sine(4.0, 233.0, -20.0)))
    assert found.verdict is Verdict.FAILED
    assert told in found.says


def test_a_capsule_that_hears_nothing_loud_fails(jig: Jig) -> None:
    found = listened(jig, ROOM)
    assert found.verdict is Verdict.FAILED
    assert found.says.startswith("Nothing loud came within 15 s, the last peak was -5")


def test_clipped_sound_fails_and_one_clap_at_full_scale_does_not(jig: Jig) -> None:
    square = rounded(np.clip(8.0 * sine(4.0, 233.0, -6.0), -1.0, 1.0))
    assert "The sound is clipped" in listened(jig, then(ROOM, square)).says
    clap = np.concatenate([np.full(200, 1.0, np.float32), ROOM])
    assert listened(jig, np.concatenate([ROOM, clap])).verdict is Verdict.OK


def test_a_high_bit_that_never_moves_is_seen_in_the_loud_sound(jig: Jig) -> None:
    steps = (sine(4.0, 441.7, -6.0).astype(np.float64) * 32768).astype(np.int64) & ~(1 << 12)
    found = listened(jig, then(ROOM, (steps / 32768.0).astype(np.float32)))
    assert "bit 12 never moves" in found.says


def test_a_microphone_that_cannot_be_had_is_told(jig: Jig) -> None:
    busy = listened(jig, ROOM, refuses="alsa:default is in use by another program: close that program.")
    assert (busy.verdict, busy.says.endswith(STOP_THE_SERVICE)) == (Verdict.FAILED, True)
    none = listened(jig, ROOM, refuses="there is no microphone alsa:default.", on_board=False)
    assert none.verdict is Verdict.NOT_THERE


def test_a_microphone_that_goes_away_in_the_middle_is_told(jig: Jig) -> None:
    assert "ended in the middle of the check" in listened(jig, ROOM, ends_at=120).says
