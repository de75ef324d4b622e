"""Imports point one way, and the pure rooms touch neither devices nor the clock (design: The house)."""

from __future__ import annotations

from pathlib import Path

import pytest

from importwalk import MAY_IMPORT, ON_TOP, WIRING, breaches

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "firmware" / "airladder"


def test_every_import_points_the_way_of_the_house() -> None:
    told = breaches(PACKAGE)
    assert not told, "\n".join(told)


def test_every_room_of_the_design_is_there_to_be_walked() -> None:
    """So that a renamed folder cannot make the test above pass on nothing."""
    assert {path.parent.name for path in PACKAGE.glob("*/__init__.py")} == {*MAY_IMPORT, WIRING, *ON_TOP}


@pytest.mark.parametrize(
    ("file", "source", "sentence"),
    [
        (
            "music/a.py",
            "from airladder.panel.words import X",
            "line 1: music imports airladder.panel.words.X; of ours",
        ),
        ("music/a.py", "import airladder.hearing.ear", "music imports airladder.hearing.ear; of ours"),
        (
            "hearing/a.py",
            "def f():\n    from airladder.practice import judge",
            "line 2: hearing imports airladder.pra",
        ),
        ("hearing/a.py", "from ..panel import canvas", "hearing imports airladder.panel.canvas; of ours"),
        ("journal/a.py", "from airladder import panel", "journal imports airladder.panel; of ours"),
        ("panel/a.py", "from airladder.config import Settings", "panel imports airladder.config.Settings; of ours"),
        ("devices/a.py", "from airladder.app import run", "devices imports airladder.app.run; of ours"),
        ("devices/a.py", "from airladder.panel.canvas import X", "devices imports airladder.panel.canvas.X; of ours"),
        ("devices/a.py", "from airladder.hearing.blocks import X", "devices imports airladder.hearing.blocks.X; of"),
        ("practice/a.py", "import time", "practice is pure and must not import time."),
        ("practice/a.py", "from datetime import datetime", "practice is pure and must not import datetime."),
        (
            "panel/a.py",
            "import importlib\nimportlib.import_module('os.path')",
            "panel is pure and must not import os.",
        ),
        ("hearing/a.py", "def f():\n    import soxr", "hearing imports soxr, which belongs in devices."),
        ("app/a.py", "def f():\n    import alsaaudio", "app imports alsaaudio, which belongs in devices."),
        ("practice/a.py", "import aubio", "practice imports aubio, which belongs in hearing."),
        ("journal/a.py", "from PIL import Image", "journal imports PIL, which belongs in app or appliance"),
        ("app/a.py", "import sqlite3", "app imports sqlite3, which belongs in journal or report."),
        ("virtualhorn/a.py", "import random\nrandom.gauss(0, 1)", "line 2: virtualhorn draws lots without a seed."),
        ("virtualhorn/a.py", "import numpy as np\nnp.random.default_rng()", "virtualhorn draws lots without a seed."),
        ("virtualhorn/a.py", "from random import Random\nRandom()", "virtualhorn draws lots without a seed."),
        ("app/a.py", "from airladder.appliance import care", "line 1: airladder.appliance.care is for the command"),
        ("selftest/a.py", "import airladder.appliance", "airladder.appliance is for the command line alone."),
        ("cellar/a.py", "", "airladder/cellar/a.py stands in a room that the house does not know."),
    ],
)
def test_a_planted_breach_is_told_in_one_sentence(tmp_path: Path, file: str, source: str, sentence: str) -> None:
    plant(tmp_path, {file: source})
    (told,) = breaches(tmp_path)
    assert sentence in told
    assert told.startswith(f"airladder/{file} ")


def test_a_vendors_library_in_two_files_is_told(tmp_path: Path) -> None:
    late = "def f():\n    import soundfile"
    plant(tmp_path, {"devices/a.py": late, "devices/b.py": late})
    assert breaches(tmp_path) == [
        "soundfile is imported in airladder/devices/a.py and airladder/devices/b.py; a vendor's library has one file."
    ]


def test_a_vendors_library_that_comes_early_through_another_file_is_told(tmp_path: Path) -> None:
    early = "from airladder.devices.a import Screen"
    plant(tmp_path, {"devices/a.py": "from luma.oled.device import ssd1306", "devices/b.py": early, "cli.py": early})
    assert breaches(tmp_path) == [
        f"airladder/{file} line 1: airladder.devices.a.Screen is imported early, and with it luma.oled;"
        " import it late, where it is used."
        for file in ("cli.py", "devices/b.py")
    ]


@pytest.mark.parametrize(
    ("file", "source"),
    [
        ("music/a.py", "from airladder.faults import BadInput\nfrom airladder.music import pitch\nimport math"),
        ("panel/a.py", "from PIL import Image\nfrom . import fonts\nfrom ..practice.state import State"),
        (
            "devices/a.py",
            "from airladder.panel.debounce import Edge\nimport threading, time\ndef f():\n    import soxr",
        ),
        ("devices/a.py", "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import soundfile"),
        ("journal/a.py", "import sqlite3, datetime\nfrom airladder.practice.judge import Attempt"),
        ("virtualhorn/a.py", "import numpy as np\nr = np.random.default_rng(7)\nr.normal()"),
        ("cli.py", "from airladder.app import run\nfrom airladder.devices import clock"),
    ],
)
def test_what_the_house_allows_is_not_told(tmp_path: Path, file: str, source: str) -> None:
    plant(tmp_path, {file: source})
    assert breaches(tmp_path) == []


def test_every_folder_of_tests_is_a_word_of_the_run_command() -> None:
    """So that no test is left out of the whole run in silence."""
    words = (ROOT / "tests" / "run").read_text("utf-8").split("stages='", 1)[1].split("'", 1)[0].split()
    inside = (path for path in (ROOT / "tests").iterdir() if path.is_dir() and not path.name.startswith("."))
    folders = {folder.name for folder in inside if any(folder.rglob("test_*.py"))}
    assert folders <= set(words)


def plant(package: Path, files: dict[str, str]) -> None:
    """Write a small package."""
    for name, source in files.items():
        path = package / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(source, "utf-8")
