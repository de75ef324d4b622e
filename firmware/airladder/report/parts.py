"""What the sections of the report are made of: a place for its plot, and beside it the same numbers as a table."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from airladder.report.form import Figures
from airladder.report.standing import Rows
from airladder.report.tables import Column, table

BAR = '<path class="band" d="M1 6H25"/>'
DOT = '<circle class="reached solid" cx="13" cy="6" r="4.5"/>'
FEW = '<circle class="reached hollow thin" cx="13" cy="6" r="4.2"/>'
LINE = '<path class="reached line" d="M1 6H25"/>' + DOT
DASHED = (
    '<path class="missed line" stroke-dasharray="4 3" d="M1 6H25"/>'
    '<circle class="missed hollow thin" cx="13" cy="6" r="4"/>'
)
"""Pieces of the keys, 26 x 12 px."""


@dataclass(frozen=True)
class Plotted:
    """One section with a plot; its words are HTML.

    Attributes
    ----------
    id : of the section; the script draws by it
    short, head, told : what it is called in the list of sections, its heading, and what is to be seen
    caption, columns : of its table
    rows : those that stand in the table without a script
    key : what its signs mean, as (picture, words)
    many : whether there is a plot for each fingering
    """

    id: str
    short: str
    head: str
    told: str
    caption: str
    columns: Sequence[Column]
    rows: Callable[[Figures], Rows]
    key: Sequence[tuple[str, str]] = ()
    many: bool = True


def plotted(part: Plotted, made: Figures) -> str:
    """The section as HTML."""
    signs = "".join(
        f'<li><svg viewBox="0 0 26 12" aria-hidden="true">{sign}</svg>{word}</li>' for sign, word in part.key
    )
    key = f'<ul class="key" data-drawn hidden>{signs}</ul>' if signs else ""
    return section(
        part.id,
        part.head,
        f"<p>{part.told}</p>"
        '<p class="sentence"></p>'
        f'{key}<div class="drawn{" many" if part.many else ""}"></div>'
        '<details class="numbers" open><summary>The same in numbers</summary>'
        f"{table(part.caption, part.columns, part.rows(made))}</details>",
    )


def section(name: str, head: str, body: str) -> str:
    """A section of the page under its heading."""
    return f'<section id="{name}" aria-labelledby="{name}-head"><h2 id="{name}-head">{head}</h2>{body}</section>\n'
