"""`airladder selftest`: the devices of this computer, the checks that are named, and what came of them."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TextIO

from airladder.config import Settings
from airladder.devices.alsa import AlsaMicrophone
from airladder.devices.clock import Clock
from airladder.devices.display import Display
from airladder.devices.gauge import open_gauge
from airladder.devices.keys import keys_on
from airladder.devices.oled import OTHER_ADDRESS, open_oled
from airladder.devices.pins import PinMap, pin_map
from airladder.devices.warmth import warmth
from airladder.faults import BadInput, Fault, did_you_mean
from airladder.selftest import board
from airladder.selftest.checks import ABOUT, BY_HAND, Bench, checks
from airladder.selftest.clocks import RawClock
from airladder.selftest.hands import Hands, contacts_on
from airladder.selftest.result import STOP_THE_SERVICE, Check, Result, failed, skipped
from airladder.selftest.stage import Stage
from airladder.selftest.supply import was_low
from airladder.selftest.wire import Wire, wire_on


def selftest(
    names: Sequence[str],
    settings: Settings,
    *,
    quick: bool = False,
    hands: bool = True,
    as_json: bool = False,
    out: TextIO,
) -> int:
    """Check the box.

    Parameters
    ----------
    names : of the checks, done in the order of a bring-up; all when there are none
    settings : those of the box
    quick : shorter measurements
    hands : whether there is a person
    as_json : one object a line, see `telling`
    out : where all is said

    Returns
    -------
    0 when nothing failed, 1 otherwise

    Raises
    ------
    BadInput : when there is no such check.
    """
    clock, pins = RawClock(), pin_map()
    _known(names)
    wire = wire_on(pins.i2c.bus)
    served = board.service_runs()
    display = None if served else _display(settings.screen, pins, wire, clock)
    stage = Stage(out, clock, as_json=as_json, display=display)
    on = _bench(settings, pins, wire, stage, clock, person=hands, quick=quick)
    try:
        return run(chosen(names, checks(on)), stage, person=hands, served=served)
    finally:
        on.hands.close()
        if display is not None:
            display.close()


def run(todo: Sequence[Check], stage: Stage, *, person: bool, served: bool) -> int:
    """Run the checks, one after the other, and tell each as it ends.

    Parameters
    ----------
    todo : in their order
    stage : who is told
    person : whether there is one
    served : whether the service runs

    Returns
    -------
    0 when nothing failed, 1 otherwise
    """
    for check in todo:
        stage.begin(check)
        stage.end(check, _result(check, person=person, served=served))
    return stage.close()


def chosen(names: Sequence[str], all_checks: Sequence[Check]) -> list[Check]:
    """Those that are named, or all, in the order of a bring-up."""
    return [check for check in all_checks if not names or check.name in names]


def listed() -> list[str]:
    """A line for each check: its name, and what it looks at."""
    return [f"{name:<10}  {about}{' (by hand)' if name in BY_HAND else ''}" for name, about in ABOUT.items()]


def _known(names: Sequence[str]) -> None:
    for name in names:
        if name not in ABOUT:
            raise BadInput(f"'{name}' is no check{did_you_mean(name, ABOUT)}")


def _result(check: Check, *, person: bool, served: bool) -> Result:
    if check.by_hand and not person:
        return skipped("This takes a person; leave out --no-hands.")
    if check.exclusive and served:
        return failed(STOP_THE_SERVICE)
    try:
        return check.run()
    except Fault as fault:
        return failed(str(fault))
    except OSError as error:
        return failed(f"This could not be looked at ({error}).")


def _bench(
    settings: Settings, pins: PinMap, bus: Wire, stage: Stage, clock: Clock, *, person: bool, quick: bool
) -> Bench:
    return Bench(
        pins=pins,
        bus=bus,
        gauge=open_gauge(pins.i2c.bus, pins.addresses.gauge, clock),
        microphone=AlsaMicrophone(settings.microphone, clock),
        warmth=warmth,
        ever_low=was_low,
        hands=Hands(contacts_on(pins.buttons, clock), lambda post: keys_on(sys.stdin, post, clock), clock),
        stage=stage,
        clock=clock,
        model=settings.screen,
        log=settings.log,
        on_board=board.is_board(),
        person=person,
        quick=quick,
    )


def _display(model: str, pins: PinMap, bus: Wire, clock: Clock) -> Display | None:
    """The screen of the box, where one answers: an ordinary computer is not to be bothered with what is not there."""
    try:
        places = (pins.addresses.display, OTHER_ADDRESS.get(pins.addresses.display, pins.addresses.display))
        if not any(bus.known(place).there for place in places):
            return None
        return open_oled(model, pins.i2c.bus, pins.addresses.display, clock=clock)
    except (Fault, OSError):  # the checks say it
        return None
