"""The parts of the Ear, each by itself, on readings and envelopes made by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder.hearing.attacks import attack_of, kind_of
from airladder.hearing.block import HOP, HOP_SECONDS, RATE, Samples
from airladder.hearing.events import Reading
from airladder.hearing.levels import STRETCH_SECONDS, Levels, highest_of_last, steps_of
from airladder.hearing.notes import NoteUnderWay, spread
from airladder.hearing.splits import strong_lines
from airladder.virtualhorn.note import Note
from airladder.virtualhorn.voice import sound
from listening import heard, series_of, tones


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
    assert spread([float(value) for value in range(11)]) == 4.0
    assert spread([7.0]) == 0.0


@pytest.mark.parametrize("closed_ms", [20, 40])
@pytest.mark.parametrize("horn", ["soprano", "alto", "tenor", "baritone"])
def test_the_tongue_in_the_middle_of_a_note_makes_two(horn: str, closed_ms: int) -> None:
    """The reed is stopped for 20 or 40 ms and the sound falls by 40 dB and comes back: two tones of one partial."""
    series = series_of(horn, "Bb3")
    samples = np.concatenate([np.zeros(RATE // 2, np.float32), sound(series, Note(3, seconds=1.6), 0)])
    middle, closed, edge = round(1.3 * RATE), closed_ms * RATE // 1000, RATE // 200
    gain = np.ones(len(samples))
    gain[middle - edge : middle] = np.geomspace(1.0, 0.01, edge)
    gain[middle : middle + closed] = 0.01
    gain[middle + closed : middle + closed + edge] = np.geomspace(0.01, 1.0, edge)
    found = tones(heard((samples * gain).astype(np.float32), series))
    assert [tone.partial for tone in found] == [3, 3]
    assert found[1].attack is not None
    assert found[1].attack.t == pytest.approx((middle + closed) / RATE, abs=0.03)


def envelope(rise_ms: float, breath_seconds: float = 0.0) -> tuple[Samples, Samples]:
    """Half a second of room, an even rise to 1, 0.1 s of tone; breath before the rise for as long as is asked."""
    quiet, rise, held = round(0.5 / STRETCH_SECONDS), round(rise_ms / 1000 / STRETCH_SECONDS), 75
    amplitudes = np.concatenate([np.full(quiet, 0.001), np.linspace(0.001, 1.0, rise), np.ones(held)])
    breath = np.full(len(amplitudes), 0.0001)
    breath[quiet - round(breath_seconds / STRETCH_SECONDS) : quiet] = 0.002
    return amplitudes.astype(np.float32), breath.astype(np.float32)


@pytest.mark.parametrize("rise_ms", [20.0, 60.0, 200.0])
def test_the_rise_is_measured_from_10_to_90_per_cent(rise_ms: float) -> None:
    """Of an even rise these are four fifths."""
    held, breath = envelope(rise_ms)
    attack = attack_of(held, breath, now=1.0, floor=0.0001)
    assert attack.rise_ms == pytest.approx(0.8 * rise_ms, abs=3.0)
    assert attack.t == pytest.approx(1.0 - 0.1 - 0.9 * rise_ms / 1000, abs=0.003)


def test_breath_before_the_tone_is_a_start_with_the_air() -> None:
    """At a rise that by itself tells nothing (72 ms), the breath decides; with a sharp rise it is left open."""
    assert attack_of(*envelope(90.0), now=1.0, floor=0.0001).kind == "unsure"
    assert attack_of(*envelope(90.0, breath_seconds=0.2), now=1.0, floor=0.0001).kind == "air"
    assert attack_of(*envelope(90.0, breath_seconds=0.02), now=1.0, floor=0.0001).kind == "unsure"
    assert attack_of(*envelope(20.0, breath_seconds=0.2), now=1.0, floor=0.0001).kind == "unsure"


@given(st.floats(0.0, 2000.0), st.booleans())
def test_every_attack_has_a_kind_and_a_confidence(rise_ms: float, breathed: bool) -> None:
    kind, confidence = kind_of(rise_ms, breathed)
    assert kind in ("tongued", "air", "unsure")
    assert 0.5 <= confidence <= 1.0


def test_levels_are_rms_re_full_scale() -> None:
    levels = Levels()
    sine = np.sin(2 * np.pi * 1000 * np.arange(RATE) / RATE).astype(np.float32)
    for hop in sine[: RATE // HOP * HOP].reshape(-1, HOP):
        levels.feed(hop)
    assert levels.level_dbfs == pytest.approx(20 * math.log10(1 / math.sqrt(2)), abs=0.05)


@given(st.lists(st.floats(0, 1, width=32), min_size=1, max_size=40), st.integers(1, 12))
def test_the_running_maximum_is_the_highest_of_the_last_steps(values: list[float], steps: int) -> None:
    expected = [max(values[max(0, i - steps + 1) : i + 1]) for i in range(len(values))]
    assert highest_of_last(np.array(values, np.float32), steps).tolist() == expected


@given(st.floats(1 / 4000, 1 / 60))
def test_the_steps_of_a_period_hold_it_wholly(period: float) -> None:
    assert (steps_of(period) - 1) * STRETCH_SECONDS >= period - 1e-12


def test_lines_are_placed_to_a_fraction_of_a_cent() -> None:
    t = np.arange(16384) / RATE
    window = np.hanning(16384)
    lines = strong_lines(window * (np.sin(2 * np.pi * 277.3 * t) + 0.5 * np.sin(2 * np.pi * 415.9 * t)), 80.0, 2000.0)
    assert [hz for hz, _ in lines] == [pytest.approx(277.3, abs=0.05), pytest.approx(415.9, abs=0.05)]
    assert lines[0][1] - lines[1][1] == pytest.approx(6.02, abs=1.0)  # a bin apart from its line reads low
