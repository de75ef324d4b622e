"""The parts that join one net to another, and the walk through them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache

from hardware.rules.built import GROUND, Built
from making.circuit import Item
from making.values import amount


class Kind(Enum):
    """How a part joins its two nets."""

    RESISTOR = "resistor"
    WIRE = "wire"  # a ferrite or a fuse: always joined, next to no ohms
    DIODE = "diode"  # from `one`, its anode, to `other`
    CONTACT = "contact"  # of a switch, a jack, a jumper or a transistor: joined or not
    CAPACITOR = "capacitor"


@dataclass(frozen=True)
class Link:
    """A part, or two pins of one, between two nets.

    Parameters
    ----------
    ref : of the part
    kind : how it joins them
    one, other : the nets; a diode conducts from the one to the other
    value : ohms of a resistor, farads of a capacitor, else 0
    """

    ref: str
    kind: Kind
    one: str
    other: str
    value: float = 0.0

    def far(self, net: str) -> str:
        """The net at the other end."""
        return self.other if net == self.one else self.one


# Symbol of KiCad's library -> kind, and the pairs of pins that it joins; test_kicad_library.py holds the pins of
# diodes, transistors and contacts against the library.
JOINS: dict[str, tuple[Kind, tuple[tuple[str, str], ...]]] = {
    "Device:R": (Kind.RESISTOR, (("1", "2"),)),
    "Device:C": (Kind.CAPACITOR, (("1", "2"),)),
    "Device:FerriteBead": (Kind.WIRE, (("1", "2"),)),
    "Device:Polyfuse": (Kind.WIRE, (("1", "2"),)),
    "Device:D": (Kind.DIODE, (("2", "1"),)),
    "Device:D_Schottky": (Kind.DIODE, (("2", "1"),)),
    "Diode:BAV99": (Kind.DIODE, (("1", "3"), ("3", "2"))),
    "Switch:SW_Push": (Kind.CONTACT, (("1", "2"),)),
    "Switch:SW_SPDT": (Kind.CONTACT, (("1", "2"), ("2", "3"))),
    "Jumper:SolderJumper_3_Bridged12": (Kind.CONTACT, (("1", "2"), ("2", "3"))),
    "Transistor_FET:BSS138": (Kind.CONTACT, (("3", "2"),)),
    "Transistor_FET:BSS84": (Kind.CONTACT, (("3", "2"),)),
    "Connector_Audio:AudioJack3_SwitchTR": (Kind.CONTACT, (("T", "TN"), ("R", "RN"))),
}


@lru_cache(maxsize=4)
def links(built: Built) -> tuple[Link, ...]:
    """All of them; a pair of which one pin is open joins nothing."""
    return tuple(link for item in built.items.values() for link in _of(built, item))


def _of(built: Built, item: Item) -> Iterator[Link]:
    if item.part.symbol not in JOINS:
        return
    kind, pairs = JOINS[item.part.symbol]
    value = amount(item.part.value) if kind in (Kind.RESISTOR, Kind.CAPACITOR) else 0.0
    pins = built.pins_of(item.ref)
    for one, other in pairs:
        if one in pins and other in pins:
            yield Link(item.ref, kind, pins[one], pins[other], value)


def links_of(built: Built, net: str, *kinds: Kind) -> list[Link]:
    """Those at a net; of all kinds when none is named. What joins a net to itself is none."""
    return [
        link
        for link in links(built)
        if net in (link.one, link.other) and link.one != link.other and (not kinds or link.kind in kinds)
    ]


def between(built: Built, one: str, other: str, kind: Kind) -> list[Link]:
    """Those of a kind between two nets, either way round."""
    return [link for link in links_of(built, one, kind) if link.far(one) == other]


def walk(built: Built, start: str, through: Callable[[Link], bool], end: tuple[str, ...] = (GROUND,)) -> set[str]:
    """The nets that are reached from one, itself among them; the walk does not go on past those of `end`."""
    reached, todo = {start}, [start]
    while todo:
        net = todo.pop()
        for link in links(built):
            if net in (link.one, link.other) and through(link) and link.far(net) not in reached:
                reached.add(link.far(net))
                if link.far(net) not in end:
                    todo.append(link.far(net))
    return reached
