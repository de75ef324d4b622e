"""What the board must keep that KiCad's check cannot know: distances, sides, edges, room. A rule says its faults."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from fnmatch import fnmatch

from making.bodies import Box as Body
from making.circuit import Circuit
from making.copper import Board, Box, Footprint, Pad
from making.layout import Layout, Point

Rule = Callable[[Board, Circuit, Layout], Iterator[str]]

# All in millimetres; common practice where no source stands beside it.
DECOUPLING, ESD = 10.0, 12.0
# How far what opens outwards stands over its edge: the jack's barrel (data sheet sj1-352xn), the USB socket's mouth
# and the switch's lever (KiCad's footprints); and how exact that must be.
_OVER = {"jack": ("left", 1.8), "usb-c": ("right", 0.25), "slide": ("right", 3.9)}
_ABOUT = 0.3
# The microphone's parts keep this from the power module and from the USB socket.
_QUIET_DISTANCE = 25.0
_USB_LONGEST, _USB_DIFFERENCE = 30.0, 5.0
# Ground copper of the front that tracks may cut under the microphone's parts, in length of track.
_CUTS = 15.0
# Half of a socket strip's width, and what stays between a part and the board of the module above it.
_STRIP, _SOCKET, _ABOVE = 1.27, 8.5, 2.5


def nets_are_the_circuits(board: Board, circuit: Circuit, layout: Layout) -> Iterator[str]:
    """Each pad is on the net that the circuit says, and each part is there with its footprint."""
    holes = {f"H{at}" for at in range(1, len(layout.holes) + 1)}
    for ref in sorted(set(circuit.items) ^ (set(board.parts) - holes)):
        yield f"{ref} is only in one of circuit and board"
    for ref in sorted(set(circuit.items) & set(board.parts)):
        item, part = circuit.items[ref], board.parts[ref]
        if part.name != item.part.footprint:
            yield f"{ref} has the footprint {part.name}, and parts.toml says {item.part.footprint}"
        for pad in part.pads:
            found = "" if pad.net.startswith("unconnected-(") else pad.net
            if pad.number and found != item.pins.get(pad.number, ""):
                yield f"{ref}, pin {pad.number}: on '{found}', and the circuit says '{item.pins.get(pad.number, '')}'"


def capacitors_stand_by_their_chip(board: Board, circuit: Circuit, layout: Layout) -> Iterator[str]:
    """A capacitor with `near` is close to that part's pin on the same supply."""
    for ref, item in circuit.items.items():
        if item.near:
            rails = {net for net in item.pins.values() if net != "GND"}
            away = _nearest(board.parts[ref], board.parts[item.near], rails)
            if away > DECOUPLING:
                yield f"{ref} is {away:.1f} mm from the supply pin of {item.near}; at most {DECOUPLING:g}"


def esd_stands_by_its_socket(board: Board, circuit: Circuit, layout: Layout) -> Iterator[str]:
    """A protecting diode is close to the socket whose line it protects."""
    for ref, item in circuit.items.items():
        lines = {item.pins[pin] for pin in item.part.esd if pin in item.pins}
        for line in sorted(lines):
            sockets = {other for other, _ in circuit.nets()[line] if other.startswith("J") and other != "J7"}
            for socket in sorted(sockets & {name for name in board.parts if not name.startswith("JP")}):
                away = _nearest(board.parts[ref], board.parts[socket], {line})
                if away > ESD:
                    yield f"{ref} is {away:.1f} mm from {socket} on {line}; at most {ESD:g}"


def sockets_open_outwards(board: Board, circuit: Circuit, layout: Layout) -> Iterator[str]:
    """Sockets stand over their edge as far as their data sheets want, with their pins inwards; nothing else does."""
    width, height = layout.size
    for ref, part in board.parts.items():
        left, top, right, bottom = part.body
        key = circuit.items[ref].part.key if ref in circuit.items else ""
        over = {"left": -left, "right": right - width}
        edge, wanted = _OVER.get(key, ("", 0.0))
        for side, by in over.items():
            if (side == edge and abs(by - wanted) > _ABOUT) or (side != edge and by > 0.0):
                yield f"{ref} stands {by:.1f} mm over the {side} edge; {wanted if side == edge else 0:g} is wanted"
        if edge:
            pins = [pad.at[0] for pad in part.pads if pad.number]
            inwards = sum(pins) / len(pins) - (left + right) / 2
            if (inwards > 0.0) != (edge == "left"):
                yield f"{ref} has its pins towards the {edge} edge, and its opening inwards"
        if top < 0.0 or bottom > height - layout.lip:
            yield f"{ref} stands over the top edge, or on the {layout.lip:g} mm at the bottom that the lip needs"


def sides_are_kept(board: Board, circuit: Circuit, layout: Layout) -> Iterator[str]:
    """The front has what the player sees, and nothing else."""
    for ref, item in circuit.items.items():
        seen = item.part.key in ("display", "display-other", "button")
        if board.parts[ref].front != seen:
            yield f"{ref} is on the wrong side"


def screws_have_room(board: Board, circuit: Circuit, layout: Layout) -> Iterator[str]:
    """No part and no copper near the screws."""
    for hole in layout.holes:
        for ref, part in board.parts.items():
            if ref in circuit.items and _to_box(hole, part.courtyard) < layout.hole_keepout:
                yield f"{ref} stands in the room of the screw at {hole[0]:g}, {hole[1]:g}"
        for track in board.tracks:
            if _to_line(hole, track.a, track.b) - track.width / 2 < layout.hole_keepout:
                yield f"copper of {track.net} lies in the room of the screw at {hole[0]:g}, {hole[1]:g}"


