"""The values of a routine's keys: each of the right type and within sense, or a sentence that says what is wanted."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from airladder.faults import BadInput, did_you_mean

T = TypeVar("T")

LONGEST_LIST = 32
"""The most elements that a list may have."""

_SPAN = re.compile(r"\s*([0-9]{1,3})\s*-\s*([0-9]{1,3})\s*")


def shown(value: Any) -> str:
    """A value as one would say it in a sentence, short however large it is."""
    match value:
        case bool():
            return str(value).lower()
        case dict():
            return "a table"
        case list():
            return "a list"
        case int() if abs(value) >= 10**15:
            return "a number of more than 15 digits"
        case str():
            quoted = repr(value)
            return quoted if len(quoted) <= 40 else f"{quoted[:38]}…{quoted[0]}"
        case _:
            return str(value)


def plain(key: str) -> str:
    """A key as one would say it in a sentence: without quotes where it is a plain word, and short."""
    return key if re.fullmatch(r"[\w-]{1,40}", key) else shown(key)


def text(value: Any) -> str:
    """Any text that is not blank."""
    if not isinstance(value, str) or not value.strip():
        raise BadInput(f"{shown(value)} is no text; wanted words in quotes.")
    return value


def line_of_text(value: Any, most: int) -> str:
    """Text of one line, of at most `most` characters that can be shown."""
    line = text(value)
    if not line.isprintable():
        raise BadInput(f"{shown(line)} has characters that cannot be shown; wanted one line of plain text.")
    if len(line) > most:
        raise BadInput(f"{shown(line)} has {len(line)} characters; there is room for {most}.")
    return line


def word(value: Any, known: Iterable[str], what: str) -> str:
    """One of the known words; `what` says what it would be."""
    words = list(known)
    if text(value) not in words:
        raise BadInput(f"{shown(value)} is no {what}{did_you_mean(value[:40], words)}")
    return str(value)


def whole(value: Any, low: int, high: int) -> int:
    """A whole number from `low` to `high`."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise BadInput(f"{shown(value)} is no whole number; wanted one from {low} to {high}, without quotes.")
    if not low <= value <= high:
        raise BadInput(f"{shown(value)} is out of range; wanted a whole number from {low} to {high}.")
    return value


def number(value: Any, low: float, high: float, unit: str) -> float:
    """A number from `low` to `high`, both in `unit`."""
    wanted = f"from {low:g} to {high:g} {unit}"
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadInput(f"{shown(value)} is no number; wanted one {wanted}, without quotes.")
    if not low <= value <= high:  # which NaN is not either
        raise BadInput(f"{shown(value)} is out of range; wanted a number {wanted}.")
    return float(value)


def yes(value: Any) -> bool:
    """True or false."""
    if not isinstance(value, bool):
        raise BadInput(f"{shown(value)} is neither true nor false; wanted one of them, without quotes.")
    return value


def elements(value: list[Any]) -> list[Any]:
    """The elements of a list that is neither empty nor long; BadInput when it is."""
    if not value:
        raise BadInput("an empty list; leave the key out, or name at least one.")
    if len(value) > LONGEST_LIST:
        raise BadInput(f"a list of {len(value)}; wanted at most {LONGEST_LIST}.")
    return value


def each(value: list[Any], reader: Callable[[Any], T]) -> tuple[T, ...]:
    """What `reader` makes of each element; BadInput with all that it has to say, each thing once."""
    read, told = [], []
    for element in elements(value):
        try:
            read.append(reader(element))
        except BadInput as fault:
            told.append(str(fault))
    if told:
        raise BadInput(" ".join(dict.fromkeys(told)))
    return tuple(read)


def span(value: str, low: int, high: int) -> tuple[int, ...] | None:
    """All numbers of a text like ``2-6``, both ends included; None when it is no such text."""
    match = _SPAN.fullmatch(value)
    if match is None:
        return None
    first, last = (whole(int(end), low, high) for end in match.groups())
    if last < first:
        raise BadInput(f"{shown(value)} runs downwards; wanted the lower number first.")
    return tuple(range(first, last + 1))


def numbers(value: Any, low: int, high: int) -> tuple[int, ...]:
    """One whole number, a list of them, or a text like ``2-6``."""
    if isinstance(value, list):
        return each(value, lambda element: whole(element, low, high))
    if isinstance(value, str):
        found = span(value, low, high)
        if found is None:
            raise BadInput(
                f'{shown(value)} is no span; wanted numbers in brackets, or a text like "{low}-{low + 2}".'
            )
        return found
    return (whole(value, low, high),)
