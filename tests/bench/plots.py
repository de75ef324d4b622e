"""Pictures: the error by frequency, and how soon everyone is right."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from bench.judge import Mark
from bench.listening_in import OURS
from bench.tables import Table, names_of

_CLEAN_ROWS = ("clean", "steady")
_BANDS_A_OCTAVE = 2
_DPI = 80


def draw(marks: Sequence[Mark], folder: Path) -> None:
    """One PNG for each picture that these marks suffice for."""
    folder.mkdir(parents=True, exist_ok=True)
    clean = [mark for mark in marks if mark.row in _CLEAN_ROWS] or list(marks)
    if any(mark.cents for mark in clean):
        _save(_errors(clean), folder / "error-by-frequency.png")
    if any(mark.delay_s is not None for mark in clean):
        _save(_delays(clean), folder / "delay.png")


def _errors(marks: Sequence[Mark]) -> Figure:
    figure, axes = _new("Error by frequency, clean notes", "sounding frequency, Hz", "median error, cents")
    for name in names_of(mark.listener for mark in marks):
        bands: dict[int, list[float]] = {}
        for mark in (mark for mark in marks if mark.listener == name):
            bands.setdefault(round(_BANDS_A_OCTAVE * np.log2(mark.hz)), []).extend(mark.cents)
        known = sorted((band, float(np.median(offs))) for band, offs in bands.items() if offs)
        at = [2.0 ** (band / _BANDS_A_OCTAVE) for band, _ in known]
        axes.plot(at, [off for _, off in known], label=name, linewidth=_width(name))
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
    for name in names_of(mark.listener for mark in marks):
        delays = [m.delay_s for m in marks if m.listener == name and m.begins and m.delay_s is not None]
        if delays:
            ms = 1000.0 * np.sort(np.where(np.isnan(delays), np.inf, delays))
            axes.step(
                ms, 100.0 * (np.arange(len(ms)) + 1) / len(ms), where="post", label=name, linewidth=_width(name)
            )
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
    return figure, axes


def _width(name: str) -> float:
    return 3.0 if name == OURS.name else 1.2


def _save(figure: Figure, path: Path) -> None:
    figure.savefig(path, dpi=_DPI)