def bare_copper_is_ground(board: Board, circuit: Circuit, layout: Layout) -> Iterator[str]:
    """Where the solder mask is open round the computer's holes, for a screw's head, lies nothing but ground."""
    for pad in (pad for part in board.parts.values() for pad in part.pads if not pad.plated and pad.bare):
        radius = (pad.box[2] - pad.box[0]) / 2 + pad.bare
        for track in board.tracks:
            if track.net != "GND" and _to_line(pad.at, track.a, track.b) - track.width / 2 < radius:
                yield f"{track.net} lies bare round the hole of {pad.ref} at {pad.at[0]:.1f}, {pad.at[1]:.1f}"


def points_to_measure_at_are_reached(board: Board, circuit: Circuit, layout: Layout) -> Iterator[str]:
    """No test point and no solder jumper lies under a module."""
    for ref, item in circuit.items.items():
        if item.part.copper:
            for other in _modules(board):
                if not other.front and _meet(board.parts[ref].courtyard, other.courtyard):
                    yield f"{ref} lies under {other.ref}"


def quiet_region_is_kept(board: Board, circuit: Circuit, layout: Layout) -> Iterator[str]:
    """In the microphone's region run only its nets, and the front's ground is hardly cut."""
    cut = 0.0
    for track in board.tracks:
        middle = (track.a[0] + track.b[0]) / 2, (track.a[1] + track.b[1]) / 2
        if not any(_to_box(at, layout.quiet.box) <= 0.0 for at in (track.a, middle, track.b)):
            continue
        if not any(fnmatch(track.net, pattern) for pattern in layout.quiet.nets):
            yield f"{track.net} runs through the microphone's region"
        if track.layer == "F.Cu":
            cut += track.length
    if cut > _CUTS:
        yield f"{cut:.1f} mm of track cut the ground under the microphone's parts; at most {_CUTS:g}"
    nets = ("MIC", "MIC_TIP", "MIC_AC", "MICB", "STAND", "LIN1")
    for ref in sorted({ref for net in nets for ref, _ in circuit.nets()[net]} - {"A2"}):
        for loud in ("A5", "J5"):
            away = _between(board.parts[ref].courtyard, board.parts[loud].courtyard)
            if away < _QUIET_DISTANCE:
                yield f"{ref} is {away:.1f} mm from {loud}; at least {_QUIET_DISTANCE:g}"


def usb_pair_is_short(board: Board, circuit: Circuit, layout: Layout) -> Iterator[str]:
    """D+ and D- are short, and about equal."""
    plus, minus = (sum(t.length for t in board.tracks if t.net == net) for net in ("USB_DP", "USB_DM"))
    if max(plus, minus) > _USB_LONGEST or abs(plus - minus) > _USB_DIFFERENCE:
        yield f"D+ is {plus:.1f} mm and D- {minus:.1f} mm; at most {_USB_LONGEST:g}, and {_USB_DIFFERENCE:g} apart"


def modules_have_room_below(board: Board, bodies: dict[str, tuple[Body, ...]]) -> Iterator[str]:
    """No part stands in a module's socket strip, or touches the module above it."""
    for module in _modules(board):
        strips = [_grown((*pad.at, *pad.at), _STRIP) for pad in module.pads if pad.number]
        for ref, part in board.parts.items():
            if part is module or part.front != module.front or not _meet(part.courtyard, module.courtyard):
                continue
            if any(_meet(part.body, strip) for strip in strips):
                yield f"{ref} stands in a socket strip of {module.ref}"
            tall = max((box.high for box in bodies.get(part.name.partition(":")[2], ())), default=0.0)
            lowest = min((box.low for box in bodies[module.name.partition(":")[2]] if box.low > 0.0), default=_SOCKET)
            if tall > min(lowest, _SOCKET) - _ABOVE:
                yield f"{ref} is {tall:g} mm high and lies under {module.ref}"


RULES: tuple[Rule, ...] = (
    nets_are_the_circuits,
    capacitors_stand_by_their_chip,
    esd_stands_by_its_socket,
    sockets_open_outwards,
    sides_are_kept,
    screws_have_room,
    bare_copper_is_ground,
    points_to_measure_at_are_reached,
    quiet_region_is_kept,
    usb_pair_is_short,
)


def _modules(board: Board) -> list[Footprint]:
    return [part for ref, part in board.parts.items() if ref.startswith("A")]


def _nearest(one: Footprint, other: Footprint, nets: set[str]) -> float:
    pads: list[tuple[Pad, Pad]] = [(a, b) for a in one.pads for b in other.pads if a.net in nets and a.net == b.net]
    return min((math.dist(a.at, b.at) for a, b in pads), default=math.inf)


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _grown(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _to_box(at: Point, box: Box) -> float:
    return math.hypot(max(box[0] - at[0], at[0] - box[2], 0.0), max(box[1] - at[1], at[1] - box[3], 0.0))


def _between(a: Box, b: Box) -> float:
    return math.hypot(max(a[0] - b[2], b[0] - a[2], 0.0), max(a[1] - b[3], b[1] - a[3], 0.0))


def _to_line(at: Point, a: Point, b: Point) -> float:
    length = math.dist(a, b)
    if not length:
        return math.dist(at, a)
    along = ((at[0] - a[0]) * (b[0] - a[0]) + (at[1] - a[1]) * (b[1] - a[1])) / length**2
    part = min(max(along, 0.0), 1.0)
    return math.dist(at, (a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])))
