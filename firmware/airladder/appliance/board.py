"""The program of the box, from the first picture to good night. Untested on hardware.

Whatever is missing, the box comes up, says so on what is left of it, and practises if it can: settings that make no
sense are left out, a log that cannot be written lies in memory, a screen or a button that is missing is tried again.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from airladder.app.building import Aside
from airladder.app.damage import damage_of
from airladder.app.exchanging import News
from airladder.app.handing import Handing
from airladder.app.handover import about_of, heed_time
from airladder.app.order import Done, Order, Outside
from airladder.app.planning import first_pages
from airladder.app.practising import practise
from airladder.app.program import Item
from airladder.app.pulse import LONG_S, Pulses
from airladder.app.sources import ALSA, speaker_for
from airladder.appliance.care import Care
from airladder.appliance.hands import PatientHands, shared
from airladder.appliance.place import ABOUT, settled
from airladder.appliance.screen import LateScreen
from airladder.appliance.sensors import Sensors
from airladder.appliance.versions import Versions
from airladder.config import load_what_can_be
from airladder.devices.buttons import Buttons
from airladder.devices.cable import CableSense
from airladder.devices.clock import Clock
from airladder.devices.display import Display
from airladder.devices.gadget import Gadget
from airladder.devices.gauge import open_gauge
from airladder.devices.gpio import board_pins
from airladder.devices.notify import Notifier
from airladder.devices.pins import PinMap, pin_map
from airladder.devices.sticks import sticks
from airladder.devices.warmth import warmth
from airladder.faults import Fault
from airladder.pages.box import Box
from airladder.panel.debounce import Edge
from airladder.panel.notices import draw_fault

RETRY_SECONDS = 5.0
"""How long a fault stands on the screen before the start is tried again."""

GOOD_NIGHT_S = 4.0
"""How long good night stands on the screen before it goes dark."""

OFF = "off"
"""Made in the runtime folder when the box is to be switched off; systemd waits for it."""

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Asked:
    """What the command line says; None where it says nothing.

    Attributes
    ----------
    source : the sound, instead of the microphone that is set
    log : the log file, instead of the one that is set
    settings_file : instead of the usual place
    runtime : the service's own folder, gone at the switch-off
    """

    source: str | None = None
    log: Path | None = None
    settings_file: Path | None = None
    runtime: Path = Path("/run/airladder")


class Newest:
    """The newest box, for whoever looks at it now and then."""

    def __init__(self, notes: Mapping[str, str]) -> None:
        self._box = Box(troubles=notes)

    def __call__(self, box: Box) -> None:
        """Take the newest one; any thread may look."""
        self._box = box

    def troubles(self, screen: LateScreen) -> Mapping[str, str]:
        """What the player should know, the want of a screen too: that is for the text beside the log."""
        return {**({"screen": screen.trouble} if screen.trouble else {}), **self._box.troubles}


def order_of(asked: Asked) -> tuple[Order, Versions]:
    """What is run, from settings that may be damaged and a disk that may not be there; and the versions beside it."""
    settings, complaint = load_what_can_be(asked.settings_file)
    folder, not_kept = settled(settings.log_folder, asked.runtime / "data")
    settings = replace(settings, log_folder=folder)
    log = asked.log or settings.log
    versions = Versions(log=log, runtime=asked.runtime)
    notes = {
        "version": _come_up(versions),
        "settings": complaint,
        ABOUT: not_kept,
        **damage_of(log, own=asked.log is None, whole=False),
    }
    order = Order(
        settings,
        None,
        asked.source or f"{ALSA}{settings.microphone}",
        log,
        first=first_pages(asked.settings_file, settings, log),
        settings_file=asked.settings_file,
        notes={about: sentence for about, sentence in notes.items() if sentence},
    )
    return order, versions


def _come_up(versions: Versions) -> str:
    """What is to be said of an update. One on trial that would lead the log up counts as come up before it does: the
    version before could not read that log."""
    if versions.on_trial and versions.leads_the_log_up:
        versions.confirm()
    return versions.news()


def patiently(start: Callable[[], Done], display: Display, clock: Clock) -> Done:
    """Start until it succeeds: meanwhile the fault stands on the screen as a sentence, instead of a crash loop."""
    while True:
        try:
            return start()
        except Fault as fault:
            logger.warning("%s", fault)
            display.show(draw_fault(str(fault)))
            clock.sleep(RETRY_SECONDS)


def practise_on_board(asked: Asked, screen: LateScreen, clock: Clock) -> int:
    """Practise until good night; the exit code. Then the box is switched off, unless somebody told us to end."""
    off = asked.runtime / OFF
    off.unlink(missing_ok=True)  # a wish that was not granted is not made again by itself
    try:
        done = patiently(lambda: _started(asked, screen, clock), screen, clock)
        if done.good_night:
            clock.sleep(GOOD_NIGHT_S)
    finally:
        screen.close()
    if done.good_night and asked.runtime.is_dir():
        off.touch()
    return done.faults[0].exit_code if done.faults else 0


def _started(asked: Asked, screen: LateScreen, clock: Clock) -> Done:
    pins = pin_map()
    order, versions = order_of(asked)
    pulses, newest = Pulses(clock), Newest(order.notes)
    care = Care(
        Sensors(open_gauge(pins.i2c.bus, pins.addresses.gauge, clock).read, warmth, order.log.parent),
        about_of(order.log),
        pulses,
        Notifier(),
        lambda: newest.troubles(screen),
        versions.confirm,
    )
    cable = CableSense(pins.usb.cable)
    outside = Outside(
        screen,
        partial(hands, pins, clock, pulses),
        newest,
        clock,
        speaker=speaker_for(order.source, order.settings.speaker, clock),
        hand_over=lambda post: _handing(order, versions, Gadget(pulled=lambda: cable.pulled), post, clock, pulses),
        pulses=pulses,
        look_after=care.begin,
    )
    try:
        return practise(order, outside)
    finally:
        cable.close()


def hands(pins: PinMap, clock: Clock, pulses: Pulses, post: Callable[[Item | Edge], None]) -> PatientHands:
    """The four buttons and the foot switch, where the pin map says."""
    factory = shared(board_pins)
    return PatientHands(pins.buttons, lambda some: Buttons(some, post, clock, factory()), post, pulses)


def _handing(
    order: Order, versions: Versions, gadget: Gadget, post: Callable[[News], None], clock: Clock, pulses: Pulses
) -> Handing:
    return Handing(
        gadget,
        Aside(order.log, order.settings_file, lambda content, again: versions.take(content, again=again)),
        post,
        heed=lambda newest: heed_time(newest, clock, order.log),
        sticks=sticks,
        at_work=pulses.of("drive", LONG_S),
    )
