"""Ngspice tries the off switch with the worst parts, and holds the formulas of the sound's corners against its own.

An outside check: the deck is built from the circuit's values, the models from the parts' data sheets, and nothing of
the arithmetic in making/ is in it. Untested on hardware.
"""

from __future__ import annotations

import os
import shutil
from dataclasses import dataclass, replace
from itertools import product
from math import inf, log10
from pathlib import Path

import pytest

from hardware.breaking import Change, exchange, swap, take, unchanged, without
from hardware.spice import COMMON, LEAK, elements, models, node, run
from making import sound_in, sound_out
from making.circuit import Circuit, load
from making.codec import input_ohms, levels

NETS, RAILS = ("SWITCHED", "EN", "LATCH", "KILL", "OFF_D", "OFF"), ("BAT",)
BOUNCES = (0, 0.2e-3, 0.4e-3, 0.6e-3, 0.8e-3, 0.9e-3, 1e-3)
"""Seconds after a slide's first touch at which it closes, opens, closes ... and at last stays: 1 ms in all."""
GAP, SETTLED = 1e-3, 5e-3
"""Seconds between its contacts, and after which a new state must be there."""
ON, PULSE, OFF, ON_AGAIN, OFF_AGAIN, END = 0.1, 2.0, 4.0, 5.0, 5.5, 6.0
LOW = 0.4
"""Volts of EN at which the boost is surely off: a fifth of the emptiest cell is 0.6 V (TPS61090 and its like: below
0.2 x cell is low, above 0.8 x cell is high; TI's forum, thread 568423, of the TPS61020), less a reserve."""
HIGH = 0.8


@dataclass(frozen=True)
class Corner:
    """The worst parts of one copy.

    Parameters
    ----------
    n_volts, p_volts : thresholds (BSS138 0.8-1.5 V, BSS84 0.8-2.0 V: their data sheets)
    cell : volts
    up, down : ohms from EN to the cell and to ground, of the module (parts.toml: at least 100 kohm)
    leak : ohms of the p-channel transistor that is off
    """

    n_volts: float
    p_volts: float
    cell: float
    up: float
    down: float
    leak: float = LEAK


CORNERS = [Corner(*told) for told in product((0.8, 1.5), (0.8, 2.0), (3.0, 4.2), (100e3, inf), (100e3, inf))]
HOT = [replace(at, n_volts=at.n_volts - 0.1, p_volts=at.p_volts - 0.1, leak=LEAK / 10) for at in CORNERS]
"""At 60 C, in the sun: a leak doubles every 10 C, a threshold falls by 2 to 3 mV a degree (common practice)."""
CLAIMS = {
    "it comes on": "up",
    "it switches itself off": "killed",
    "it is off with the slide at off": "slid",
    "it comes on again": "again",
    "it is off at the end": "ended",
}


def _points(turns: list[tuple[float, int]]) -> str:
    """A voltage that takes each value from its moment on, within a microsecond."""
    told = [f"0 {1 - turns[0][1]}"]
    for (at, value), before in zip(turns, [1 - turns[0][1], *(value for _, value in turns)], strict=False):
        told += [f"{at:.6f} {before}", f"{at + 1e-6:.6f} {value}"]
    return " ".join(told)


def _slide() -> str:
    """The slide goes on, off, on and off; its contact bounces as it closes, and breaks before the other one makes."""
    on: list[tuple[float, int]] = []
    off: list[tuple[float, int]] = []
    for start, end in ((ON, OFF), (ON_AGAIN, OFF_AGAIN)):
        on += [(start + at, 1 - number % 2) for number, at in enumerate(BOUNCES)] + [(end, 0)]
        off += [(start - GAP, 0), (end + GAP, 1)]
    return COMMON.format(on=_points(on), off=_points(off))


def _copy(circuit: Circuit, corner: Corner, number: int, pulse: float) -> list[str]:
    mark = f"_{number}"
    en, bat = node("EN", mark), node("BAT", mark)
    lines = [models(corner.n_volts, corner.p_volts, mark), *elements(circuit, NETS, RAILS, mark, corner.leak)]
    lines += [f"Vcell{mark} {bat} 0 {corner.cell}"]
    # The computer's pin: low, 3.3 V for a while, low again as the computer dies; some 50 ohm inside.
    lines += [
        f"Vpin{mark} pin{mark} 0 PULSE(0 3.3 {PULSE} 1u 1u {pulse} 100)",
        f"Rpin{mark} pin{mark} {node('OFF', mark)} 50",
    ]
    lines += [f"Rup{mark} {en} {bat} {corner.up:g}"] * (corner.up < inf)
    lines += [f"Rdown{mark} {en} 0 {corner.down:g}"] * (corner.down < inf)
    for name, most, begin, end in (
        ("up", "MIN", ON + SETTLED, PULSE),
        ("killed", "MAX", PULSE + SETTLED, OFF),
        ("slid", "MAX", OFF + SETTLED, ON_AGAIN - GAP),
        ("again", "MIN", ON_AGAIN + SETTLED, OFF_AGAIN),
        ("ended", "MAX", OFF_AGAIN + SETTLED, END),
    ):
        lines += [f".meas tran {name}{mark} {most} v({en}) from={begin} to={end}"]
    return lines


def broken(circuit: Circuit, folder: Path, corners: list[Corner], pulse: float = 50e-3) -> dict[str, list[Corner]]:
    """Claim -> the corners in which it fails, of the claims that do; one deck, with a copy for each corner."""
    copies = [line for number, corner in enumerate(corners) for line in _copy(circuit, corner, number, pulse)]
    found = run([_slide(), *copies, f".tran 1m {END} 0 1m", ".options method=gear"], folder)
    failed: dict[str, list[Corner]] = {}
    for number, corner in enumerate(corners):
        for claim, name in CLAIMS.items():
            volts = found[f"{name}_{number}"]
            if not (volts >= HIGH * corner.cell if name in ("up", "again") else volts < LOW):
                failed.setdefault(claim, []).append(corner)
    return failed


