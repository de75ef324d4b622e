"""The curves of a simulated year: how far players came, how much came out right, and where a detour was."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import matplotlib as mpl

mpl.use("Agg")
from matplotlib import pyplot as plt
from matplotlib.axes import Axes

from learners.living import Life

_SHOWN = 12
_SMOOTHED_DAYS = 14


def draw(lives: Mapping[str, Sequence[Life]], folder: Path) -> None:
    """Write ``reach.png`` and ``shares.png`` into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    _sheet(lives, folder / "reach.png", _reach, "highest partial asked for")
    _sheet(lives, folder / "shares.png", _shares, f"share of right tries, {_SMOOTHED_DAYS} days")


def _sheet(lives: Mapping[str, Sequence[Life]], path: Path, curve: object, label: str) -> None:
    figure, axes = plt.subplots(1, len(lives), figsize=(3.2 * len(lives), 3.2), sharey=True, layout="constrained")
    for axis, (name, some) in zip(axes, lives.items(), strict=True):
        axis.set_title(name, fontsize=9)
        axis.set_xlabel("day of the year")
        for life in some[:_SHOWN]:
            curve(axis, life)  # type: ignore[operator]  # one of the two below
    axes[0].set_ylabel(label)
    figure.savefig(path, dpi=110)
    plt.close(figure)


def _reach(axis: Axes, life: Life) -> None:
    axis.step(life.dates, life.reaches, where="post", lw=0.9, alpha=0.6)
    _detours(axis, life, lambda index: life.reaches[index])


def _shares(axis: Axes, life: Life) -> None:
    shares = []
    for index in range(len(life.days)):
        newest = life.days[max(0, index - _SMOOTHED_DAYS + 1) : index + 1]
        tries = sum(tally.tries for day in newest for tally in day.tallies)
        shares.append(sum(tally.right for day in newest for tally in day.tallies) / max(1, tries))
    axis.plot(life.dates, shares, lw=0.7, alpha=0.6)
    axis.axhspan(0.8, 0.9, color="0.92", zorder=0)
    axis.set_ylim(0.0, 1.0)


def _detours(axis: Axes, life: Life, height: object) -> None:
    for detour in life.course.detours:
        begun, ended = life.dates[detour.first], life.dates[min(detour.last, len(life.dates) - 1)]
        y = height(detour.first)  # type: ignore[operator]  # as above
        axis.plot([begun, ended], [y, y], color="black", lw=3, solid_capstyle="butt")
        axis.annotate({True: "+", False: "–", None: "?"}[detour.helped], (ended, y), fontsize=8)
