"""The netlist that KiCad exported: which pin is on which net, and what each part is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree


@dataclass(frozen=True)
class Component:
    """One part, as KiCad read it from the sheets.

    Parameters
    ----------
    ref : its reference, like R1
    symbol : library and name, like Device:R
    fields : all others by name: Manufacturer, MPN, Spec, Alternative, Datasheet, Description, Price, Search, Option
    fitted : False for an option, which is left out unless it is built
    """

    ref: str
    value: str
    footprint: str
    symbol: str
    fields: Mapping[str, str]
    fitted: bool


@dataclass(frozen=True)
class Netlist:
    """The whole circuit.

    Parameters
    ----------
    nets : name -> the (reference, pin) pairs on it; pins that are left open are on none
    parts : reference -> part
    """

    nets: Mapping[str, frozenset[tuple[str, str]]]
    parts: Mapping[str, Component]


def read(path: Path) -> Netlist:
    """Read a netlist of KiCad's XML form (made/netlist.xml)."""
    root = ElementTree.parse(path).getroot()
    nets = {
        net.get("name", ""): frozenset((node.get("ref", ""), node.get("pin", "")) for node in net.iter("node"))
        for net in root.iterfind("nets/net")
        if not net.get("name", "").startswith("unconnected-(")
    }
    return Netlist(nets, {part.ref: part for part in map(_component, root.iterfind("components/comp"))})


def _component(element: ElementTree.Element) -> Component:
    source = element.find("libsource")
    symbol = f"{source.get('lib')}:{source.get('part')}" if source is not None else ""
    fields = {field.get("name", ""): field.text or "" for field in element.iterfind("fields/field")}
    marks = {mark.get("name") for mark in element.iterfind("property")}
    return Component(
        ref=element.get("ref", ""),
        value=element.findtext("value", ""),
        footprint=element.findtext("footprint", ""),
        symbol=symbol,
        fields=fields | {"Datasheet": element.findtext("datasheet", "")},
        fitted="dnp" not in marks,
    )
