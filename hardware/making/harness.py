"""The circuit built from modules and perfboard, without the carrier board.

What is joined to what is the netlist's; wires.toml says how. Each net becomes wires between places, joints on the
pieces of perfboard, and pins that a module joins by itself; together they join exactly what the net joins.

Conventions
-----------
An end is (reference, pin). Lengths in millimetres, thickness in AWG. Copper-only test points are left out: one
measures at the pin beside them. A display that stands in for another has the same wires by their names.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from making.circuit import HARDWARE, Circuit, CircuitFault

SIGNAL_AWG = 28
End = tuple[str, str]
Nets = Mapping[str, Iterable[End]]


@dataclass(frozen=True)
class Place:
    """A module, or a piece of perfboard with its parts."""

    name: str
    title: str
    step: int
    parts: tuple[str, ...]
    option: str = ""


@dataclass(frozen=True)
class Wire:
    """From one place to another.

    Parameters
    ----------
    step : when it is soldered, from 1
    most : its greatest length, mm
    """

    net: str
    ends: tuple[End, End]
    step: int
    colour: str
    awg: int
    most: int
    shielded: bool
    option: str


@dataclass(frozen=True)
class Joint:
    """Ends of one net that are joined where they are; inside: by the module itself."""

    place: str
    net: str
    ends: tuple[End, ...]
    inside: bool


@dataclass(frozen=True)
class Harness:
    """All of it: what each step is about, the places, the wires in the order of soldering, the joints."""

    steps: tuple[str, ...]
    places: Mapping[str, Place]
    wires: tuple[Wire, ...]
    joints: tuple[Joint, ...]


def is_wired(circuit: Circuit, ref: str) -> bool:
    """Whether a part is there at all without the carrier board: no test point, no second row for a display."""
    part = circuit.items[ref].part
    return not (part.instead_of or ref.startswith("TP"))


def harness(circuit: Circuit, nets: Nets, folder: Path = HARDWARE) -> Harness:
    """The wires, in the order of soldering, and the joints.

    Raises
    ------
    CircuitFault
        A part is on no place, or a place hangs in the air on a net.
    """
    with (folder / "wires.toml").open("rb") as file:
        plan = tomllib.load(file)
    places = _places(circuit, plan)
    where = {ref: place.name for place in places.values() for ref in place.parts}
    wires: list[Wire] = []
    joints: list[Joint] = []
    ranks = {net: rank for rank, net in enumerate(plan["kinds"])}
    for net, pins in sorted(nets.items(), key=lambda one: (ranks.get(one[0], len(ranks)), one[0])):
        ends = _at_places(circuit, where, places, net, pins)
        for place, own in ends.items():
            joints += _joints(place, net, own, plan["inside"])
        wires += _wires(net, ends, places, plan)
    order = list(places)
    wires.sort(key=lambda wire: (wire.step, order.index(where[wire.ends[1][0]])))
    joints.sort(key=lambda joint: order.index(joint.place))
    return Harness(tuple(plan["steps"]), places, tuple(wires), tuple(joints))


def _places(circuit: Circuit, plan: Mapping[str, Any]) -> dict[str, Place]:
    places = {}
    for name, told in plan["places"].items():
        near = [item.ref for item in circuit.items.values() if item.near == name]
        parts = told.get("parts", [name, *near])
        places[name] = Place(name, told["title"], told["step"], tuple(parts), told.get("option", ""))
    placed = [ref for place in places.values() for ref in place.parts]
    for ref in circuit.items:
        if is_wired(circuit, ref) and placed.count(ref) != 1:
            raise CircuitFault(f"wires.toml: {ref} is on {placed.count(ref)} places; put it on one")
    return places


def _at_places(
    circuit: Circuit, where: Mapping[str, str], places: Mapping[str, Place], net: str, pins: Iterable[End]
) -> dict[str, list[End]]:
    """Place -> its ends on a net, both in the order of wires.toml."""
    found: dict[str, list[End]] = {name: [] for name in places}
    for ref, pin in pins:
        if is_wired(circuit, ref):
            if ref not in where:
                raise CircuitFault(f"wires.toml: {ref} of the net {net} is on no place; put it on one")
            found[where[ref]].append((ref, pin))
    for name, ends in found.items():
        parts = places[name].parts  # what may be left out stands last, so that no wire hangs on it
        ends.sort(key=lambda end: (bool(circuit.items[end[0]].option), parts.index(end[0]), len(end[1]), end[1]))
    return {name: ends for name, ends in found.items() if ends}


def _joints(place: str, net: str, ends: Sequence[End], inside: Mapping[str, Sequence[str]]) -> list[Joint]:
    """Pins that their module joins, and then one of each with all others."""
    joints, outer = [], list(ends)
    for ref in dict.fromkeys(ref for ref, _ in ends):
        own = [end for end in ends if end[0] == ref]
        if net in inside.get(ref, ()) and len(own) > 1:
            joints.append(Joint(place, net, tuple(own), inside=True))
            outer = [end for end in outer if end not in own[1:]]
    if len(outer) > 1:
        joints.append(Joint(place, net, tuple(outer), inside=False))
    return joints


def _wires(
    net: str, ends: Mapping[str, Sequence[End]], places: Mapping[str, Place], plan: Mapping[str, Any]
) -> list[Wire]:
    """A chain from place to place, or from each place to where wires.toml says."""
    if len(ends) > 1 and net not in plan["kinds"]:
        raise CircuitFault(f"wires.toml: {net} needs a wire, and [kinds] does not say of which colour; add it")
    kind = plan["kinds"].get(net, {})
    towards = plan["towards"].get(net, {})
    own = {name: _end(plan["ends"].get(name, {}).get(net), some[0]) for name, some in ends.items()}
    names = list(ends)
    root = [name for name in names if name not in towards] if towards else names[:1]
    if len(root) != 1:
        raise CircuitFault(f"wires.toml: towards.{net} must leave out one place, and leaves out {', '.join(root)}")
    wires = []
    for name in names:
        if name in root:
            continue
        goal = _end(towards.get(name), own[names[names.index(name) - 1]])
        far = next((other for other in names if goal in ends[other]), None)
        if far is None:
            raise CircuitFault(f"wires.toml: {goal[0]}.{goal[1]} is not on {net}, and {name} is to go there")
        wires.append(
            Wire(
                net=net,
                ends=(goal, own[name]),
                step=max(places[name].step, places[far].step),
                colour=kind["colour"],
                awg=kind.get("awg", SIGNAL_AWG),
                most=kind["most"],
                shielded=kind.get("shielded", False),
                option=places[name].option or places[far].option,
            )
        )
    return wires


def _end(told: str | None, otherwise: End) -> End:
    if told is None:
        return otherwise
    ref, _, pin = told.partition(".")
    return ref, pin
