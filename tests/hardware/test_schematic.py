"""The schematic says what circuit.toml says, comes out the same each time, and is what lies in made/."""

from __future__ import annotations

from pathlib import Path

import pytest

from making import kicad as kicad_cli
from making.circuit import load
from making.into import MADE
from making.netlist import Netlist, read
from making.schematic import FIRST, write

WRITTEN = ("*.kicad_sch", "*.kicad_sym", "*-lib-table")
pytestmark = pytest.mark.usefixtures("kicad")


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sheets and the netlist, made now."""
    folder = tmp_path_factory.mktemp("fresh")
    kicad_cli.netlist(write(load(), folder), folder / "netlist.xml")
    return folder


@pytest.fixture(scope="module")
def netlist(fresh: Path) -> Netlist:
    return read(fresh / "netlist.xml")


def files(folder: Path) -> dict[str, bytes]:
    paths = [path for pattern in (*WRITTEN, "netlist.xml") for path in sorted(folder.glob(pattern))]
    return {path.name: path.read_bytes() for path in paths}


def test_every_net_and_pin_is_that_of_the_description_both_ways(netlist: Netlist) -> None:
    wanted = {net: frozenset(pins) for net, pins in load().nets().items()}
    assert netlist.nets == wanted


def test_every_part_carries_what_to_buy(netlist: Netlist) -> None:
    items = load().items
    assert set(netlist.parts) == set(items)
    for ref, item in items.items():
        part = netlist.parts[ref]
        assert (part.value, part.footprint, part.fitted) == (item.part.value, item.part.footprint, not item.option)
        bought = {
            name: part.fields[name] for name in ("Manufacturer", "MPN", "Spec", "Alternative", "Search", "Price")
        }
        assert bought == {
            "Manufacturer": item.part.maker,
            "MPN": item.part.mpn,
            "Spec": item.part.spec,
            "Alternative": item.part.alternative,
            "Search": item.part.search,
            "Price": f"{item.part.price:.2f}",
        }
        assert (part.fields["Datasheet"], part.fields["Description"]) == (item.part.datasheet, item.part.description)
        assert part.fields.get("Option", "") == item.option


def test_a_second_run_gives_the_same_bytes(fresh: Path, tmp_path: Path) -> None:
    kicad_cli.netlist(write(load(), tmp_path), tmp_path / "netlist.xml")
    assert files(tmp_path) == files(fresh)


@pytest.mark.usefixtures("same_kicad")
def test_what_lies_in_made_is_what_a_run_makes_now(fresh: Path) -> None:
    told, wanted = files(MADE), files(fresh)
    assert told.keys() == wanted.keys()
    stale = [name for name in wanted if told[name] != wanted[name]]
    assert not stale, (
        f"{stale} are old, or KiCad's library is another version: PYTHONPATH=hardware python -m making.schematic"
    )


def test_the_printed_drawing_is_the_same_from_any_folder_at_any_time(fresh: Path, tmp_path: Path) -> None:
    for name, folder in (("one.pdf", fresh), ("other.pdf", write(load(), tmp_path).parent)):
        kicad_cli.pdf(folder / FIRST, tmp_path / name)
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "other.pdf").read_bytes()


@pytest.mark.usefixtures("same_kicad")
def test_the_printed_drawing_in_made_is_that_of_now(fresh: Path, tmp_path: Path) -> None:
    kicad_cli.pdf(fresh / FIRST, tmp_path / "now.pdf")
    assert (MADE / "schematic.pdf").read_bytes() == (tmp_path / "now.pdf").read_bytes()


@pytest.mark.parametrize("page", ["first", "computer", "sound", "panel", "power"])
def test_every_sheet_has_its_picture(page: str) -> None:
    told = (MADE / "pictures" / f"sheet-{page}.png").read_bytes()
    assert told.startswith(b"\x89PNG")
    assert len(told) < 120_000
