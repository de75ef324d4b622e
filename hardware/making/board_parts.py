"""The parts on the board: each footprint in its place, with its nets, its fields and its body."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

from making.bodies import load_bodies
from making.circuit import Item
from making.layout import Place
from making.netlist import Component
from making.pcb import kicad, spot
from making.sheets import identity, identity_of_sheet

LIBRARY = Path(os.environ.get("KICAD9_FOOTPRINT_DIR", "/usr/share/kicad/footprints"))


def all_nets(path: Path) -> dict[tuple[str, str], str]:
    """(Reference, pin) -> net of KiCad's netlist, with the names that it gives to open pins."""
    root = ElementTree.parse(path).getroot()
    return {
        (node.get("ref", ""), node.get("pin", "")): _escaped(net.get("name", ""))
        for net in root.iterfind("nets/net")
        for node in net.iter("node")
    }


def _escaped(name: str) -> str:
    """A net's name as a board's file has it: the slash that a pin's name brought is written as a word there."""
    return name.replace("/", "{slash}")


def add_nets(board: Any, names: set[str]) -> dict[str, Any]:
    """Name -> net of the board."""
    found = {}
    for name in sorted(names):
        net = kicad.NETINFO_ITEM(board, name)
        board.Add(net)
        found[name] = net
    return found


def place(
    board: Any, item: Item, told: Component, where: Place, own: Path, nets: Mapping[tuple[str, str], Any]
) -> Any:
    """Put a part in its place.

    Parameters
    ----------
    told : the same part as KiCad's netlist has it, for the fields
    own : the project's library of footprints
    nets : (reference, pin) -> net
    """
    library, _, name = item.part.footprint.partition(":")
    footprint = kicad.FootprintLoad(str(own if library == "airladder" else LIBRARY / f"{library}.pretty"), name)
    board.Add(footprint)  # first of all: KiCad turns over only what lies on a board
    footprint.SetFPID(kicad.LIB_ID(library, name))
    footprint.SetReference(item.ref)
    footprint.SetValue(told.value)
    footprint.SetPath(kicad.KIID_PATH(f"/{identity_of_sheet(item.sheet)[1]}/{identity(item.sheet, item.ref)}"))
    footprint.SetSheetname(f"/{item.sheet}/")
    footprint.SetSheetfile(f"{item.sheet}.kicad_sch")
    for key, words in told.fields.items():
        if key != "Footprint":
            footprint.SetField(key, words)
            footprint.GetFieldByName(key).SetVisible(False)
    footprint.Value().SetVisible(False)
    footprint.SetDNP(not told.fitted)
    footprint.SetExcludedFromBOM(item.part.copper)
    footprint.SetExcludedFromPosFiles(item.part.copper)
    footprint.SetPosition(spot(where.at))
    footprint.SetOrientationDegrees(where.angle)
    if not where.front:
        footprint.Flip(footprint.GetPosition(), kicad.FLIP_DIRECTION_LEFT_RIGHT)
    for pad in footprint.Pads():
        if (item.ref, pad.GetNumber()) in nets:
            pad.SetNet(nets[item.ref, pad.GetNumber()])
    _body(footprint, name)
    return footprint


def _body(footprint: Any, name: str) -> None:
    footprint.Models().clear()
    if name in load_bodies():
        model = kicad.FP_3DMODEL()
        model.m_Filename = f"${{KIPRJMOD}}/bodies/{name}.step"
        footprint.Models().push_back(model)
