"""Where the settings and the log are looked for, and which screens there are: quick to import."""

from __future__ import annotations

import os
from pathlib import Path

SCREENS = ("ssd1306", "sh1106")


def settings_path() -> Path:
    """Where the settings file is looked for when none is named (XDG Base Directory Specification)."""
    return _home("XDG_CONFIG_HOME", ".config") / "settings.toml"


def log_folder() -> Path:
    """Where the log lies unless the settings name another folder (the same specification)."""
    return _home("XDG_DATA_HOME", ".local/share")


def _home(variable: str, otherwise: str) -> Path:
    return Path(os.environ.get(variable) or Path.home() / otherwise) / "airladder"
