"""The one place that calls kicad-cli: a fresh configuration each time, and no time of day in what comes out."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

# What every file says of its own making instead of the time of day.
MOMENT = "2026-01-01 00:00:00"
OLDEST = 9
# KiCad crosses out the parts that are not fitted; in its usual red the options could not be read.
_THEME = "airladder"
_COLOURS = {
    "meta": {"name": _THEME, "version": 5},
    "schematic": {"background": "rgb(255, 255, 255)", "dnp_marker": "rgb(244, 200, 200)"},
}
# Seconds; the longest call of the project, a board with its fills, takes about 20.
PATIENCE = 300


class KicadFault(Exception):
    """KiCad is missing, too old, or a call of it failed; the text is one sentence."""


def installed() -> bool:
    """Whether kicad-cli and faketime are there and KiCad is new enough."""
    try:
        version()
    except KicadFault:
        return False
    return True


@cache
def version() -> str:
    """KiCad's version, like "9.0.8".

    Raises
    ------
    KicadFault
        It is missing or too old.
    """
    for program, package in (("kicad-cli", f"KiCad {OLDEST}"), ("faketime", "faketime")):
        if shutil.which(program) is None:
            raise KicadFault(f"{program} is not installed; install {package} (Debian: backports) and try again")
    told = _output(("version",), None, os.environ | {"KICAD_CONFIG_HOME": os.devnull}).strip()
    if not (found := re.match(r"(\d+)\.\d+", told)) or int(found[1]) < OLDEST:
        raise KicadFault(f"KiCad is '{told}' here, and version {OLDEST} or newer is needed")
    return told


def run(words: Sequence[str | Path], folder: Path | None = None) -> str:
    """Call kicad-cli with these words, in a folder; what it printed.

    Raises
    ------
    KicadFault
        KiCad is missing or too old, or the call ended with a fault or not at all.
    """
    version()
    return _called(words, folder)


def netlist(schematic: Path, into: Path) -> None:
    """Write the netlist as KiCad's XML, without the path, the time and the version that it would carry."""
    run(("sch", "export", "netlist", "--format", "kicadxml", "-o", into, schematic))
    told = into.read_text(encoding="utf-8")
    for element in ("source", "date", "tool"):
        told = re.sub(rf"^ {{4}}<{element}>.*</{element}>\n", "", told, count=1, flags=re.MULTILINE)
    told = re.sub(r"<uri>[^<]*/", "<uri>", told)
    into.write_text(told, encoding="utf-8")


def pdf(schematic: Path, into: Path) -> None:
    """Write all sheets as one PDF, on white."""
    run(("sch", "export", "pdf", "--theme", _THEME, "--no-background-color", "-o", into, schematic))


def svg(schematic: Path, folder: Path) -> None:
    """Write each sheet as an SVG into a folder; its lines and letters are in millimetres of the paper."""
    run(("sch", "export", "svg", "--theme", _THEME, "--exclude-drawing-sheet", "-o", folder, schematic))


def _called(words: Sequence[str | Path], folder: Path | None) -> str:
    with tempfile.TemporaryDirectory() as home:
        colours = Path(home) / ".".join(version().split(".")[:2]) / "colors"
        colours.mkdir(parents=True)
        (colours / f"{_THEME}.json").write_text(json.dumps(_COLOURS), encoding="utf-8")
        # A fresh home has no libraries, settings or lock files of whoever runs this; LC_ALL keeps its words English.
        world = os.environ | {"KICAD_CONFIG_HOME": home, "LC_ALL": "C.UTF-8", "TZ": "UTC"}
        return _output(words, folder, world)


def _output(words: Sequence[str | Path], folder: Path | None, world: Mapping[str, str]) -> str:
    told = ["faketime", "-f", MOMENT, "kicad-cli", *map(str, words)]
    called = f"kicad-cli {' '.join(told[4:7])}"
    try:
        done = subprocess.run(
            told, cwd=folder, env=world, capture_output=True, text=True, timeout=PATIENCE, check=False
        )
    except OSError as wrong:
        raise KicadFault(f"{called} could not be started: {wrong}") from wrong
    except subprocess.TimeoutExpired as wrong:
        raise KicadFault(f"{called} did not end within {PATIENCE} s") from wrong
    if done.returncode:
        said = " ".join((done.stderr + " " + done.stdout).split())
        raise KicadFault(f"{called} failed with {done.returncode}: {said}")
    return done.stdout
