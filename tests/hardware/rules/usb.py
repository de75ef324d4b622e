"""USB: the computer's 5 V and the box's own 5 V never meet, and each configuration pin has its own resistor."""

from __future__ import annotations

from collections.abc import Iterator

from hardware.rules.built import COMPUTER, GROUND, Built
from hardware.rules.links import Kind, Link, between, links_of, walk
from hardware.rules.rails import RAILS, TOLERANCE

SOCKET, CHARGER = "J5", "power"
VBUS_CONTACTS, DATA = ("A4", "A9", "B4", "B9"), {"D+": ("A6", "B6"), "D-": ("A7", "B7")}
GROUND_CONTACTS = ("A1", "A12", "B1", "B12")
CONFIGURATION = ("A5", "B5")
RD = 5100.0
"""Ohms of a device's pull-down on each CC pin (USB Type-C specification, table of sink terminations)."""
SENSE = 10e3
"""Ohms between VBUS and a pin of the computer: at most 0.5 mA into a board without supply (judged)."""
PULL_DOWN, HIGH = 50e3, 1.6
"""Of the computer's pins: the least pull-down in ohms, and the volts that read as high (raspberrypi/documentation,
gpio-on-raspberry-pi, voltage specifications for BCM2835 and BCM2837: 50-65 kohm, 1.6 V)."""


def carries(link: Link) -> bool:
    """Whether a current that matters can flow through a part: not through 1 kohm and more."""
    return link.kind is not Kind.CAPACITOR and (link.kind is not Kind.RESISTOR or link.value < 1000)


def of_vbus(built: Built) -> set[str]:
    """The nets that have the USB's 5 V."""
    start = built.net(SOCKET, VBUS_CONTACTS[0])
    return walk(built, start, carries) - {GROUND} if start else set()


def kept_apart(built: Built) -> Iterator[str]:
    """No net and no part but the charger joins the USB's 5 V to another supply."""
    vbus = of_vbus(built)
    for rail in sorted((set(RAILS) - {"VBUS", "VBUS_IN", GROUND}) & vbus):
        yield f"{rail}: is joined to the USB's 5 V; wanted only the charger between them"
    if "VBUS" not in vbus:
        yield f"VBUS: is not reached from {SOCKET}; wanted that, through its fuse"
    for ref, item in built.items.items():
        nets = set(built.pins_of(ref).values())
        others = nets & (set(RAILS) - {"VBUS", "VBUS_IN", GROUND})
        if nets & vbus and others and item.part.key != CHARGER:
            yield f"{ref}: is on the USB's 5 V and on {sorted(others)}; wanted only the charger on both"


def lead(built: Built) -> Iterator[str]:
    """The lead into the computer has the two data wires and ground, each as its name says, and no supply."""
    leads = list(built.with_part("data-lead"))
    if len(leads) != 1:
        yield f"the lead to the computer: is there {len(leads)} times; wanted once"
    for item in leads:
        for pin in {**item.part.polarity, **built.pins_of(item.ref)}:
            net, said = built.net(item.ref, pin), item.part.polarity.get(pin, "nothing")
            wanted = {built.net(SOCKET, at) for at in DATA[said]} if said in DATA else {GROUND}
            if wanted != {net}:
                yield f"{item.ref} pin {pin}: is marked {said} and has {net or 'nothing'}; wanted {sorted(wanted)}"
            if net in of_vbus(built) or net in set(RAILS) - {GROUND}:
                yield f"{item.ref} pin {pin}: has {net}, a supply; wanted none on the lead"


def configuration(built: Built) -> Iterator[str]:
    """Each CC pin has 5.1 kohm to ground of its own: a shared one makes some cables give nothing."""
    nets = [built.net(SOCKET, pin) for pin in CONFIGURATION]
    if len(set(nets)) != len(nets):
        yield f"{SOCKET}: both CC pins are on {nets[0]}; wanted a net each"
    for pin, net in zip(CONFIGURATION, nets, strict=True):
        found = between(built, net, GROUND, Kind.RESISTOR)
        if len(links_of(built, net)) != 1 or [link.value for link in found] != [RD]:
            yield f"{SOCKET} pin {pin}: {net} has {[link.value for link in found]} ohm to GND; wanted one of {RD:.0f}"


def grounded(built: Built) -> Iterator[str]:
    """Every ground contact of the socket is on ground: the current comes back through all of them."""
    for pin in GROUND_CONTACTS:
        if built.net(SOCKET, pin) != GROUND:
            yield f"{SOCKET} pin {pin}: is on {built.net(SOCKET, pin) or 'nothing'}; wanted GND"


def fused(built: Built) -> Iterator[str]:
    """All the socket's 5 V contacts lead to the fuse, and to nothing else but their protection."""
    nets = {built.net(SOCKET, pin) for pin in VBUS_CONTACTS}
    if len(nets) != 1 or nets == {""}:
        yield f"{SOCKET}: its 5 V contacts are on {sorted(nets)}; wanted one net"
        return
    (net,) = nets
    fuses = {item.ref for item in built.with_part("fuse-usb")}
    for ref, pin in sorted(built.nets[net]):
        if ref != SOCKET and ref not in fuses and pin not in built.items[ref].part.esd:
            yield f"{ref} pin {pin}: is on {net}, before the fuse; wanted it behind"
    if not fuses & {ref for ref, _ in built.nets[net]}:
        yield f"{net}: has no fuse; wanted one"


def sensed(built: Built) -> Iterator[str]:
    """The computer sees the USB's 5 V through a divider that is high enough in ohms, and still reads as high."""
    for pin, net in built.pins_of(COMPUTER).items():
        for link in links_of(built, net, Kind.RESISTOR):
            if link.far(net) not in of_vbus(built):
                continue
            lower = between(built, net, GROUND, Kind.RESISTOR)
            if not lower or link.value < SENSE:
                yield f"{link.ref}: leads VBUS to header pin {pin} without a divider of {SENSE:.0f} ohm or more"
                continue
            if not between(built, net, GROUND, Kind.CAPACITOR):
                yield f"header pin {pin}: {net} has no capacitor to GND; wanted one, as the cable brings noise"
            down = 1 / (sum(1 / (each.value * (1 - TOLERANCE)) for each in lower) + 1 / PULL_DOWN)
            volts = RAILS["VBUS"][0] * down / (down + link.value * (1 + TOLERANCE))
            if volts < HIGH:
                yield f"header pin {pin}: has {volts:.2f} V at the least VBUS; wanted {HIGH} V, which reads as high"
