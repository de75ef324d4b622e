"""TOML that a stranger wrote, read within bounds: no file of 64 KiB may take long or much memory.

What keeps `tomllib` busy is told before it is asked: keys of thousands of dots (its time grows with their square),
lists nested without end (they would exhaust its recursion), numbers of thousands of digits.
"""

from __future__ import annotations

import math
import tomllib
from typing import Any

from airladder.faults import BadInput

MOST_CHARACTERS = 64 * 1024
LONGEST_LINE = 1000
MOST_DOTS = 4000
"""In a whole file; a number with a point has one, and prose in remarks has some."""

MOST_BRACKETS = 2000


def values(text: str) -> dict[str, Any]:
    """What the TOML in `text` says.

    Raises
    ------
    BadInput : when it is too large or too deep, or no TOML.
    """
    if len(text) > MOST_CHARACTERS:
        raise BadInput(f"it has more than {MOST_CHARACTERS // 1024} KiB; wanted a page or two of text.")
    long = next((number for number, line in enumerate(text.split("\n"), 1) if len(line) > LONGEST_LINE), None)
    if long is not None:
        raise BadInput(f"line {long} has more than {LONGEST_LINE} characters; break it into shorter ones.")
    if text.count(".") > MOST_DOTS or text.count("[") + text.count("{") > MOST_BRACKETS:
        raise BadInput('it has thousands of dots or brackets; wanted plain lines like horn = "alto".')
    try:
        read = tomllib.loads(text)
    except RecursionError:
        raise BadInput('its lists or tables are nested too deep; wanted plain lines like horn = "alto".') from None
    except ValueError as error:  # TOMLDecodeError is one; a number too long for Python is another
        raise BadInput(f'it is no TOML: {error}; wanted lines like horn = "alto".') from None
    _check_numbers(read)
    return read


def _check_numbers(read: dict[str, Any]) -> None:
    """TOML 1.0 promises 64 bits and no more; no setting is infinite, or not a number."""
    left: list[Any] = [read]
    while left:
        match left.pop():
            case dict(table):
                left.extend(table.values())
            case list(listed):
                left.extend(listed)
            case int(number) if not -(2**63) <= number < 2**63:
                raise BadInput("it has a whole number of more than 64 bits; wanted smaller ones.")
            case float(number) if not math.isfinite(number):
                raise BadInput("it has a number that is infinite, or none; wanted others.")
