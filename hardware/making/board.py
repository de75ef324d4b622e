"""The board: `/usr/bin/python3 -m making.board [--into FOLDER]` writes airladder.kicad_pcb from the layout.

It needs KiCad's own Python module, and the schematic's netlist in the same folder (python -m making.schematic).
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from making import bodies
from making.board_outline import draw_edge, drill_holes, pour, print_words
from making.board_parts import add_nets, all_nets, place
from making.board_print import Printer, pad_box
from making.board_same import settle
from making.circuit import Circuit, load
from making.into import folder_asked_for
from making.layout import Layout, load_layout
from making.netlist import read
from making.pcb import kicad, nm, spot
from making.project import write_project
from making.tracks import VIA, VIA_HOLE, VIA_SIZE, Track, load_tracks

# Half the width of the notch that a jack's footprint cuts into the edge (data sheet sj1-352xn, as KiCad has it).
_NOTCH = 6.5


class BoardFault(Exception):
    """The board cannot be made as it is described; the text is one sentence."""


def build(folder: Path, circuit: Circuit, layout: Layout, tracks: list[Track]) -> Path:
    """Write the board with all that it needs beside it; its path.

    Raises
    ------
    BoardFault
        A part has no place, or a place no part.
    """
    bodies.write_all(folder / "bodies")
    write_project(folder / "airladder.kicad_pro")
    if not (folder / "netlist.xml").exists():
        raise BoardFault(f"there is no netlist in {folder.name}; make it first: python -m making.schematic")
    if odd := set(circuit.items) ^ set(layout.places):
        raise BoardFault(f"{min(odd)} is in only one of circuit.toml and layout.toml; put it into both or neither")
    with tempfile.TemporaryDirectory() as scratch:
        draft = Path(scratch) / "airladder.kicad_pcb"
        board = kicad.NewBoard(str(draft))
        _title(board, circuit, layout)
        _fill(board, folder, circuit, layout, tracks)
        kicad.SaveBoard(str(draft), board, True)
        # The pours heed the rules only of a board that was read together with its project.
        write_project(draft.with_suffix(".kicad_pro"))
        settle(draft)
        board = kicad.LoadBoard(str(draft))
        kicad.ZONE_FILLER(board).Fill(board.Zones())
        path = folder / "airladder.kicad_pcb"
        kicad.SaveBoard(str(path), board, True)
    settle(path)
    return path


def _fill(board: Any, folder: Path, circuit: Circuit, layout: Layout, tracks: list[Track]) -> None:
    names = all_nets(folder / "netlist.xml")
    nets = add_nets(board, set(names.values()))
    pins = {pin: nets[name] for pin, name in names.items()}
    told = read(folder / "netlist.xml")
    placed = {
        ref: place(board, item, told.parts[ref], layout.places[ref], folder / "airladder.pretty", pins)
        for ref, item in circuit.items.items()
    }
    jacks = [layout.places[ref].at[1] for ref, item in circuit.items.items() if item.part.key == "jack"]
    draw_edge(board, layout, [(y - _NOTCH, y + _NOTCH) for y in jacks])
    drill_holes(board, layout, folder / "airladder.pretty")
    for words in layout.words:
        print_words(board, words)
    _print(board, circuit, layout, placed)
    for track in tracks:
        _lay(board, track, nets)
    pour(board, layout, nets["GND"])


def _print(board: Any, circuit: Circuit, layout: Layout, placed: dict[str, Any]) -> None:
    printer = Printer(board, layout)
    for footprint in placed.values():
        footprint.Reference().SetVisible(False)
    printer.begin()
    for ref, item in circuit.items.items():
        for pad in placed[ref].Pads():
            if sign := item.part.polarity.get(pad.GetNumber()):
                printer.put_words(sign, pad_box(pad), layout.places[ref].front)
    points = [ref for ref, item in circuit.items.items() if item.part.key == "test-point"]
    for ref in points:
        printer.put_reference(placed[ref])
        printer.put_words(circuit.items[ref].pins["1"], pad_box(placed[ref].Pads()[0]), layout.places[ref].front)
    for ref in circuit.items:
        if ref not in points:
            printer.put_reference(placed[ref])
    if printer.failed:
        sys.stderr.write(f"board: there is no room to print {', '.join(printer.failed)}; move parts in layout.toml\n")


def _lay(board: Any, track: Track, nets: dict[str, Any]) -> None:
    if track.layer == VIA:
        via = kicad.PCB_VIA(board)
        via.SetPosition(spot(track.a))
        via.SetWidth(nm(VIA_SIZE))
        via.SetDrill(nm(VIA_HOLE))
        via.SetNet(nets[track.net])
        board.Add(via)
        return
    piece = kicad.PCB_TRACK(board)
    piece.SetStart(spot(track.a))
    piece.SetEnd(spot(track.b))
    piece.SetWidth(nm(track.width))
    piece.SetLayer(board.GetLayerID(track.layer))
    piece.SetNet(nets[track.net])
    board.Add(piece)


def _title(board: Any, circuit: Circuit, layout: Layout) -> None:
    """The title block, and the left lower corner as the origin of what goes to a board house."""
    block = board.GetTitleBlock()
    block.SetTitle("Airladder, carrier board")
    block.SetRevision(circuit.revision)
    block.SetDate(circuit.date)
    block.SetComment(0, "CERN-OHL-S-2.0")
    block.SetComment(1, "untested on hardware")
    board.SetTitleBlock(block)
    board.GetDesignSettings().SetBoardThickness(nm(layout.thickness))
    board.GetDesignSettings().SetAuxOrigin(spot((0.0, layout.size[1])))


def main() -> int:
    """Make the board of the project."""
    folder = folder_asked_for(main.__doc__)
    try:
        build(folder, load(), load_layout(), load_tracks())
    except BoardFault as fault:
        sys.stderr.write(f"board: {fault}\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
