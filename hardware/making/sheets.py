"""A sheet as a file of KiCad's: the same drawing gives the same bytes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from uuid import NAMESPACE_URL, uuid5

from making.boxes import NICKNAME
from making.circuit import Circuit, Item, Part
from making.drawing import Sheet
from making.places import GRID, Note, Plans, Spot
from making.placing import Placed, Text, Way
from making.sexpr import Node, Quoted
from making.symbols import Symbol

_VERSION = "20250114"
_TURN: dict[Way, float] = {(1, 0): 0.0, (0, -1): 90.0, (-1, 0): 180.0, (0, 1): 270.0}
_SPACE = uuid5(NAMESPACE_URL, "airladder")


def identity(*names: object) -> Quoted:
    """An identity that KiCad wants, made of names so that it stays the same."""
    return Quoted(uuid5(_SPACE, "/".join(map(str, names))))


def sheet_file(sheet: Sheet, plans: Plans, circuit: Circuit) -> list[Node]:
    """One sheet with its parts."""
    tree = _begun(sheet.name, sheet.title, sheet.plan.paper, plans, circuit, sheet.symbols())
    tree += _notes(sheet.name, sheet.plan.notes)
    tree += [["junction", _at(dot), ["diameter", 0.0], _uuid(sheet.name, "dot", *dot)] for dot in sheet.wiring.dots]
    tree += [["no_connect", _at(stub.b), _uuid(sheet.name, "open", *stub.b)] for stub in sheet.stubs]
    for wire in [*sheet.wiring.wires, *sheet.stubs]:
        points: list[Node] = ["pts", ["xy", *_mm(wire.a)], ["xy", *_mm(wire.b)]]
        tree.append(["wire", points, _stroke(), _uuid(sheet.name, "wire", *wire.a, *wire.b)])
    for name in sheet.wiring.names:
        side = "left" if name.way in ((1, 0), (0, -1)) else "right"
        label: list[Node] = ["global_label", Quoted(name.net), ["shape", "passive"], _at(name.at, _TURN[name.way])]
        label += [_effects(justify=side), _uuid(sheet.name, "name", *name.at)]
        x, y = _mm(name.at)
        hidden: list[Node] = ["at", x, y, 0.0]
        label.append(
            ["property", Quoted("Intersheetrefs"), Quoted("${INTERSHEET_REFS}"), hidden, _effects(hide=True)]
        )
        tree.append(label)
    for ref, placed in sheet.placed.items():
        tree.append(_part(placed, sheet.items[ref], sheet.name))
    tree += [_mark(placed, sheet.name) for placed in sheet.marks]
    return [*tree, ["embedded_fonts", "no"]]


def first_file(plans: Plans, circuit: Circuit) -> list[Node]:
    """The first sheet: a box for each of the others."""
    tree = _begun("first", plans.title, plans.first.paper, plans, circuit, ())
    heads = [Note((at[0] + 2, at[1] + 3), circuit.titles[name], size=2.0) for name, (at, _) in plans.boxes.items()]
    tree += _notes("first", [*plans.first.notes, *heads])
    for page, name in enumerate(circuit.titles, 2):
        (left, top), (right, bottom) = plans.boxes[name]
        x, y = _mm((left, top))
        box: list[Node] = ["sheet", _at((left, top)), ["size", (right - left) * GRID, (bottom - top) * GRID]]
        box += [["exclude_from_sim", "no"], ["in_bom", "yes"], ["on_board", "yes"], ["dnp", "no"], _stroke(0.254)]
        box += [["fill", ["color", "0", "0", "0", "0.0"]], identity_of_sheet(name)]
        box.append(_field("Sheetname", name, Text(x, y - 1.9, 0, "left"), size=1.8))
        below = (bottom - top) * GRID + y + 0.7
        box.append(_field("Sheetfile", f"{name}.kicad_sch", Text(x, below, 0, "left"), top=True))
        where: list[Node] = ["path", Quoted(f"/{identity('first')}"), ["page", Quoted(str(page))]]
        tree.append([*box, ["instances", ["project", Quoted(NICKNAME), where]]])
    tree.append(["sheet_instances", ["path", Quoted("/"), ["page", Quoted("1")]]])
    return [*tree, ["embedded_fonts", "no"]]


def identity_of_sheet(name: str) -> list[Node]:
    """The identity of a sheet's box on the first sheet."""
    return ["uuid", identity("first", "box", name)]


def _begun(
    name: str, title: str, paper: str, plans: Plans, circuit: Circuit, symbols: Iterable[Symbol]
) -> list[Node]:
    block: list[Node] = ["title_block", ["title", Quoted(title)], ["date", Quoted(circuit.date)]]
    block += [["rev", Quoted(circuit.revision)], ["company", Quoted(plans.title)]]
    block += [["comment", "1", Quoted(plans.licence)], ["comment", "2", Quoted("Untested on hardware")]]
    tree: list[Node] = ["kicad_sch", ["version", _VERSION], ["generator", Quoted("making.schematic")]]
    tree += [["generator_version", Quoted("9.0")], _uuid(name), ["paper", Quoted(paper)], block]
    return [*tree, ["lib_symbols", *(symbol.tree for symbol in symbols)]]


