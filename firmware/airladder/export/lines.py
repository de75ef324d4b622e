"""Tries as JSON Lines: one JSON object (RFC 8259) a line, a try a line.

Conventions
-----------
UTF-8, lines end in LF. The places are those of `columns`. Every object has every field of the first level; a group of
which nothing is known (no tone, no attack, nothing sung) is null.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, TextIO

from airladder.export.columns import SESSION, TRY, Column
from airladder.export.contents import Contents, Values

_SESSION = tuple(column.place.removeprefix("session.") for column in SESSION)
_Plan = dict[str, "int | _Plan"]


def write_lines(contents: Contents, out: TextIO, sessions: Sequence[int] | None = None) -> None:
    """Write the tries of the sessions of these numbers, all unless told otherwise; see `table.write_csv`.

    Raises
    ------
    LogFault : when the log cannot be read.
    """
    for head, tries in contents.rows(sessions):
        # What is the same in all lines of a session is put into words once.
        session = _words(dict(zip(_SESSION, _values(SESSION, head), strict=True)))
        for values in tries:
            tried = _words(_nested(_PLAN, _values(TRY, values)))
            out.write(f'{{"session":{session},{tried[1:]}\n')


def _words(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _values(columns: Sequence[Column], values: Values) -> list[Any]:
    return [
        None if value is None else column.form.value(value) for column, value in zip(columns, values, strict=True)
    ]


def _planned(columns: Sequence[Column]) -> _Plan:
    """Where each value goes: by name, its number among the columns, or a group of such."""
    plan: _Plan = {}
    for number, column in enumerate(columns):
        group = plan
        *above, name = column.place.split(".")
        for step in above:
            inner = group.setdefault(step, {})
            assert isinstance(inner, dict)
            group = inner
        group[name] = number
    return plan


def _nested(plan: _Plan, values: Sequence[Any]) -> dict[str, Any]:
    return {name: values[place] if isinstance(place, int) else _group(place, values) for name, place in plan.items()}


def _group(plan: _Plan, values: Sequence[Any]) -> dict[str, Any] | None:
    group = _nested(plan, values)
    return None if all(value is None for value in group.values()) else group


_PLAN = _planned(TRY)
