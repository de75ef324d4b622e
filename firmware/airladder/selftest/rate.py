"""The sample rate against the computer's clock: what `pace` makes of the blocks of a minute."""

from __future__ import annotations

from airladder.devices.clock import Clock
from airladder.devices.microphone import Microphone
from airladder.faults import SoundFault
from airladder.hearing.block import HOP, RATE
from airladder.selftest.listening import next_block, no_sound, opened
from airladder.selftest.pace import LIMIT_PPM, Pace, pace
from airladder.selftest.result import Result, failed, well

LONG_S, QUICK_S = 60.0, 10.0
SETTLE_S = 1.0


def check(microphone: Microphone, clock: Clock, *, quick: bool, on_board: bool) -> Result:
    """Count for a while.

    Parameters
    ----------
    microphone : not open yet
    clock : one that no time server turns
    quick : 10 seconds instead of 60
    on_board : whether this computer is a box
    """
    wanted = round((QUICK_S if quick else LONG_S) * RATE / HOP)
    frames: list[int] = []
    times: list[float] = []
    lost = 0
    try:
        with opened(microphone, SETTLE_S):
            for number in range(1, wanted + 1):
                lost += next_block(microphone).lost
                frames.append(HOP * number)
                times.append(clock.monotonic())
    except SoundFault as fault:
        return no_sound(fault, on_board=on_board)
    if lost:
        return failed(
            f"Sound was lost in {lost} places: the computer is too busy, or the codec's clock stops now and then.",
            lost=lost,
        )
    measured = pace(frames, times)
    if measured is None:
        return failed("The sound came all at once, as from a file; wanted a microphone with a clock of its own.")
    figures = _figures(measured)
    if complaint := measured.complaint:
        return failed(complaint, **figures)
    return well(
        f"The sound's clock is {measured.ppm:+.0f} ppm off ({measured.cents:+.2f} cents), {LIMIT_PPM:.0f} ppm, half a"
        f" cent, are allowed; measured over {measured.seconds:.0f} s, sure to {measured.unsure_ppm:.0f} ppm.",
        **figures,
    )


def _figures(measured: Pace) -> dict[str, object]:
    return {
        "rate_hz": round(RATE * (1.0 + measured.ppm / 1e6), 2),
        "off_ppm": round(measured.ppm, 1),
        "off_cents": round(measured.cents, 3),
        "unsure_ppm": round(measured.unsure_ppm, 1),
        "measured_s": round(measured.seconds, 1),
    }
