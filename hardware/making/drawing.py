"""The drawing: the circuit's parts at the places of drawing.toml, wired; all that is needed to write a sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from making.boxes import NICKNAME, box, supply
from making.circuit import Circuit, Item
from making.places import GRID, PAPERS, DrawingFault, Place, Plan, Plans, Spot
from making.placing import Placed
from making.symbols import Symbol, library_symbol
from making.wiring import Wire, Wiring, wired

FLAG = "power:PWR_FLAG"


@dataclass(frozen=True)
class Sheet:
    """One sheet as it is drawn.

    Parameters
    ----------
    items : reference -> its place in the circuit
    placed : reference -> its place on the sheet
    marks : marks of supplies and flags; their references begin with #
    stubs : from each pin that is left open on purpose, a short way out to where its cross stands
    """

    name: str
    title: str
    plan: Plan
    items: dict[str, Item]
    placed: dict[str, Placed]
    marks: list[Placed]
    wiring: Wiring
    stubs: list[Wire]

    def symbols(self) -> list[Symbol]:
        """Each symbol that is used, once, in the order of names."""
        used = {one.symbol.name: one.symbol for one in [*self.placed.values(), *self.marks]}
        return [used[name] for name in sorted(used)]


def symbol_of(item: Item) -> Symbol:
    """The symbol of a part: a box of this project, or one of KiCad's."""
    kind, _, name = item.part.symbol.partition(":")
    return box(name) if kind == "box" else library_symbol(item.part.symbol)


def draw(circuit: Circuit, plans: Plans) -> list[Sheet]:
    """Each sheet, in the order of the circuit.

    Raises
    ------
    DrawingFault
        A sheet of the circuit is not in drawing.toml, or one of its lines cannot be drawn.
    """
    for name in circuit.titles:
        if name not in plans.sheets:
            raise DrawingFault(f"drawing.toml has no sheet {name}; add [sheet.{name}] with its paper")
    return [_sheet(name, circuit, plans, flagged) for name, flagged in _flags(circuit, plans)]


def own_symbols(circuit: Circuit, plans: Plans) -> list[Symbol]:
    """The symbols of the project's own library."""
    boxes = {one.name: one for one in map(symbol_of, circuit.items.values()) if one.name.startswith(f"{NICKNAME}:")}
    marks = [supply(net, down=net in plans.down) for net in (*plans.up, *plans.down)]
    return [*boxes.values(), *marks]


def _flags(circuit: Circuit, plans: Plans) -> Iterator[tuple[str, dict[str, Spot]]]:
    """A flag that no sheet has a place for, in a circuit changed for a test, stands beside the last one."""
    planned = {net for plan in plans.sheets.values() for net in plan.flags}
    spare = [net for net in circuit.flags if net not in planned]
    for name in circuit.titles:
        plan = plans.sheets[name]
        flags = {net: spot for net, spot in plan.flags.items() if net in circuit.flags}
        if name == list(circuit.titles)[-1]:
            flags |= {net: (20 + 12 * row, _below(plan) + 12) for row, net in enumerate(spare)}
        yield name, flags


def _sheet(name: str, circuit: Circuit, plans: Plans, flags: dict[str, Spot]) -> Sheet:
    plan = plans.sheets[name]
    items = {ref: item for ref, item in circuit.items.items() if item.sheet == name}
    # A part that drawing.toml does not know stands below the paper: wrong to print, right for the rule check.
    unknown = [ref for ref in items if ref not in plan.places]
    places = dict(plan.places) | {ref: Place((40 + 40 * row, _below(plan) + 60)) for row, ref in enumerate(unknown)}
    placed = {ref: Placed(ref, symbol_of(item), places[ref]) for ref, item in items.items()}
    pins: dict[str, list[tuple[str, str]]] = {}
    for ref, item in items.items():
        for pin, net in item.pins.items():
            pins.setdefault(net, []).append((ref, pin))
    wiring = wired(plan, placed, pins)
    stubs = [_stub(placed[ref], pin) for ref, item in items.items() for pin in item.open]
    marks = list(_marks(name, wiring, plans, flags))
    return Sheet(name, circuit.titles[name], plan, items, placed, marks, wiring, stubs)


def _stub(placed: Placed, pin: str) -> Wire:
    """One unit long, so that the cross does not lie on the pin's number."""
    (x, y), (across, down) = placed.spot(pin), placed.outward(pin)
    return Wire("", (x, y), (x + across, y + down))


def _marks(sheet: str, wiring: Wiring, plans: Plans, flags: dict[str, Spot]) -> Iterator[Placed]:
    """Take those names that a mark can stand for out of the wiring, and make marks of them; flags get one too."""
    kept = []
    at = 0
    for name in wiring.names:
        down = name.net in plans.down
        if (name.way == (0, 1) and down) or (name.way == (0, -1) and name.net in plans.up):
            at += 1
            yield Placed(f"#PWR_{sheet}_{at}", supply(name.net, down), Place(name.at))
        else:
            kept.append(name)
    wiring.names[:] = kept
    for net, spot in flags.items():
        down = net in plans.down
        at += 1
        yield Placed(f"#PWR_{sheet}_{at}", supply(net, down), Place(spot))
        yield Placed(f"#FLG_{net}", library_symbol(FLAG), Place(spot, 0 if down else 180))


def _below(plan: Plan) -> int:
    return int(PAPERS[plan.paper][1] / GRID)
