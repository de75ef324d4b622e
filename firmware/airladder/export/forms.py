"""How a value of the log is written in a field of CSV and as a value of JSON.

Conventions
-----------
CSV has as many decimals as a number is worth, and an empty field where there is nothing. JSON has all the digits that
the log has; what is not known is null, and so is what is infinite: JSON has no number for it (RFC 8259, 6).
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

Cell = str | int


@dataclass(frozen=True)
class Form:
    """One kind of value.

    Attributes
    ----------
    cell : the value of the log, never None -> the field in CSV
    value : the same -> the value in JSON
    """

    cell: Callable[[Any], Cell]
    value: Callable[[Any], Any]


def number(decimals: int) -> Form:
    """A number with so many decimals in CSV."""
    return Form(f"{{:.{decimals}f}}".format, _finite)


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _seconds(when: datetime) -> str:
    return when.isoformat(timespec="seconds")


def _player(invented: int) -> str:
    return "invented" if invented else "real"


def _path_cell(kept: str) -> str:
    return " ".join(f"{partial or '-'}:{seconds:.3f}" for partial, seconds in json.loads(kept))


def _path_value(kept: str) -> list[dict[str, Any]]:
    return [{"partial": partial, "seconds": seconds} for partial, seconds in json.loads(kept)]


FORMS = {
    "text": Form(str, str),
    "whole": Form(int, int),
    "plain": Form("{:g}".format, _finite),  # a number that somebody chose, as short as it can be written
    "yes": Form(int, bool),
    "date": Form(_seconds, datetime.isoformat),
    "kept date": Form(lambda kept: _seconds(datetime.fromisoformat(kept)), str),
    "player": Form(_player, _player),
    "path": Form(_path_cell, _path_value),
    "partials": Form(lambda kept: " ".join(map(str, json.loads(kept))), json.loads),
}
"""Each by its name in the table of columns."""
