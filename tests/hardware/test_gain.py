"""The levels of microphones and phones: the figures of our notes come out, and the presets and parts keep the limits.

Notes: shared notes on hardware, section 3; each figure has the decibels that it is made of beside it.
"""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest

import gain
from airladder.target import timbre
from hardware.breaking import fact, take, unchanged
from making import sound_in, sound_out
from making.circuit import HARDWARE, Circuit, CircuitFault, load
from making.codec import MIXER, Levels, gain_of, input_ohms, levels
from making.values import of

CAPSULE, CLIP = -44.0, -50.0
"""dBV/Pa of the notes' two capsules."""


def test_a_capsule_at_the_bell_gives_158_millivolts() -> None:
    assert sound_in.volts(CAPSULE, 122) == pytest.approx(0.158, abs=0.0005)  # -44 + 122 - 94 = -16 dBV


def test_that_capsule_without_gain_is_at_minus_16_and_its_peaks_at_minus_7() -> None:
    assert sound_in.level(CAPSULE, 122, 0) == pytest.approx(-16)
    assert sound_in.peak(CAPSULE, 122, 0) == pytest.approx(-7, abs=0.02)  # -16 + 12 - 3


def test_that_capsule_clips_at_129_decibels() -> None:
    assert sound_in.clipping(CAPSULE, 0) == pytest.approx(129, abs=0.02)  # 122 + 7


def test_that_capsule_at_95_decibels_is_51_over_the_noise() -> None:
    assert sound_in.level(CAPSULE, 95, 0) == pytest.approx(-43)  # -44 + 1
    assert sound_in.over_noise(CAPSULE, 95, 0) == pytest.approx((51, 51))  # 94 - 43


def test_the_bell_preset_has_its_peaks_at_minus_6_3_and_is_45_over_the_noise_at_least() -> None:
    bell = levels("bell")
    assert (bell.raw, bell.gain) == (32, 6.75)
    assert sound_in.peak(CLIP, 122, bell.gain) == pytest.approx(-6.3, abs=0.05)  # -50 + 28 + 6.75 + 12 - 3
    least, most = sound_in.over_noise(CLIP, 95, bell.gain)
    assert (least, most) == pytest.approx((45, 51.75))  # -50 + 1 + 94, and 6.75 more


def test_the_bias_leaves_2_3_volts_on_the_capsule() -> None:
    assert sound_in.capsule_volts(load(), 0.3) == pytest.approx(2.31, abs=0.005)  # 0.9 x 3.3 - 0.3 mA x 2.2 kohm


@pytest.mark.parametrize("other", [False, True])
@pytest.mark.parametrize("milliamperes", gain.CURRENTS)
def test_either_bias_leaves_a_capsule_what_it_needs(milliamperes: float, other: bool) -> None:
    """1 V at its own terminals (usual field-effect transistors in capsules; from memory), with half as much again."""
    assert sound_in.capsule_volts(load(), milliamperes, other=other) >= 1.5


def test_the_capsules_are_those_of_the_parts_list() -> None:
    found = sound_in.microphones(load())
    assert (found["bell"].sensitivity, found["bell"].limit) == (CLIP, 130)
    assert (found["stand"].sensitivity, found["stand"].spread) == (CAPSULE, 2)


@pytest.mark.parametrize("place", gain.PLACES)
@pytest.mark.parametrize("loaded", [False, True])
def test_a_preset_keeps_its_peaks_below_the_end(place: str, loaded: bool) -> None:
    """With the most sensitive capsule of its kind; without the codec's load a usual one must do as well."""
    found = gain.headroom(load(), levels(place), loaded=loaded)
    spread = 0.0 if loaded else sound_in.microphones(load())[place].spread
    assert found + spread >= gain.MARGIN


@pytest.mark.parametrize("place", gain.PLACES)
def test_a_preset_that_is_turned_up_is_found(place: str) -> None:
    set_to = levels(place)
    best = gain.best_raw(load(), set_to)
    assert set_to.raw <= best < 63
    louder = replace(set_to, raw=best + 1, gain=gain_of(best + 1))
    assert gain.headroom(load(), louder) < gain.MARGIN


def test_the_clip_on_bears_more_than_the_loudest_of_its_place() -> None:
    assert sound_in.microphones(load())["bell"].limit >= gain.LOUDEST["bell"]
    assert sound_in.microphones(load())["stand"].limit >= gain.LOUDEST["stand"]


@pytest.mark.parametrize(("decibels", "kilohms"), [(35.25, 1.6), (0.0, 47), (-12.0, 75)])
def test_the_formula_of_the_input_gives_the_data_sheets_ohms(decibels: float, kilohms: float) -> None:
    """Data sheet WM8976, rev. 3.0 of April 2006, electrical characteristics, RMICIN."""
    assert input_ohms(decibels) == pytest.approx(1000 * kilohms, rel=0.01)


def test_every_low_corner_is_below_the_baritones_lowest_note() -> None:
    circuit = load()
    hertz = [each.hertz for raw in range(64) for each in sound_in.low_corners(circuit, gain_of(raw))]
    hertz += [sound_in.clip_corner(circuit).hertz]
    hertz += [sound_out.phones_corner(circuit, ohms) for ohms in sound_out.LOADS]
    assert max(hertz) < gain.LOW_A / 2  # an octave lower: the note itself then loses 1 dB at most


