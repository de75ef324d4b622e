"""What microphones, codec and headphones come to: levels, bias, corner frequencies, the most that an ear can get.

Run it to see the tables: python3 hardware/gain.py

It reads the parts from circuit.toml, parts.toml and extras.toml and the levels from firmware/system/mixer, so that a
change there changes the figures here; tests/hardware/test_gain.py holds the limits. The sources stand in codec.py,
sound_in.py and sound_out.py of making. Untested on hardware.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from math import inf

from making import sound_in, sound_out
from making.circuit import Circuit, load
from making.codec import MOST, Levels, gain_of, levels
from making.values import corner, of, table

PLACES = ("bell", "stand")
SPL = (72, 85, 95, 100, 110, 122, 126)
LOUDEST = {"bell": 122, "stand": 100}
"""dB SPL at which the peaks must still stand MARGIN below the numbers' end: judged from practice rooms, 87-95 dB(A)
at the shoulder (Phillips and Mace 2008), and from how much nearer a capsule at the bell is. To be measured."""
MARGIN = 3.0
LOW_A = 65.4
"""Hertz of a baritone's lowest note, concert C2 in equal temperament at 440 Hz."""
HIGHEST = 20e3
PIEZO_VOLTS = (0.01, 0.03, 0.1, 0.3, 1.0)
CURRENTS = (0.3, 0.5)
"""Milliamperes of a capsule: usual, and the most of parts.toml."""


def headroom(circuit: Circuit, set_to: Levels, *, loaded: bool = True) -> float:
    """Decibels below 0 dBFS of the peaks at the loudest of the place, with the most sensitive capsule of its kind."""
    microphone = sound_in.microphones(circuit)[set_to.place]
    decibels = set_to.gain + (sound_in.loading(circuit, set_to.gain) if loaded else 0.0)
    return -sound_in.peak(microphone.sensitivity + microphone.spread, LOUDEST[set_to.place], decibels)


def best_raw(circuit: Circuit, set_to: Levels) -> int:
    """The greatest raw value of the input's amplifier that keeps the margin."""
    fixed = set_to.gain - gain_of(set_to.raw)
    tried = (Levels(set_to.place, raw, gain_of(raw) + fixed, set_to.phones) for raw in range(MOST, -1, -1))
    return next(each.raw for each in tried if headroom(circuit, each) >= MARGIN)


def _levels(circuit: Circuit, set_to: Levels) -> Iterator[list[str]]:
    microphone = sound_in.microphones(circuit)[set_to.place]
    loss = sound_in.loading(circuit, set_to.gain)
    for spl in SPL:
        least, most = sound_in.over_noise(microphone.sensitivity, spl, set_to.gain)
        told = (microphone.sensitivity, spl, set_to.gain + loss)
        peak = sound_in.peak(*told)
        notes = ["clips"] * (peak > 0) + ["beyond the capsule"] * (spl > microphone.limit)
        millivolts = 1000 * sound_in.volts(microphone.sensitivity + loss, spl)
        yield [
            f"{spl}",
            f"{millivolts:.2f}",
            f"{sound_in.level(*told):.1f}",
            f"{peak:.1f}",
            f"{least + loss:.0f} to {most + loss:.0f}",
            ", ".join(notes),
        ]


def _places(circuit: Circuit) -> Iterator[str]:
    head = ("dB SPL", "mV rms", "dBFS rms", "dBFS peak", "over noise, dB", "")
    for place in PLACES:
        set_to, microphone = levels(place), sound_in.microphones(circuit)[place]
        loss = sound_in.loading(circuit, set_to.gain)
        title = (
            f"{place}: {microphone.name}, {microphone.sensitivity:.0f} dBV/Pa, bears {microphone.limit:.0f} dB; raw"
            f" {set_to.raw} is {set_to.gain:+.2f} dB, the load takes {-loss:.1f} dB;"
            f" clips at {sound_in.clipping(microphone.sensitivity, set_to.gain + loss):.0f} dB SPL"
        )
        yield table(title, head, _levels(circuit, set_to))
    rows = []
    for place in PLACES:
        set_to = levels(place)
        found, best = headroom(circuit, set_to), best_raw(circuit, set_to)
        rows.append([place, f"{LOUDEST[place]}", f"{set_to.raw}", f"{found:.1f}", f"{MARGIN:.1f}", f"{best}"])
    title = "Headroom of the presets, with the most sensitive capsule of its kind"
    yield table(title, ("place", "dB SPL", "raw", "dB left", "wanted", "greatest raw"), rows)


