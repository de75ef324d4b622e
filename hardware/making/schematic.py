"""The schematic: `python -m making.schematic [--into FOLDER]` writes the sheets, the libraries and the exports."""

from __future__ import annotations

from pathlib import Path

from making import footprints, kicad
from making.boxes import NICKNAME, library
from making.circuit import Circuit, CircuitFault, load
from making.drawing import FLAG, draw, own_symbols
from making.into import folder_asked_for
from making.layout import load_layout
from making.pictures import pictures
from making.places import DrawingFault, Plans, load_plans
from making.project import write_project
from making.sexpr import Node, Quoted
from making.sexpr import write as text
from making.sheets import first_file, sheet_file
from making.symbols import SymbolFault

FIRST = f"{NICKNAME}.kicad_sch"
VERSION = "kicad-version"
"""Says with which KiCad all was made: another one, or its libraries, makes other bytes."""


def write(circuit: Circuit, folder: Path, plans: Plans | None = None) -> Path:
    """Write the sheets, the project's library and the tables of libraries; the first sheet's path.

    Any circuit will do, also one that was changed for a test: a part without a place is put beside the paper.

    Raises
    ------
    DrawingFault, SymbolFault
        drawing.toml does not fit, or a symbol is missing.
    """
    plans = plans or load_plans()
    folder.mkdir(parents=True, exist_ok=True)
    _put(folder / FIRST, first_file(plans, circuit))
    for sheet in draw(circuit, plans):
        _put(folder / f"{sheet.name}.kicad_sch", sheet_file(sheet, plans, circuit))
    _put(folder / f"{NICKNAME}.kicad_sym", library(own_symbols(circuit, plans)))
    symbols = {item.part.symbol.partition(":")[0] for item in circuit.items.values()} - {"box"}
    _put(folder / "sym-lib-table", _table("sym", symbols | {FLAG.partition(":")[0]}))
    libraries = {item.part.footprint.partition(":")[0] for item in circuit.items.values()} - {NICKNAME}
    _put(folder / "fp-lib-table", _table("fp", libraries))
    write_project(folder / f"{NICKNAME}.kicad_pro")
    footprints.write_all(folder / f"{NICKNAME}.pretty", load_layout().hole_keepout)
    return folder / FIRST


def export(folder: Path) -> None:
    """Write KiCad's version, the netlist, the PDF of all sheets, and a picture of each.

    Raises
    ------
    KicadFault
        A program is missing, or a call of it failed.
    """
    (folder / VERSION).write_text(f"{kicad.version()}\n")
    kicad.netlist(folder / FIRST, folder / "netlist.xml")
    kicad.pdf(folder / FIRST, folder / "schematic.pdf")
    pictures(folder / "schematic.pdf", folder / "pictures", ("first", *load_plans().sheets))


def _put(path: Path, tree: list[Node]) -> None:
    path.write_text(text(tree) + "\n", encoding="utf-8")


def _table(kind: str, names: set[str]) -> list[Node]:
    """A table of libraries: KiCad's own by their place in its settings, and the project's beside the project."""
    ending, place = {"sym": ("kicad_sym", "SYMBOL"), "fp": ("pretty", "FOOTPRINT")}[kind]
    uris = {name: f"${{KICAD9_{place}_DIR}}/{name}.{ending}" for name in sorted(names)}
    uris[NICKNAME] = f"${{KIPRJMOD}}/{NICKNAME}.{ending}"
    tree: list[Node] = [f"{kind}_lib_table", ["version", "7"]]
    for name, uri in uris.items():
        said: list[Node] = [["name", Quoted(name)], ["type", Quoted("KiCad")], ["uri", Quoted(uri)]]
        tree.append(["lib", *said, ["options", Quoted("")], ["descr", Quoted("")]])
    return tree


def main() -> None:
    """Write all of it."""
    folder = folder_asked_for(main.__doc__)
    try:
        write(load(), folder)
        export(folder)
    except (CircuitFault, DrawingFault, SymbolFault, kicad.KicadFault) as fault:
        raise SystemExit(str(fault)) from fault


if __name__ == "__main__":
    main()