def test_the_filter_of_the_microphone_spares_the_sound_and_keeps_radio_out() -> None:
    spares, keeps_out = sound_in.high_corners(load())
    assert spares.hertz > 10 * gain.HIGHEST
    assert keeps_out.hertz < 100e6


def test_a_codec_without_gain_hears_the_piezo_before_its_follower_ends() -> None:
    """The pad must be such that the follower, not the codec, has the last word at no gain."""
    assert -30 < sound_in.piezo_level(load(), sound_in.follower_clips(), 0) < 0


@pytest.mark.parametrize("volts", [sound_out.SINE, sound_out.SQUARE])
def test_the_phones_get_no_more_than_a_player_may_give_whatever_the_program_does(volts: float) -> None:
    most = volts * sound_out.divided(load(), sound_out.MEASURED_AT, worst=True)
    assert most <= sound_out.LIMIT


@pytest.mark.parametrize("ohms", sound_out.LOADS)
def test_the_worst_divider_is_the_worst_corner_of_its_resistors(ohms: float) -> None:
    circuit = load()
    ends = (1 - sound_out.RESISTOR, 1 + sound_out.RESISTOR)
    corners = []
    for upper, lower in product((180.0 * end for end in ends), (22.0 * end for end in ends)):
        below = 1 / (1 / lower + 1 / ohms)
        corners.append(below / (below + upper))
    assert (of(circuit, "R16"), of(circuit, "R18")) == (180.0, 22.0)
    assert sound_out.divided(circuit, ohms, worst=True) == pytest.approx(max(corners))


def test_even_without_phones_a_sine_stays_below_that_limit() -> None:
    assert sound_out.SINE * sound_out.divided(load(), float("inf"), worst=True) <= sound_out.LIMIT


def test_the_programs_loudest_is_what_the_program_says() -> None:
    assert timbre.PEAK == sound_out.LOUDEST


def test_somebody_with_ordinary_phones_hears_the_wanted_pitch() -> None:
    """The most sensitive phones give 10 dB more than ordinary ones (100 dB for 1 mW at 32 ohm: from memory)."""
    ordinary = sound_out.spl(sound_out.usual(load(), 32.0, levels("bell").phones)) - 10.0
    assert 50.0 < ordinary < 75.0


@pytest.mark.parametrize("ohms", sound_out.LOADS)
def test_the_programs_loudest_gives_the_phones_less_than_85_decibels(ohms: float) -> None:
    """The most sensitive phones; 85 dB(A) is what NIOSH allows for eight hours a day (CDC/NIOSH, page on noise)."""
    assert sound_out.spl(sound_out.usual(load(), ohms, levels("bell").phones)) < 85


FAULTS = {
    "R16 is 22 ohm": (take("R16", "r-22"), "the phones are too loud"),
    "R18 is 180 ohm": (take("R18", "r-180"), "the phones are too loud"),
    "C16 is 4.7 uF": (take("C16", "c-4u7"), "the bass is lost"),
    "C10 is 10 nF": (take("C10", "c-10n"), "the bass is lost"),
    "R1 is 10 kohm": (take("R1", "r-10k"), "the capsule starves"),
    "the capsule is 12 dB more sensitive": (
        fact("MK1", mpn="-32 dBV/Pa", spec="-34 to -30 dBV/Pa"),
        "the stand clips",
    ),
}


def _harms(circuit: Circuit) -> set[str]:
    stand = levels("stand")
    lowest = max(sound_in.coupling(circuit, stand.gain).hertz, sound_out.phones_corner(circuit, 32))
    found = {
        "the phones are too loud": sound_out.SQUARE * sound_out.divided(circuit, 32, worst=True) > sound_out.LIMIT,
        "the bass is lost": lowest > gain.LOW_A / 2,
        "the capsule starves": sound_in.capsule_volts(circuit, 0.5) < 1.5,
        "the stand clips": gain.headroom(circuit, stand) < gain.MARGIN,
    }
    return {name for name, harmed in found.items() if harmed}


@pytest.mark.parametrize("story", FAULTS)
def test_a_fault_of_the_parts_changes_the_figure_that_it_harms(story: str) -> None:
    change, harm = FAULTS[story]
    assert harm in _harms(change(unchanged()).circuit)


def test_the_parts_as_they_are_harm_none_of_these_figures() -> None:
    assert _harms(load()) == set()


def test_the_levels_are_the_firmwares_own_and_what_they_lack_is_told(tmp_path: Path) -> None:
    both = (MIXER / "both").read_text("utf-8")
    (tmp_path / "both").write_text(both.replace("Volume' 115,115", "Volume' 121,121"), "utf-8")
    (tmp_path / "bell").write_text("cset name='Capture Volume' 23,23\n", "utf-8")
    assert levels("bell", tmp_path) == Levels("bell", 23, 0.0, 0.0)
    (tmp_path / "bell").write_text("cset name='Capture Volume' 23,24\n", "utf-8")
    with pytest.raises(CircuitFault, match="Capture Volume"):
        levels("bell", tmp_path)


@pytest.mark.parametrize("name", ["gain", "power"])
def test_it_prints_its_tables_with_the_standard_library_alone(name: str) -> None:
    words = [sys.executable, "-S", str(HARDWARE / f"{name}.py")]
    done = subprocess.run(words, capture_output=True, text=True, check=False, timeout=60, env={})
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.count("\n\n") >= 5
