"""Tables: what they hold, as Markdown and as JSON, and the small sums they are made of."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from bench.judge import Mark

NONE = "."

Condition = Callable[[Mark], bool]


@dataclass(frozen=True)
class Table:
    """A title, a sentence on how to read it, the heads of the columns, and rows that begin with their names."""

    title: str
    note: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def markdown(self) -> str:
        """As it stands in RESULTS.md."""
        lines = [_line(self.head), _line(["---"] * len(self.head)), *map(_line, self.rows)]
        return f"## {self.title}\n\n{self.note}\n\n" + "\n".join(lines) + "\n"


def by_listener(
    marks: Sequence[Mark], cell: Callable[[list[Mark]], str], rows: Iterable[tuple[str, Condition]]
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Head and rows: one row for each name and condition that has marks, one column for each listener."""
    names = names_of(mark.listener for mark in marks)
    made = []
    for name, wanted in rows:
        some = [mark for mark in marks if wanted(mark)]
        if some:
            made.append((name, *(cell([mark for mark in some if mark.listener == who]) for who in names)))
    return ("row", *names), tuple(made)


def each_row(marks: Iterable[Mark]) -> list[tuple[str, Condition]]:
    """A name and a condition for every row, in the order in which they come."""
    return [(row, _in_row(row)) for row in names_of(mark.row for mark in marks)]


def names_of(all_names: Iterable[str]) -> list[str]:
    """Each once, in the order in which they come."""
    return list(dict.fromkeys(all_names))


def single(marks: Iterable[Mark]) -> list[Mark]:
    """The marks of what sounds on one partial."""
    return [mark for mark in marks if mark.partial is not None]


def right_and_wrong(marks: list[Mark]) -> str:
    """Right / wrong in per cent of the steady hops."""
    hops = sum(mark.hops for mark in marks)
    right, wrong = sum(mark.right for mark in marks), sum(mark.wrong for mark in marks)
    return f"{percent(right, hops)} / {percent(wrong, hops)}" if hops else NONE


def percent(part: float, whole: float, digits: int = 2) -> str:
    """A share, without the sign; a dot for a share of nothing."""
    return f"{100.0 * part / whole:.{digits}f}" if whole else NONE


def middle_and_tail(values: Sequence[float], tail: float, digits: int, scale: float = 1.0) -> str:
    """The median and a percentile; never-reached values (nan) count as infinite."""
    if not len(values):
        return NONE
    return " / ".join(_number(scale * quantile(values, q), digits) for q in (0.5, tail))


def quantile(values: Sequence[float], q: float) -> float:
    """The smallest value that a share `q` of them does not pass; nan among them is never; nan for none at all."""
    if not len(values):
        return float("nan")
    known = np.sort(np.where(np.isnan(values), np.inf, values))
    return float(known[int(np.ceil(q * len(known))) - 1])


def _number(value: float, digits: int) -> str:
    return f"{value:.{digits}f}" if np.isfinite(value) else "never"


def _line(cells: Iterable[str]) -> str:
    return "| " + " | ".join(cells) + " |"


def _in_row(row: str) -> Condition:
    return lambda mark: mark.row == row
