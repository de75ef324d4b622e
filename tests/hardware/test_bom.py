"""The bill of materials against the circuit: every part that is bought stands on it once, and nothing else does."""

from __future__ import annotations

import csv
import io
import tomllib
from collections import Counter
from dataclasses import replace

import pytest

from making import bom
from making.circuit import HARDWARE, Circuit, load
from making.harness import harness
from making.into import MADE
from making.wiring_picture import COLOURS


@pytest.fixture(scope="module", name="circuit")
def _circuit() -> Circuit:
    return load()


def faults(table: str, circuit: Circuit) -> list[str]:
    """What is wrong with a list, given as CSV."""
    rows = list(csv.DictReader(io.StringIO(table)))
    told = Counter(ref for row in rows for ref in row["Ref"].split() if not ref.startswith("X"))
    wanted = {ref for ref, item in circuit.items.items() if not item.part.copper}
    found = [f"{ref} stands {times} times" for ref, times in told.items() if times != 1]
    found += [f"{ref} is missing" for ref in sorted(wanted - told.keys())]
    found += [f"{ref} is not bought" for ref in sorted(told.keys() - wanted)]
    for row in rows:
        refs = row["Ref"].split()
        if not refs[0].startswith("X"):
            if int(row["Qty"]) != len(refs):
                found.append(f"{row['Ref']}: {row['Qty']} pieces")
            for ref in set(refs) & wanted:
                item = circuit.items[ref]
                if item.option not in row["Option"] or bool(item.option) != bool(row["Option"]):
                    found.append(f"{ref} has option '{item.option}'")
                if item.part.spec != row["Key spec"]:
                    found.append(f"{ref} is something else")
    return found


def test_every_part_that_is_bought_stands_on_the_list_once_with_its_option(circuit: Circuit) -> None:
    assert faults((MADE / "bom.csv").read_text("utf-8"), circuit) == []


def test_a_dropped_line_is_found(circuit: Circuit) -> None:
    lines = bom.lines(circuit)
    for number, line in enumerate(lines):
        if not line.refs[0].startswith("X"):
            left = lines[:number] + lines[number + 1 :]
            assert {f"{ref} is missing" for ref in line.refs} == set(faults(bom.as_csv(left), circuit))


def test_a_wrong_quantity_a_doubled_part_and_a_lost_option_are_found(circuit: Circuit) -> None:
    lines = bom.lines(circuit)
    at = next(number for number, line in enumerate(lines) if line.option == "piezo")
    for wrong in (
        replace(lines[at], quantity=7),
        replace(lines[at], refs=(*lines[at].refs, lines[at].refs[0])),
        replace(lines[at], option=""),
    ):
        assert faults(bom.as_csv([*lines[:at], wrong, *lines[at + 1 :]]), circuit)


def test_what_is_committed_is_what_is_made_now(circuit: Circuit) -> None:
    lines = bom.lines(circuit)
    assert (MADE / "bom.csv").read_bytes() == bom.as_csv(lines).encode()
    assert (MADE / "bom.md").read_bytes() == bom.as_page(lines).encode()


def test_no_cell_is_empty_but_the_options(circuit: Circuit) -> None:
    for line in bom.lines(circuit):
        cells = dict(zip(bom.COLUMNS, line.row(), strict=True))
        assert [name for name, cell in cells.items() if not cell] in ([], ["Option"]), line.refs


def test_extras_have_names_of_their_own_and_none_of_the_circuit(circuit: Circuit) -> None:
    refs = [line.refs[0] for line in bom.lines(circuit) if line.refs[0] not in circuit.items]
    assert len(refs) == len(set(refs)) == len([ref for ref in refs if ref.startswith("X")])


def test_there_is_a_socket_strip_for_each_row_of_the_modules(circuit: Circuit) -> None:
    """Those of the board's own sockets; a second row for another display has none, for the strip moves there."""
    with (HARDWARE / "modules.toml").open("rb") as file:
        modules = tomllib.load(file)
    with (HARDWARE / "extras.toml").open("rb") as file:
        extras = tomllib.load(file)["extra"]
    wanted: Counter[int] = Counter()
    for item in circuit.items.values():
        library, _, name = item.part.symbol.partition(":")
        if library == "box" and not item.part.instead_of:
            rows = modules[name].get("rows", [{"pins": modules[name]["pins"]}])
            wanted.update(len(row["pins"]) for row in rows)
    bought = Counter({extra["strip"]: extra["quantity"] for extra in extras if "strip" in extra})
    assert bought == wanted


def test_the_way_with_wires_has_an_adapter_for_each_small_chip_and_all_colours(circuit: Circuit) -> None:
    extras = {line.refs[0]: line for line in bom.lines(circuit)}
    chips = [ref for ref, item in circuit.items.items() if ":SOT-23" in item.part.footprint]
    assert extras["X18"].quantity == len(chips)
    thick = {wire.colour for wire in harness(circuit, circuit.nets()).wires if wire.awg == 24}
    assert thick == {colour for colour in COLOURS if colour in extras["X15"].description}


def test_the_sums_of_the_page_are_those_of_the_table(circuit: Circuit) -> None:
    rows = list(csv.DictReader(io.StringIO(bom.as_csv(bom.lines(circuit)))))
    price = next(column for column in bom.COLUMNS if column.startswith("Price"))
    cents = {row["Ref"]: round(100 * float(row[price])) * int(row["Qty"]) for row in rows if not row["Option"]}
    page = (MADE / "bom.md").read_text("utf-8")
    assert f"Always bought: {sum(cents.values()) / 100:.2f} EUR" in page


def test_values_are_written_in_full(circuit: Circuit) -> None:
    search = {line.refs[0]: line.search for line in bom.lines(circuit)}
    assert search["R1"].endswith("2.2 kohm")
    assert search["R18"].endswith("22 ohm")
    assert search["C8"].endswith("4.7 uF 1206")
