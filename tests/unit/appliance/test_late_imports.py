"""What the box has no need of while it starts is not imported then: `bench/START_UP.md` says what that saves.

Each import runs in a process of its own, whose modules are looked at.
"""

from __future__ import annotations

import json
import subprocess
import sys

OPENING = "import airladder.cli, airladder.appliance.opening, airladder.devices.oled"
"""All that stands between the start and the first picture."""

BOARD = f"{OPENING}, airladder.appliance.board"


def imported(script: str) -> set[str]:
    """The modules that are there after a script."""
    told = f"{script}\nimport sys, json\nprint(json.dumps(list(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    return set(json.loads(done.stdout))


def of(modules: set[str], unwanted: tuple[str, ...]) -> list[str]:
    """Those of the unwanted, and what lies in them."""
    return sorted(name for name in modules if f"{name}.".startswith(tuple(f"{one}." for one in unwanted)))


def test_the_first_picture_waits_for_nothing_that_it_does_not_need() -> None:
    modules = imported(OPENING)
    assert "airladder.panel.canvas" in modules
    rooms = tuple(f"airladder.{room}" for room in ("app", "hearing", "music", "journal", "drive", "report", "target"))
    assert of(modules, (*rooms, "numpy", "aubio", "sqlite3", "gpiozero", "subprocess", "hashlib")) == []


def test_the_box_listens_before_drives_and_report_are_loaded() -> None:
    modules = imported(BOARD)
    assert "airladder.app.practising" in modules
    rooms = tuple(f"airladder.{name}" for name in ("report", "export", "studio", "drive.outgoing", "drive.stick"))
    assert of(modules, (*rooms, "mido", "http.server", "html", "soundfile", "duckdb", "pyarrow", "email")) == []
    assert of(modules, ("airladder.virtualhorn", "airladder.drive.incoming", "zipfile", "importlib.metadata")) == []
