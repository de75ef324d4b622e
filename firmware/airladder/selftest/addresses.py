"""Who is on the I2C bus, against the pin map."""

from __future__ import annotations

from dataclasses import asdict
from typing import Protocol

from airladder.devices.oled import OTHER_ADDRESS
from airladder.devices.pins import PinMap
from airladder.faults import Fault
from airladder.selftest.header import where
from airladder.selftest.result import Result, failed, missing, well
from airladder.selftest.wire import Answer

OPTIONAL = ("clock", "gauge")
"""Parts that a box may do without; their own checks say more."""

HAS_DRIVER = ("codec", "clock")
"""Parts that the kernel drives."""

LOCKS_WHEN_READ = 0x69
"""See `wire`."""

_ALL = range(0x08, 0x78)
_SOMETIMES = {0x57: "the memory that sits on many clock modules"}


class Bus(Protocol):
    """What is asked who answers: see `wire.Wire`."""

    def known(self, address: int) -> Answer:
        """One of our parts."""

    def stranger(self, address: int) -> Answer:
        """Anybody else."""


def check(bus: Bus, pins: PinMap, *, on_board: bool) -> Result:
    """Ask each address that the pin map names, then all others for strangers.

    Parameters
    ----------
    bus : the bus of the pin map
    pins : what should be there
    on_board : whether this computer is a box
    """
    ours: dict[str, int] = asdict(pins.addresses)
    lines = f"SDA on {where(pins.i2c.sda)}, SCL on {where(pins.i2c.scl)}"
    answers: dict[str, Answer] = {}
    for name, address in asdict(pins.addresses).items():
        try:
            answers[name] = bus.known(address)
            if name == "display" and answers[name] is Answer.NO:
                ours[name], answers[name] = _elsewhere(bus, address)
        except Fault as fault:
            return missing(str(fault), on_board=on_board)
        if answers[name] is Answer.HANGS:
            return _hangs(lines)
    strangers = _strangers(bus, set(ours.values()))
    if strangers is None:
        return _hangs(lines)
    figures = {
        **{name: f"{ours[name]:#04x} {answer.value}" for name, answer in answers.items()},
        "strangers": [f"{address:#04x}" for address in strangers],
    }
    faults = [*_silent(ours, answers, lines), *_undriven(ours, answers)]
    others = [f"{address:#04x} is not of ours ({_SOMETIMES.get(address, 'unknown')})" for address in strangers]
    aside = f" {'; '.join(others)}." if others else ""
    if faults:
        return failed(f"{' '.join(faults)}{aside}", **figures)
    there = [f"{name} ({ours[name]:#04x})" for name, answer in answers.items() if answer.there]
    absent = [name for name, answer in answers.items() if not answer.there]
    without = f"; without {' and '.join(absent)}, which a box may do without" if absent else ""
    return well(f"On bus {pins.i2c.bus} answer {', '.join(there)}{without}.{aside}", **figures)


def _elsewhere(bus: Bus, address: int) -> tuple[int, Answer]:
    """A screen may be set to its other address, where it is found as well."""
    other = OTHER_ADDRESS.get(address, address)
    return (other, Answer.YES) if bus.known(other).there else (address, Answer.NO)


def _strangers(bus: Bus, ours: set[int]) -> list[int] | None:
    """Who else answers; None as soon as the bus hangs, for each further try would take a second."""
    found = []
    for address in _ALL:
        if address not in ours and address != LOCKS_WHEN_READ:
            answer = bus.stranger(address)
            if answer is Answer.HANGS:
                return None
            if answer.there:
                found.append(address)
    return found


def _hangs(lines: str) -> Result:
    return failed(f"The I2C bus hangs: is a line held low ({lines}), or is a part without its supply?")


def _silent(ours: dict[str, int], answers: dict[str, Answer], lines: str) -> list[str]:
    silent = [name for name, answer in answers.items() if not answer.there and name not in OPTIONAL]
    if not silent:
        return []
    if not any(answer.there for answer in answers.values()):
        return [f"Nobody answers on the bus: look at its wires ({lines}), the supply of the parts, and the pull-ups."]
    named = " and ".join(f"the {name} at {ours[name]:#04x}" for name in silent)
    return [f"Nothing comes from {named}, while others answer: look at its supply, wires and address."]


def _undriven(ours: dict[str, int], answers: dict[str, Answer]) -> list[str]:
    bare = [name for name in HAS_DRIVER if answers[name] is Answer.YES]
    return [
        f"The {name} at {ours[name]:#04x} answers, but the kernel has no driver for it: its overlay is missing in the"
        " boot configuration."
        for name in bare
    ]
