"""`listen`: names whatever sounds, as JSON Lines or on the panel. Only its keys have a thread of their own."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from typing import TextIO

from airladder.app.interrupts import interrupts
from airladder.app.program import Program
from airladder.app.sources import opened_by
from airladder.app.telling import heard, heard_freely
from airladder.config import Settings
from airladder.devices.clock import Clock
from airladder.devices.keys import keys_on
from airladder.devices.microphone import Microphone
from airladder.devices.paced import Paced
from airladder.devices.terminal import Terminal
from airladder.hearing.block import Block
from airladder.hearing.ear import Ear
from airladder.hearing.events import Event, Tone
from airladder.hearing.free_ear import FreeEar, FreeTone, heard_as_json
from airladder.music.series import Series
from airladder.pages.box import practising
from airladder.panel.views import picture
from airladder.practice.presses import Button, Press
from airladder.practice.session import listening

_FRAME_BLOCKS = 12  # a picture every 64 ms of sound

Heard = tuple[int, tuple[str, ...]]
"""The number of tones, and what a person should know of the recording."""


def ear_of(settings: Settings) -> Ear:
    """The Ear for the fingering that is set."""
    return Ear(settings.series, settings.against)


def free_ear_of(settings: Settings) -> Ear:
    """The Ear that is told no fingering."""
    return FreeEar(settings.horn, settings.a4)


def events_of(microphone: Microphone, ear: Ear) -> Iterator[Event]:
    """All that is heard until the source ends; a pure function of its samples."""
    for block in _blocks(microphone, threading.Event()):
        yield from ear.feed(block)
    yield from ear.finish()


def listen_as_json(source: str, ear: Ear, out: TextIO, clock: Clock) -> Heard:
    """Write one JSON object a line, each at once.

    Returns
    -------
    The number of tones, and what a person should know of the recording.
    """
    microphone = opened_by(source, clock)
    tones = 0
    for event in events_of(microphone, ear):
        tones += isinstance(event, Tone)
        _line(out, json.dumps(heard_as_json(event), ensure_ascii=False))
    return tones, tuple(microphone.notes)


def listen_freely(source: str, settings: Settings, out: TextIO, clock: Clock) -> Heard:
    """Say each tone in a line, and what could have been fingered. Returns as `listen_as_json`."""
    microphone = opened_by(source, clock)
    tones = 0
    for event in events_of(microphone, free_ear_of(settings)):
        if isinstance(event, FreeTone):
            tones += 1
            _line(out, heard_freely(event))
    return tones, tuple(microphone.notes)


def _line(out: TextIO, text: str) -> None:
    out.write(text + "\n")
    out.flush()


def listen_on_panel(source: str, settings: Settings, out: TextIO, clock: Clock, keyboard: TextIO) -> Heard:
    """Draw the panel as the sound goes by, and say each tone in a line. Returns as `listen_as_json`."""
    terminal = Terminal(out)
    microphone = opened_by(source, clock)
    program = Program(practising(listening(settings.series, settings.against)))
    enough = threading.Event()

    def pressed(press: Press) -> None:
        if press.button is Button.BACK:
            enough.set()

    tones = 0
    watched = Paced(microphone, clock) if terminal.in_place and not microphone.live else microphone
    with keys_on(keyboard, pressed, clock):
        for block in _blocks(watched, enough):
            program.take(block)
            tones += _said(program, terminal, settings.series)
            if block.sequence % _FRAME_BLOCKS == 0:
                terminal.show(picture(program.box))
    program.finish()
    tones += _said(program, terminal, settings.series)
    terminal.close()
    return tones, tuple(microphone.notes)


def _said(program: Program, terminal: Terminal, series: Series) -> int:
    tones = [event for event in program.events if isinstance(event, Tone)]
    for tone in tones:
        terminal.say(heard(series, tone))
    return len(tones)


def _blocks(microphone: Microphone, enough: threading.Event) -> Iterator[Block]:
    """The blocks until the source ends, or somebody has heard enough (Ctrl-C sets the event too)."""
    microphone.open()
    try:
        with interrupts(enough.set):
            while not enough.is_set() and (block := microphone.read()) is not None:
                yield block
    finally:
        microphone.close()
