"""Tables of the record: real ones, with a caption and with heads for columns and rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape


@dataclass(frozen=True)
class Column:
    """One column.

    Attributes
    ----------
    head : its head
    number : whether it holds numbers, which stand to the right
    whole : whether its cells are kept on one line
    """

    head: str
    number: bool = False
    whole: bool = False


def table(caption: str, columns: Sequence[Column], rows: Sequence[Sequence[str]]) -> str:
    """The table; `caption` and heads are plain text, cells are HTML, and the first cell of a row is its head.

    It scrolls sideways by itself where the screen is narrow, by keyboard too.
    """
    heads = "".join(f'<th scope="col"{_kind(column)}>{escape(column.head)}</th>' for column in columns)
    body = "".join(_row(columns, cells) for cells in rows)
    return (
        f'<div class="wide-table" role="region" tabindex="0" aria-label="{escape(caption)}">'
        f"<table><caption>{escape(caption)}</caption><thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def _row(columns: Sequence[Column], cells: Sequence[str]) -> str:
    head, *others = zip(columns, cells, strict=True)
    rest = "".join(f"<td{_kind(column)}>{cell}</td>" for column, cell in others)
    return f'<tr><th scope="row"{_kind(head[0])}>{head[1]}</th>{rest}</tr>\n'


def _kind(column: Column) -> str:
    return ' class="number"' if column.number else ' class="whole"' if column.whole else ""