def _bias(circuit: Circuit) -> str:
    rows = [
        [
            f"{current} mA",
            *(f"{sound_in.capsule_volts(circuit, current, other=other):.2f}" for other in (False, True)),
        ]
        for current in CURRENTS
    ]
    return table("Volts left on the capsule", ("current", "MICB, R1", "option bias: R2, R1"), rows)


def _piezo(circuit: Circuit) -> str:
    gains = [levels(place) for place in PLACES]
    rows = [
        [f"{1000 * clip:.0f}", *(f"{sound_in.piezo_level(circuit, clip, each.gain):.1f}" for each in gains)]
        for clip in (*PIEZO_VOLTS, sound_in.follower_clips())
    ]
    title = "Piezo clip, dBFS rms of a sine (the last line: the follower's end)"
    return table(title, ("mV rms", *(f"raw {each.raw}" for each in gains)), rows)


def _corners(circuit: Circuit) -> str:
    clip = sound_in.clip_corner(circuit)
    rows = [[clip.name, "always", f"{clip.hertz:.1f}", f"below {LOW_A}"]]
    for gain, name in (*((levels(place).gain, place) for place in PLACES), (gain_of(MOST), "greatest gain")):
        rows += [
            [each.name, name, f"{each.hertz:.1f}", f"below {LOW_A}"] for each in sound_in.low_corners(circuit, gain)
        ]
    for ohms in sound_out.LOADS:
        rows.append(
            [
                "C16, R16 + R18 || phones",
                _ohms(ohms),
                f"{sound_out.phones_corner(circuit, ohms):.1f}",
                f"below {LOW_A}",
            ]
        )
    spares, keeps_out = sound_in.high_corners(circuit)
    rows.append([spares.name, "always", f"{spares.hertz:.0f}", f"above {10 * HIGHEST:.0f}"])
    rows.append([keeps_out.name, "always", f"{keeps_out.hertz:.0f}", "below 100 MHz"])
    rows.append(
        ["R2, C8", "option bias", f"{corner(of(circuit, 'R2'), of(circuit, 'C8')):.1f}", "the lower, the less hum"]
    )
    return table(
        "Corner frequencies, at the worse end of the parts' tolerance", ("parts", "when", "Hz", "wanted"), rows
    )


def _phones(circuit: Circuit) -> str:
    decibels = levels("bell").phones
    rows = []
    for ohms in sound_out.LOADS:
        worst = sound_out.divided(circuit, ohms, worst=True)
        most = (sound_out.SINE * worst, sound_out.SQUARE * worst, sound_out.usual(circuit, ohms, decibels))
        rows.append([_ohms(ohms), *(f"{1000 * each:.1f} mV, {sound_out.spl(each):.0f} dB" for each in most)])
    title = (
        f"Phones: volts, and dB SPL of the most sensitive; wanted at most {1000 * sound_out.LIMIT:.0f} mV"
        f" at {sound_out.MEASURED_AT:.0f} ohm"
    )
    return table(
        title,
        ("phones", "greatest sine", "greatest square", f"the program's loudest, mixer at {decibels:+.0f} dB"),
        rows,
    )


def _ohms(ohms: float) -> str:
    return "open" if ohms == inf else f"{ohms:.0f} ohm"


def main() -> None:
    """Print the tables."""
    circuit = load()
    sys.stdout.writelines(_places(circuit))
    for told in (_bias, _piezo, _corners, _phones):
        sys.stdout.write(told(circuit))


if __name__ == "__main__":
    main()