@pytest.fixture(scope="module", autouse=True)
def ngspice() -> None:
    """Without ngspice the tests fail, unless they may be left out."""
    if shutil.which("ngspice") is None:
        told = "ngspice is missing: apt-get install ngspice, or sh hardware/setup"
        if os.environ.get("AIRLADDER_MAY_SKIP") == "1":
            pytest.skip(told)
        pytest.fail(f"{told} (or set AIRLADDER_MAY_SKIP=1 to leave such tests out)")


@pytest.mark.parametrize("pulse", [50e-3, 2e-3])
def test_the_slide_and_the_computer_switch_the_boost_in_every_corner(pulse: float, tmp_path: Path) -> None:
    """With the contact's bounces; the short pulse: the computer dies 2 ms after it has lifted the pin."""
    assert broken(load(), tmp_path, CORNERS, pulse) == {}


def test_leaking_transistors_in_a_hot_box_do_not_switch_it_off(tmp_path: Path) -> None:
    assert broken(load(), tmp_path, HOT) == {}


FAULTS: dict[str, tuple[Change, str]] = {
    "C26 is far too small: the first moment latches it": (take("C26", "c-100p"), "it comes on"),
    "C26 is far too large: the pulse does not fill it": (take("C26", "c-10u"), "it switches itself off"),
    "C26 is forgotten": (without("C26"), "it comes on"),
    "C25 is far too large: EN is late, and the latch is first": (take("C25", "c-4u7"), "it comes on"),
    "R31 and R32 are exchanged": (exchange("R31", "R32"), "it switches itself off"),
    "R32 is forgotten: a leak fills C26": (without("R32"), "it comes on"),
    "D9 is the wrong way round": (swap("D9", "1", "2"), "it switches itself off"),
    "D9 is forgotten": (without("D9"), "it switches itself off"),
    "Q2 is forgotten: it comes on again by itself": (without("Q2"), "it switches itself off"),
    "Q1 has source and drain exchanged": (swap("Q1", "2", "3"), "it comes on"),
    "Q2 has source and drain exchanged": (swap("Q2", "2", "3"), "it comes on"),
    "R33 is far too large": (take("R33", "r-4m7"), "it switches itself off"),
    "R30 is too large for the module's own resistor": (take("R30", "r-100k"), "it is off with the slide at off"),
    "the slide is the wrong way round": (swap("SW5", "1", "3"), "it comes on"),
}


@pytest.mark.parametrize("story", FAULTS)
def test_a_fault_of_the_switch_is_found(story: str, tmp_path: Path) -> None:
    change, claim = FAULTS[story]
    assert claim in broken(change(unchanged()).circuit, tmp_path, CORNERS)


@pytest.mark.parametrize("capacitor", [None, "c-10u"])
@pytest.mark.parametrize("ohms", sound_out.LOADS)
def test_ngspice_has_the_phones_volts_and_their_corner_as_gain_py(
    ohms: float, capacitor: str | None, tmp_path: Path
) -> None:
    case = take("C16", capacitor)(unchanged()) if capacitor else unchanged()
    nominal = sound_out.phones_corner(case.circuit, ohms) * (1 - sound_out.CERAMIC)
    lines = [*elements(case.circuit, ("HP_L_AC", "PHONE_L"), ("HP_L",)), "Vcodec HP_L 0 AC 1"]
    lines += [f"Rphones PHONE_L 0 {ohms:g}"] * (ohms < inf)
    found = _levels(lines, "PHONE_L", nominal, tmp_path)
    assert 10 ** (found["high"] / 20) == pytest.approx(sound_out.divided(case.circuit, ohms), rel=1e-3)
    assert found["corner"] - found["high"] == pytest.approx(-3.01, abs=0.02)


@pytest.mark.parametrize("place", ["bell", "stand"])
@pytest.mark.parametrize("capacitor", [None, "c-100n"])
def test_ngspice_has_the_microphones_level_and_its_corner_as_gain_py(
    place: str, capacitor: str | None, tmp_path: Path
) -> None:
    """The capsule is a current; at its rated load it makes as many volts as that has ohms."""
    case = take("C10", capacitor)(unchanged()) if capacitor else unchanged()
    gain = levels(place).gain
    nominal = sound_in.coupling(case.circuit, gain).hertz * (1 - sound_in.CERAMIC)
    lines = [*elements(case.circuit, ("MIC", "MIC_AC", "LIN1"), ("MICB", "MIC_TIP", "PIEZO_AC")), "Vbias MICB 0 0"]
    lines += ["Icapsule 0 MIC_TIP AC 1", f"Rinput LIN1 0 {input_ohms(gain):g}"]
    found = _levels(lines, "LIN1", nominal, tmp_path)
    rated = 20 * log10(sound_in.RATED_LOAD)
    assert found["high"] - rated == pytest.approx(sound_in.loading(case.circuit, gain), abs=0.05)
    assert found["corner"] - found["high"] == pytest.approx(-3.01, abs=0.02)


def _levels(lines: list[str], net: str, hertz: float, folder: Path) -> dict[str, float]:
    """Decibels at 10 kHz (high) and at a frequency (corner)."""
    told = [f".meas ac high FIND vdb({net}) AT=10000", f".meas ac corner FIND vdb({net}) AT={hertz}"]
    return run([*lines, f".save v({net})", *told, ".ac dec 200 0.1 1meg"], folder)