def _part(placed: Placed, item: Item, sheet: str) -> list[Node]:
    reference, value = placed.texts()
    fields: list[Node] = [_field("Reference", item.ref, _millimetres(reference))]
    # Every place to measure has the same value; its net says more.
    fields.append(_field("Value", item.part.value, _millimetres(value), hide=len(placed.symbol.pins) == 1))
    x, y = _mm(placed.place.at)
    for key, words in _bought(item.part, item.option):
        fields.append(_field(key, words, Text(x, y, 0, "centre"), hide=True))
    return _instance(placed, sheet, fields, fitted=not item.option, bought=not item.part.copper)


def _bought(part: Part, option: str) -> list[tuple[str, str]]:
    told = [("Footprint", part.footprint), ("Datasheet", part.datasheet), ("Description", part.description)]
    told += [("Manufacturer", part.maker), ("MPN", part.mpn), ("Spec", part.spec), ("Alternative", part.alternative)]
    told += [("Price", f"{part.price:.2f}"), ("Search", part.search)]
    return told + ([("Option", option)] if option else [])


def _mark(placed: Placed, sheet: str) -> list[Node]:
    x, y = _mm(placed.place.at)
    name = placed.symbol.name.partition(":")[2]
    upside = placed.place.angle == 180
    down = placed.symbol.body[1] <= 0
    fields: list[Node] = [_field("Reference", placed.ref, Text(x, y, 0, "centre"), hide=True)]
    away = 4.3 if placed.ref.startswith("#FLG") else 3.1
    text = Text(x, y + away if upside else y - away, 0, "centre")
    fields.append(_field("Value", name, text, hide=down and not placed.ref.startswith("#FLG")))
    for key in ("Footprint", "Datasheet", "Description"):
        fields.append(_field(key, "", Text(x, y, 0, "centre"), hide=True))
    return _instance(placed, sheet, fields, fitted=True, bought=True)


def _instance(placed: Placed, sheet: str, fields: list[Node], *, fitted: bool, bought: bool) -> list[Node]:
    place = placed.place
    tree: list[Node] = ["symbol", ["lib_id", Quoted(placed.symbol.name)], _at(place.at, float(place.angle))]
    tree += [["mirror", place.mirror]] if place.mirror else []
    tree += [["unit", "1"], ["exclude_from_sim", "no"], ["in_bom", "yes" if bought else "no"], ["on_board", "yes"]]
    tree += [["dnp", "no" if fitted else "yes"], _uuid(sheet, placed.ref), *fields]
    tree += [["pin", Quoted(pin), _uuid(sheet, placed.ref, pin)] for pin in placed.symbol.pins]
    path = f"/{identity('first')}/{identity_of_sheet(sheet)[1]}"
    where: list[Node] = ["path", Quoted(path), ["reference", Quoted(placed.ref)], ["unit", "1"]]
    return [*tree, ["instances", ["project", Quoted(NICKNAME), where]]]


def _field(
    key: str, words: str, text: Text, *, hide: bool = False, size: float = 1.27, top: bool = False
) -> list[Node]:
    where: list[Node] = ["at", text.x, text.y, float(text.angle)]
    effects = _effects(size, text.justify if text.justify != "centre" else "", hide=hide, top=top)
    return ["property", Quoted(key), Quoted(words), where, effects]


def _notes(sheet: str, notes: Iterable[Note]) -> Iterator[list[Node]]:
    """Words, and frames with their titles inside the left upper corner."""
    for at, note in enumerate(notes):
        x, y = note.at
        if note.to:
            corners: list[Node] = [["start", *_mm(note.at)], ["end", *_mm(note.to)]]
            look: list[Node] = [_stroke(0.15, "dash"), ["fill", ["type", "none"]]]
            yield ["rectangle", *corners, *look, _uuid(sheet, "frame", at)]
            x, y = x + 1, y + 1
        where: list[Node] = [["exclude_from_sim", "no"], _at((x, y), 0.0), _effects(note.size, "left", top=True)]
        yield ["text", Quoted(note.words), *where, _uuid(sheet, "note", at)]


def _effects(size: float = 1.27, justify: str = "", *, hide: bool = False, top: bool = False) -> list[Node]:
    tree: list[Node] = ["effects", ["font", ["size", size, size]]]
    sides: list[Node] = [one for one in (justify, "top" if top else "") if one]
    tree += [["justify", *sides]] if sides else []
    return [*tree, ["hide", "yes"]] if hide else tree


def _stroke(width: float = 0.0, kind: str = "default") -> list[Node]:
    return ["stroke", ["width", width], ["type", kind]]


def _at(spot: Spot, angle: float | None = None) -> list[Node]:
    return ["at", *_mm(spot)] if angle is None else ["at", *_mm(spot), angle]


def _mm(spot: Spot) -> tuple[float, float]:
    return spot[0] * GRID, spot[1] * GRID


def _millimetres(text: Text) -> Text:
    return Text(text.x * GRID, text.y * GRID, text.angle, text.justify)


def _uuid(*names: object) -> list[Node]:
    return ["uuid", identity(*names)]
