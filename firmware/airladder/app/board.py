"""The box's own screen and buttons, and what is done when it cannot start. Untested on hardware."""

from __future__ import annotations

from collections.abc import Callable

from airladder.app.building import Aside
from airladder.app.exchanging import News
from airladder.app.handing import Handing
from airladder.app.handover import heed_time
from airladder.app.order import Done, Order, Outside
from airladder.app.practising import practise
from airladder.app.sources import speaker_for
from airladder.devices.buttons import Buttons
from airladder.devices.clock import Clock
from airladder.devices.display import Display
from airladder.devices.gadget import Gadget
from airladder.devices.oled import open_oled
from airladder.devices.pins import pin_map
from airladder.devices.sticks import sticks
from airladder.faults import Fault
from airladder.pages.box import Box
from airladder.panel.debounce import Edge
from airladder.panel.notices import draw_fault

RETRY_SECONDS = 5.0
"""How long a fault stands on the screen before the start is tried again."""


def screen(model: str) -> Display:
    """The OLED, ``ssd1306`` or ``sh1106``, where the pin map says.

    Raises
    ------
    Fault : when there is none to be had.
    """
    pins = pin_map()
    return open_oled(model, pins.i2c.bus, pins.addresses.display)


def buttons(post: Callable[[Edge], None], clock: Clock) -> Buttons:
    """The four buttons and the foot switch, where the pin map says.

    Raises
    ------
    Fault : when their pins cannot be had.
    """
    return Buttons(pin_map().buttons, post, clock)


def patiently(start: Callable[[], Done], display: Display, clock: Clock) -> Done:
    """Start until it succeeds: meanwhile the fault stands on the screen as a sentence, instead of a crash loop."""
    while True:
        try:
            return start()
        except Fault as fault:
            display.show(draw_fault(str(fault)))
            clock.sleep(RETRY_SECONDS)


def practise_on_board(model: str, order: Callable[[], Order], clock: Clock) -> int:
    """Practise with the box's own screen and buttons; whatever hinders the start stands on that screen.

    Parameters
    ----------
    model : of the OLED
    order : reads the settings, and may raise a Fault as long as they are wrong
    clock : the time
    """
    display = screen(model)
    try:
        done = patiently(lambda: _started(order(), display, clock), display, clock)
    finally:
        display.close()
    return done.faults[0].exit_code if done.faults else 0


def _started(order: Order, display: Display, clock: Clock) -> Done:
    speaker = speaker_for(order.source, order.settings.speaker, clock)
    outside = Outside(
        display,
        lambda post: buttons(post, clock),
        _nobody_watches,
        clock,
        speaker=speaker,
        hand_over=lambda post: _handing(order, post, clock),
    )
    return practise(order, outside)


def _handing(order: Order, post: Callable[[News], None], clock: Clock) -> Handing:
    return Handing(
        Gadget(),
        Aside(order.log, order.settings_file),
        post,
        heed=lambda newest: heed_time(newest, clock, order.log),
        sticks=sticks,
    )


def _nobody_watches(box: Box) -> None:
    """The panel is all there is to see."""
