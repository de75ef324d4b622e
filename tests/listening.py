"""Feeds arrays to the Ear, for tests."""

from __future__ import annotations

from airladder.devices.microphone import Reblocker
from airladder.hearing.block import Samples
from airladder.hearing.ear import Ear
from airladder.hearing.events import Attack, Event, Reading, Tone
from airladder.music.fingerings import fingering_named
from airladder.music.horns import HORNS
from airladder.music.series import Against, Series


def series_of(horn: str, fingering: str, a4_hz: float = 440.0) -> Series:
    """The tube that `fingering` makes of `horn`."""
    return Series(HORNS[horn], fingering_named(HORNS[horn], fingering), a4_hz)


def heard(samples: Samples, series: Series, against: Against = Against.TEMPERED) -> list[Event]:
    """All that the Ear says of `samples`, shape (n,), 48 kHz."""
    ear, cutter, events = Ear(series, against), Reblocker(), list[Event]()
    for block in (*cutter.blocks(samples), *cutter.last()):
        events += ear.feed(block)
    return events + ear.finish()


def readings(events: list[Event]) -> list[Reading]:
    """The readings among `events`."""
    return [event for event in events if isinstance(event, Reading)]


def attacks(events: list[Event]) -> list[Attack]:
    """The attacks among `events`."""
    return [event for event in events if isinstance(event, Attack)]


def tones(events: list[Event]) -> list[Tone]:
    """The tones among `events`."""
    return [event for event in events if isinstance(event, Tone)]
