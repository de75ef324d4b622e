"""Figures as they stand in the description: 2k2, 4u7, `hold 2.6 A`; and the little arithmetic that they want."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from math import pi

from making.circuit import Circuit, CircuitFault

_POWERS = {"": 0, "R": 0, "k": 3, "M": 6, "p": -12, "n": -9, "u": -6}
_AMOUNT = re.compile(r"(\d+)([RkMpnu]?)(\d*)")
_FIGURE = re.compile(r"-?\d+(?:\.\d+)?")


def amount(value: str) -> float:
    """Ohms or farads of a value as it is written on the drawing: 2k2, 4M7, 180, 100n, 4u7, 600R.

    Raises
    ------
    CircuitFault : it is no such value.
    """
    whole, prefix, rest = _split(value)
    return float(f"{whole}.{rest or 0}e{_POWERS[prefix]}")  # exactly 10e-6, which a product would not be


def in_full(value: str, unit: str) -> str:
    """A value in words: 4u7 and F are "4.7 uF", 2k2 and ohm "2.2 kohm".

    Raises
    ------
    CircuitFault : it is no such value.
    """
    whole, prefix, rest = _split(value)
    return f"{whole}{'.' * bool(rest)}{rest} {prefix}{unit}"


def _split(value: str) -> tuple[str, str, str]:
    found = _AMOUNT.fullmatch(value)
    if found is None:
        raise CircuitFault(f"'{value}' is no value like 2k2 or 100n; write it so in parts.toml")
    whole, prefix, rest = found.groups()
    return whole, prefix, rest


def of(circuit: Circuit, ref: str) -> float:
    """Ohms or farads of the part that stands in a place of the circuit.

    Raises
    ------
    CircuitFault : there is no such place, or its part has no value.
    """
    if ref not in circuit.items:
        raise CircuitFault(f"circuit.toml has no {ref}, which the figures want; put it back or mend the figures")
    return amount(circuit.items[ref].part.value)


def told(text: str, pattern: str) -> float:
    """The figure of a text, at the place of the # in a pattern: told("hold 2.6 A, trip 5 A", "hold # A") is 2.6.

    Raises
    ------
    CircuitFault : the text does not say it.
    """
    found = re.search(re.escape(pattern).replace(re.escape("#"), f"({_FIGURE.pattern})"), text)
    if found is None:
        raise CircuitFault(f"'{text}' does not say '{pattern}'; the figures want it there")
    return float(found[1])


def parallel(ohms: Iterable[float]) -> float:
    """Ohms of resistors side by side; an open end (infinity) may be among them."""
    return 1 / sum(1 / each for each in ohms)


def corner(ohms: float, farads: float) -> float:
    """Hertz at which a resistor and a capacitor pass half the power."""
    return 1 / (2 * pi * ohms * farads)


def table(title: str, head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Text of a table in columns of equal width, with a line of title above and an empty one below."""
    lines = [list(head), *(list(row) for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(head))]
    told_lines = ["  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)) for line in lines]
    return "\n".join([title, *(f"  {line.rstrip()}" for line in told_lines)]) + "\n\n"
