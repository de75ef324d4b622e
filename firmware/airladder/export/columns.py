"""The one table of what is exported of a try, `columns.toml`: CSV, JSON Lines and README.txt are made from it."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

from airladder.export.forms import FORMS, Form, number


@dataclass(frozen=True)
class Column:
    """One column.

    Attributes
    ----------
    name : in the header line of CSV
    place : in JSON, its steps divided by dots, such as ``tone.attack.kind``
    kept : the column of the log
    form : how it is written
    unit : such as ``s``; "" where it has none
    means : one or two sentences for a person
    """

    name: str
    place: str
    kept: str
    form: Form
    unit: str
    means: str


def _column(name: str, words: dict[str, Any]) -> Column:
    form = number(words["decimals"]) if "decimals" in words else FORMS[words.get("form", "text")]
    return Column(name, words["place"], words.get("kept", name), form, words.get("unit", ""), words["means"])


_TABLE = tomllib.loads((files("airladder.export") / "columns.toml").read_text(encoding="utf-8"))

SESSION = tuple(_column(name, words) for name, words in _TABLE["session"].items())
"""What is true of a whole session; `date` and `date_known` are told by the journal, all else stands in its table."""

TRY = tuple(_column(name, words) for name, words in _TABLE["try"].items())
"""What is true of one try."""

COLUMNS = (*SESSION, *TRY)
"""All, in the order of the header line."""
