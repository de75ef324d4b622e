"""Values are read as they stand on the drawing, and a text that does not say its figure is told."""

from __future__ import annotations

from math import inf, pi

import pytest

from making.circuit import CircuitFault, load, load_parts
from making.values import amount, corner, of, parallel, table, told


@pytest.mark.parametrize(
    ("value", "wanted"),
    [
        ("2k2", 2200.0),
        ("180", 180.0),
        ("4u7", 4.7e-6),
        ("4M7", 4.7e6),
        ("100n", 1e-7),
        ("100p", 1e-10),
        ("600R", 600.0),
    ],
)
def test_a_value_is_read_as_it_is_drawn(value: str, wanted: float) -> None:
    assert amount(value) == pytest.approx(wanted)


@pytest.mark.parametrize("value", ["", "k", "2.2k", "2k2k", "4,7u", "12 mm", "-5", "1.5 A hold"])
def test_another_text_is_no_value(value: str) -> None:
    with pytest.raises(CircuitFault, match="is no value"):
        amount(value)


def test_every_resistor_and_capacitor_of_the_parts_has_a_value() -> None:
    passive = [part for part in load_parts().values() if part.symbol in ("Device:R", "Device:C")]
    assert passive
    assert all(amount(part.value) > 0 for part in passive)


def test_a_place_that_is_not_in_the_circuit_is_told() -> None:
    with pytest.raises(CircuitFault, match="R999"):
        of(load(), "R999")


def test_a_figure_is_found_at_its_place_in_the_text() -> None:
    assert told("hold 2.6 A, trip 5 A", "hold # A") == 2.6
    assert told("-46 to -42 dBV/Pa", "to # dBV/Pa") == -42


def test_a_text_without_the_figure_is_told() -> None:
    with pytest.raises(CircuitFault, match="does not say"):
        told("hold 2.6 A", "trip # A")


def test_resistors_side_by_side_and_the_corner_of_one_with_a_capacitor() -> None:
    assert parallel((10e3, 10e3, inf)) == pytest.approx(5e3)
    assert corner(1000, 1e-6) == pytest.approx(1000 / (2 * pi))


def test_a_table_keeps_its_columns() -> None:
    assert table("t", ("a", "bb"), [["100", "1"]]) == "t\n  a    bb\n  100  1\n\n"
