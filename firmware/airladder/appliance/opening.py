"""The first picture: the screen is opened and says who is there, before all else is imported.

Untested on hardware. What this file imports is on the way to the first picture: see `tests/bench/START_UP.md`.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

from airladder import __version__
from airladder.appliance.screen import LateScreen
from airladder.devices.clock import Clock
from airladder.devices.oled import open_oled
from airladder.devices.pins import pin_map
from airladder.panel.opening import draw_opening
from airladder.places import SCREENS, settings_path


def opened(model: str | None, settings_file: Path | None, clock: Clock) -> LateScreen:
    """The screen of the box, with the first picture on it.

    Parameters
    ----------
    model : of the OLED; None: as the settings say
    settings_file : None: the usual place
    clock : the time
    """
    pins = pin_map()
    kind = model or model_in(settings_file or settings_path())
    screen = LateScreen(lambda: open_oled(kind, pins.i2c.bus, pins.addresses.display), clock)
    screen.show(draw_opening(__version__))
    return screen


def model_in(settings_file: Path) -> str:
    """The screen that a settings file names; the usual one where it says nothing that is of use."""
    try:
        word = tomllib.loads(settings_file.read_text("utf-8")).get("screen")
    except (OSError, ValueError):  # TOML and UTF-8 errors are ValueErrors; the settings say so themselves later
        return SCREENS[0]
    return word if word in SCREENS else SCREENS[0]
