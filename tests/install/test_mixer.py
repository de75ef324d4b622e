"""The codec's levels, as they are handed to amixer."""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

import pytest

from install.conftest import ROOT

MIXER = ROOT / "firmware/system/mixer"


@pytest.fixture
def amixer(tmp_path: Path) -> Path:
    """A stand-in that keeps what it is told; the folder it is in."""
    script = tmp_path / "amixer"
    script.write_text('#!/bin/sh\nhere=$(dirname "$0")\necho "$*" >"$here/words"\ncat >"$here/lines"\n')
    script.chmod(0o755)
    return tmp_path


def told(amixer: Path, *words: str, settings: str | None = None) -> list[str]:
    """The lines that amixer gets."""
    file = amixer / "settings.toml"
    if settings is not None:
        file.write_text(settings)
    run = {**os.environ, "PATH": f"{amixer}:{os.environ['PATH']}", "AIRLADDER_SETTINGS": str(file)}
    subprocess.run(["sh", str(MIXER / "set"), *words], check=True, env=run, capture_output=True)
    return (amixer / "lines").read_text().splitlines()


def raw(lines: list[str], control: str) -> int:
    """The value of a control, of the left channel."""
    (value,) = [line.rsplit(" ", 1)[1] for line in lines if line.startswith(f"cset name='{control}' ")]
    return int(value.split(",")[0])


def test_the_gain_is_that_of_the_place(amixer: Path) -> None:
    """Raw 23 is 0 dB, a step 0.75 dB (WM8960 datasheet, rev. 4.2): +6.75 dB at the bell, +24.75 dB on the stand."""
    gains = {place: (raw(told(amixer, place), "Capture Volume") - 23) * 0.75 for place in ("bell", "stand")}
    assert gains == {"bell": 6.75, "stand": 24.75}


def test_the_place_is_that_of_the_settings_and_the_bell_without(amixer: Path) -> None:
    bell, stand = told(amixer, "bell"), told(amixer, "stand")
    assert told(amixer) == bell
    assert told(amixer, settings='horn = "alto"\nplace = "stand"\n') == stand
    assert told(amixer, settings='place = "moon"\n') == bell


def test_every_line_is_a_control_and_a_value_and_the_card_is_ours(amixer: Path) -> None:
    lines = told(amixer, "bell")
    assert all(re.fullmatch(r"cset name='[A-Za-z0-9 ]+' (on|off|\d+(,\d+)?)", line) for line in lines)
    assert (amixer / "words").read_text() == "-q -c airladder --stdin\n"
    assert len({line.split("'")[1] for line in lines}) == len(lines)


def test_nothing_changes_the_level_by_itself(amixer: Path) -> None:
    lines = told(amixer, "stand")
    assert raw(lines, "ALC Function") == 0
    assert "cset name='Noise Gate Switch' off" in lines


def test_a_place_that_is_not_known_is_one_sentence(amixer: Path) -> None:
    done = subprocess.run(["sh", str(MIXER / "set"), "moon"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (2, "mixer: there is no place 'moon'; known: bell, stand\n")
