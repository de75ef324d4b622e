"""The microphone: noise and hum while all is quiet, then the level of a clap, a tongued note or playing.

What to expect, from the level plan of the box (an electret of -44 dBV/Pa into the codec: rms in dBFS is the sound
pressure in dB less 138, plus the gain): the codec's own noise is at -94 dBFS; a quiet room of 45 dB at the highest
gain, +28 dB on the stand, at -65. The Ear takes nothing softer than -60 dBFS for a note. A note of 95 dB at the
lowest gain has its rms at -43 dBFS, its peaks 12 dB higher. Estimates, to be measured on the first boards.
"""

from __future__ import annotations

from airladder.devices.microphone import Microphone
from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE, Samples
from airladder.selftest.listening import next_block, no_sound, opened, taken
from airladder.selftest.result import Result, failed, well
from airladder.selftest.sound import Loud, Quiet, loud, quiet
from airladder.selftest.stage import Stage

NOISE_DBFS = -50.0
"""Room and circuit together may be so loud: above, soft notes drown."""

HUM_DBFS = -60.0
"""Hum from here on would be heard as a note."""

OFFSET = 0.01
"""A share of full scale: from here on a recording is remarked on too (`devices.soundnotes`)."""

HEARD_DBFS = -31.0
"""The peak that somebody who plays reaches: -43 dBFS rms, 12 dB of crest."""

CLIPPED_S = 0.01
"""So much of a loud sound may be clipped: a clap beside the capsule is no note."""

_DEAD = (
    "The microphone is dead, every sample is the same: look at the data line from the codec, and whether its input"
    " and preamplifier are switched on (the mixer)."
)

SETTLE_S, QUIET_S, SHORT_S, PATIENCE_S, LOUD_S = 0.5, 5.0, 2.0, 15.0, 2.0


def check(microphone: Microphone, stage: Stage, *, person: bool, quick: bool, on_board: bool) -> Result:
    """Listen to the room, and where there is a person to a sound.

    Parameters
    ----------
    microphone : not open yet
    stage : who is told
    person : whether there is somebody to be quiet and to play
    quick : listen for a shorter while
    on_board : whether this computer is a box
    """
    try:
        with opened(microphone, SETTLE_S):
            if person:
                stage.ask("Be quiet", "Make no sound for a few seconds.")
            samples, lost = taken(microphone, SHORT_S if quick else QUIET_S)
            still = quiet(samples)
            played = _played(microphone, stage) if person and not still.dead else None
    except SoundFault as fault:
        return no_sound(fault, on_board=on_board)
    figures = {**_quiet_figures(still, lost), **({} if played is None else _loud_figures(played))}
    if faults := [*_quiet_faults(still), *([] if played is None else _loud_faults(played))]:
        return failed(" ".join(faults), **figures)
    heard = (
        f"a sound's peak {played.peak_dbfs:.0f} dBFS"
        if played
        else "that it hears a sound takes a person; nobody was asked to be quiet"
    )
    return well(
        f"Noise {still.noise_dbfs:.0f} dBFS (at most {NOISE_DBFS:.0f}), hum of {still.hum_hz} Hz {still.hum_dbfs:.0f}"
        f" dBFS (at most {HUM_DBFS:.0f}); {heard}.",
        **figures,
    )


def _played(microphone: Microphone, stage: Stage) -> Loud:
    """What somebody plays, from the first peak on; what there was when nobody did in time."""
    stage.ask("Make a sound", "Clap, tongue a note, or play loud into the microphone.")
    for _ in range(round(PATIENCE_S * RATE / HOP)):
        block = next_block(microphone)
        first = loud(block.samples)
        if first.peak_dbfs >= HEARD_DBFS:
            rest, _lost = taken(microphone, LOUD_S)
            return _both(block.samples, rest)
    return first


def _both(first: Samples, rest: Samples) -> Loud:
    one, two = loud(first), loud(rest)
    return Loud(max(one.peak_dbfs, two.peak_dbfs), one.clipped + two.clipped, two.stuck_bits)


def _quiet_faults(still: Quiet) -> list[str]:
    if still.dead:
        return [_DEAD]
    faults = []
    if abs(still.offset) > OFFSET:
        faults.append(
            f"The sound stands {100.0 * still.offset:+.1f} % off the middle, {100.0 * OFFSET:.0f} % is allowed: the"
            " codec's high-pass is off, or its input leaks direct current (the coupling capacitor)."
        )
    if still.noise_dbfs > NOISE_DBFS:
        faults.append(
            f"The noise is {still.noise_dbfs:.0f} dBFS, at most {NOISE_DBFS:.0f} is wanted: a loud room, too much"
            " gain, or a capsule without bias (2.0 to 2.5 V at the socket)."
        )
    if still.hum_dbfs > HUM_DBFS:
        faults.append(
            f"It hums at {still.hum_hz} Hz and its multiples with {still.hum_dbfs:.0f} dBFS, at most {HUM_DBFS:.0f}"
            " is wanted: look at the shield of the cable and the ground of the socket, and try it on the battery."
        )
    return faults + _stuck(still.stuck_bits)


def _loud_faults(played: Loud) -> list[str]:
    faults = []
    if played.peak_dbfs < HEARD_DBFS:
        faults.append(
            f"Nothing loud came within {PATIENCE_S:.0f} s, the last peak was {played.peak_dbfs:.0f} dBFS, from"
            f" {HEARD_DBFS:.0f} on is wanted: look at plug, capsule and bias, and at the gain."
        )
    if played.clipped > CLIPPED_S * RATE:
        faults.append(
            f"The sound is clipped ({played.clipped} samples at full scale): less gain, or the microphone further"
            " away."
        )
    return faults + _stuck(played.stuck_bits)


def _stuck(bits: tuple[int, ...]) -> list[str]:
    if not bits:
        return []
    named = ", ".join(str(bit) for bit in bits)
    return [f"Of 16 bits, counted from 0, bit {named} never moves: the data line or its clocks (I2S) are not right."]


def _quiet_figures(still: Quiet, lost: int) -> dict[str, object]:
    return {
        "noise_dbfs": round(still.noise_dbfs, 1),
        "hum_hz": still.hum_hz,
        "hum_dbfs": round(still.hum_dbfs, 1),
        "offset": round(still.offset, 5) + 0.0,
        "lost": lost,
    }


def _loud_figures(played: Loud) -> dict[str, object]:
    return {"peak_dbfs": round(played.peak_dbfs, 1), "clipped": played.clipped}
