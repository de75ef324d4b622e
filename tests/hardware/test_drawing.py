"""The sheets can be read: no text over text, no line through a text, no wire through a part, all on the paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from hardware.inked import drawn
from making import kicad as kicad_cli
from making.circuit import load
from making.drawing import Sheet, draw
from making.places import GRID, PAPERS, DrawingFault, Place, Plans, load_plans
from making.schematic import write
from making.symbols import Box

pytestmark = pytest.mark.usefixtures("kicad")

# Millimetres: the frame that KiCad draws round each sheet, and its title block in the right lower corner.
FRAME = 12.0
TITLE = (110.0, 36.0)


@pytest.fixture(scope="module")
def sheets() -> list[Sheet]:
    return draw(load(), load_plans())


def inked(plans: Plans, folder: Path) -> list[str]:
    """Every collision on every sheet that KiCad draws, in words."""
    first = write(load(), folder, plans)
    kicad_cli.svg(first, folder / "svg")
    pages = sorted((folder / "svg").glob("*.svg"))
    assert len(pages) == 1 + len(plans.sheets)
    items = load().items.values()
    names = {name for item in items for name in (item.ref, item.part.value)}
    sheets = {page.stem: drawn(page) for page in pages}
    assert any(sheet.crosses for sheet in sheets.values()), "no part is crossed out, or the cross has another colour"
    return [
        f"{name}: {one}" for name, sheet in sheets.items() for one in (*sheet.collisions(), *sheet.crossed(names))
    ]


def moved(plans: Plans, sheet: str, ref: str, place: Place) -> Plans:
    plan = plans.sheets[sheet]
    plan = replace(plan, places={**plan.places, ref: place})
    return replace(plans, sheets={**plans.sheets, sheet: plan})


def pierced(sheets: list[Sheet]) -> Iterator[str]:
    """Each wire that runs through a part's body."""
    for sheet in sheets:
        for ref, placed in sheet.placed.items():
            left, top, right, bottom = placed.body()
            for wire in sheet.wiring.wires:
                (ax, bx), (ay, by) = sorted((wire.a[0], wire.b[0])), sorted((wire.a[1], wire.b[1]))
                level = max(ax, left) < min(bx, right) and top < ay == by < bottom
                upright = max(ay, top) < min(by, bottom) and left < ax == bx < right
                if level or upright:
                    yield f"{wire.net} runs through {ref}"


def inside(box: Box, x: float, y: float) -> bool:
    left, top, right, bottom = box
    return left < x < right and top < y < bottom


def test_no_text_lies_over_a_text_and_no_line_runs_through_one(tmp_path: Path) -> None:
    assert inked(load_plans(), tmp_path) == []


@pytest.mark.parametrize(
    ("sheet", "ref", "place", "said"),
    [
        ("sound", "C6", (8, 0), "'C5' lies over 'C6'"),
        ("sound", "C6", (5, 0), "a line runs through 'C6'"),
        ("panel", "C18", (3, -12), "'3V3' lies over 'GND'"),
    ],
)
def test_a_part_moved_too_close_is_found(
    sheet: str, ref: str, place: tuple[int, int], said: str, tmp_path: Path
) -> None:
    plans = load_plans()
    was = plans.sheets[sheet].places[ref]
    place = (was.at[0] + place[0], was.at[1] + place[1])
    assert any(said in one for one in inked(moved(plans, sheet, ref, replace(was, at=place)), tmp_path))


def test_no_wire_runs_through_a_part(sheets: list[Sheet]) -> None:
    assert list(pierced(sheets)) == []


def test_a_wire_through_a_part_is_found() -> None:
    plans = load_plans()
    assert "MICB runs through C8" in list(pierced(draw(load(), moved(plans, "sound", "C8", Place((230, 42))))))


def test_every_part_has_a_place_on_its_paper(sheets: list[Sheet]) -> None:
    for sheet in sheets:
        assert set(sheet.placed) == set(sheet.plan.places)
        wide, high = PAPERS[sheet.plan.paper]
        for ref, placed in sheet.placed.items():
            left, top, right, bottom = (GRID * side for side in placed.body())
            assert left > FRAME < top, ref
            assert right < wide - FRAME, ref
            assert bottom < high - FRAME, ref
            assert right < wide - FRAME - TITLE[0] or bottom < high - FRAME - TITLE[1], ref


def test_no_name_or_value_lies_over_a_part(sheets: list[Sheet]) -> None:
    for sheet in sheets:
        for ref, placed in sheet.placed.items():
            for text in placed.texts():
                over = [name for name, other in sheet.placed.items() if inside(other.body(), text.x, text.y)]
                assert not over, f"{ref} is written over {over}"


def test_no_two_parts_share_the_paper(sheets: list[Sheet]) -> None:
    for sheet in sheets:
        bodies = [(ref, placed.body()) for ref, placed in sheet.placed.items()]
        for at, (ref, one) in enumerate(bodies):
            for name, other in bodies[:at]:
                across = one[0] < other[2] and other[0] < one[2]
                assert not (across and one[1] < other[3] and other[1] < one[3]), f"{ref} over {name}"


def test_every_wire_that_is_drawn_is_of_a_net_of_the_sheet(sheets: list[Sheet]) -> None:
    """A net that was renamed in circuit.toml would silently lose its wires."""
    for sheet in sheets:
        nets = {net for item in sheet.items.values() for net in item.pins.values()}
        assert set(sheet.plan.wires) <= nets
        assert set(sheet.plan.wires) <= {wire.net for wire in sheet.wiring.wires}


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("R1.1 +0,-3", "MICB is drawn from .* without a name; end a line with one"),
        ("R1.1 above", "'above' is no pin"),
    ],
)
def test_a_line_that_cannot_be_drawn_is_told_in_one_sentence(line: str, said: str) -> None:
    plans = load_plans()
    plan = plans.sheets["sound"]
    plan = replace(plan, wires={**plan.wires, "MICB": (line,)})
    with pytest.raises(DrawingFault, match=said):
        draw(load(), replace(plans, sheets={**plans.sheets, "sound": plan}))


def test_a_sheet_without_a_drawing_is_told_in_one_sentence() -> None:
    plans = load_plans()
    with pytest.raises(DrawingFault, match=r"has no sheet panel; add \[sheet.panel\]"):
        draw(load(), replace(plans, sheets={name: plan for name, plan in plans.sheets.items() if name != "panel"}))
