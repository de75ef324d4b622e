"""Pictures: the error by frequency, and how soon everyone is right."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from bench.judge import Mark
from bench.listening_in import OURS
from bench.tables import Table, names_of

_CLEAN_ROWS = ("clean", "steady")
_DASHES = ("-", "--", ":", "-.")  # for some lie on each other
_BANDS_A_OCTAVE = 2
_DPI = 80


def draw(marks: Sequence[Mark], folder: Path) -> None:
    """One PNG for each picture that these marks suffice for."""
    folder.mkdir(parents=True, exist_ok=True)
    clean = [mark for mark in marks if mark.row in _CLEAN_ROWS]
    if any(mark.cents for mark in clean):
        _save(_errors(clean), folder / "error-by-frequency.png")
    recorded = [mark for mark in clean if mark.row == "clean" and mark.begins and mark.delay_s is not None]
    if recorded:
        _save(_delays(recorded), folder / "delay.png")


def _errors(marks: Sequence[Mark]) -> Figure:
    figure, axes = _new("Error by frequency, clean notes", "sounding frequency, Hz", "median error, cents")
    for place, name in enumerate(names_of(mark.listener for mark in marks)):
        bands: dict[int, list[float]] = {}
        for mark in (mark for mark in marks if mark.listener == name):
            bands.setdefault(round(_BANDS_A_OCTAVE * np.log2(mark.hz)), []).extend(mark.cents)
        known = sorted((band, float(np.median(offs))) for band, offs in bands.items() if offs)
        at = [2.0 ** (band / _BANDS_A_OCTAVE) for band, _ in known]
        axes.plot(at, [off for _, off in known], label=name, **_style(place, name))
    axes.set_xscale("log", base=2)
    axes.set_yscale("log")
    axes.xaxis.set_major_formatter("{x:.0f}")
    axes.yaxis.set_major_formatter("{x:g}")
    figure.legend(fontsize=8, loc="outside right upper")
    return figure


def _delays(marks: Sequence[Mark]) -> Figure:
    figure, axes = _new(
        "How soon the partial is right and stays right, clean notes", "ms from the start", "% of notes"
    )
    for place, name in enumerate(names_of(mark.listener for mark in marks)):
        delays = np.array([mark.delay_s for mark in marks if mark.listener == name], np.float64)
        ms = 1000.0 * np.sort(np.where(np.isnan(delays), np.inf, delays))
        share = 100.0 * np.arange(len(ms) + 1) / len(ms)
        axes.step([0.0, *ms], share, where="post", label=name, **_style(place, name))
    axes.set_xlim(0, 300)
    axes.set_ylim(0, 101)
    figure.legend(fontsize=8, loc="outside right upper")
    return figure


def draw_ladder(table: Table, folder: Path) -> None:
    """The stages as bars, the dearest on top; the second column of the table is drawn."""
    figure, axes = _new(table.title, table.head[1], "")
    rows = table.rows[::-1]
    axes.barh([row[0] for row in rows], [float(row[1]) for row in rows], color="0.4")
    _save(figure, folder / "ladder.png")


def _new(title: str, across: str, up: str) -> tuple[Figure, Axes]:
    figure = Figure(figsize=(8.0, 4.5), layout="constrained")
    axes = figure.subplots()
    axes.set_title(title, fontsize=10)
    axes.set_xlabel(across)
    axes.set_ylabel(up)
    axes.grid(visible=True, color="0.9")
    axes.set_axisbelow(True)
    return figure, axes


def _style(place: int, name: str) -> dict[str, Any]:
    if name == OURS.name:
        return {"linewidth": 3.0, "color": "black"}
    return {"linewidth": 1.5, "linestyle": _DASHES[place % len(_DASHES)]}


def _save(figure: Figure, path: Path) -> None:
    figure.savefig(path, dpi=_DPI)
