"""Tries as a table for other programs: CSV by RFC 4180, one row a try.

Conventions
-----------
UTF-8, a header line, lines end in CR LF. The columns are those of `columns`; a field is empty where nothing sounded
or nothing could be measured.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from typing import TextIO

from airladder.export.columns import COLUMNS, SESSION, TRY, Column
from airladder.export.contents import Contents, Values
from airladder.export.forms import Cell


def write_csv(contents: Contents, out: TextIO, sessions: Sequence[int] | None = None) -> None:
    """Write the tries of the sessions of these numbers, all unless told otherwise.

    Parameters
    ----------
    contents : the log
    out : a text stream that leaves ends of lines alone (``newline=""``)
    sessions : such as one of `Contents.months`

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(column.name for column in COLUMNS)
    for head, tries in contents.rows(sessions):
        first = _cells(SESSION, head)
        writer.writerows(first + _cells(TRY, values) for values in tries)


def _cells(columns: Sequence[Column], values: Values) -> list[Cell | None]:
    return [None if value is None else column.form.cell(value) for column, value in zip(columns, values, strict=True)]
