"""The tray keeps its rules with every display, and each rule finds the faults that are put in for it."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from build123d import Box, Cylinder, Pos, Shape

from casing import bought, figures, tray
from casing.figures import parts
from casing.tray_front import front_piece
from casing.tray_plate import plate_piece
from casing.variants import DISPLAYS, Variant
from enclosure.case import Case, shifted
from enclosure.chosen import ALL, chosen
from enclosure.tray_rules import RULES
from enclosure.tray_wires import legs
from said import Sentences

SENTENCES = Sentences([Path(__file__).parent / "tray_rules.py", Path(__file__).parent / "tray_wires.py"])

Change = Callable[[Case], Case]
USUAL = "1.3"


@cache
def right(display: str) -> Case:
    """The tray of a display; all have the same back part, and so the same triangles of it."""
    variant, own = Variant(display, carrier=False), figures.tray()
    if display == USUAL:
        return Case(
            variant, parts(), (*tray.tray_pieces(own, parts(), variant), *tray.modules(own, parts(), variant))
        )
    usual = {p.name: p for p in right(USUAL).pieces}
    new = [front_piece(own, parts(), variant), *bought.display(parts(), variant)]
    return Case(variant, parts(), tuple((usual | {p.name: p for p in new}).values()))


def figure(path: str, value: object) -> Change:
    """A figure of tray.toml that is wrong, in the part that it belongs to."""

    def change(old: Case) -> Case:
        own = figures.tray().but(path, value)
        front = path.startswith("front.")
        new = front_piece(own, parts(), old.variant) if front else plate_piece(own, parts())
        return old.changed(new.name, lambda _: new.shape)

    return change


def solid(name: str, change: Callable[[Shape], Shape]) -> Change:
    """A piece that is broken."""
    return lambda old: old.changed(name, change)


def moved(name: str, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Change:
    """A piece that stands wrong, mm."""
    return solid(name, lambda s: shifted(s, x, y, z))


def filled(name: str, where: Shape) -> Change:
    """A piece with plastic where none should be."""
    return solid(name, lambda s: s + where)


def cut(name: str, where: Shape) -> Change:
    """A piece with a hole too many."""
    return solid(name, lambda s: s - where)


FAULTS: dict[str, tuple[str, Change]] = {
    "a fence floats": ("whole", filled("tray", Pos(56, 50, -4) * Box(10, 2, 2))),
    "the fences are three lines thick": ("walls", figure("fence.thick", 1.2)),
    "two slots are too near to each other": ("walls", cut("tray", Pos(9.5, 43.6, 0.8) * Box(2.2, 1.2, 1.8))),
    "a roof goes out from a post": ("hangs", filled("tray", Pos(92, 50.2, -6) * Box(14, 4, 2))),
    "the plate is too long": ("bed", filled("tray", Pos(116, 40, 0.8) * Box(12, 10, 1.6))),
    "the fences bite": ("overlaps", figure("fence.fit", -0.3)),
    "the headphones' strip is in the memory card's way": ("overlaps", moved("strip headphones", x=1.2)),
    "a wall meets the base": ("room", figure("wall.jack_end.at", [-0.2, 15.25, 12.4, 16.85])),
    "the display's frame meets the lid": ("room", figure("front.frame", 5.0)),
    "a button sits askew": ("places", moved("SW_PUSH-12mm", x=0.1)),
    "the slide switch stands back": ("places", moved("SW_Slide_SPDT_Angled_CK_OS102011MA1Q", x=-0.2)),
    "the codec is too high": ("places", moved("codec", z=-6.5)),
    "the gauge lies beside its place": ("places", moved("gauge", x=2.1)),
    "a corner has no hole": ("screws", filled("tray", Pos(4, 4, 0.8) * Cylinder(2, 1.6))),
    "the computer's posts are thin": ("screws", figure("posts.across", 4.6)),
    "their holes are shallow": ("screws", filled("tray", Pos(39.58, 50.17, -4.5) * Cylinder(2.0, 2.0))),
    "the front part's screws reach too little": ("screws", moved("tray-screw-5", z=0.9)),
    "the gauge has no fence above and none on the right": (
        "holds",
        cut("tray", Pos(27.5, 69, -2) * Box(22, 19, 3.9)),
    ),
    "no wall stands behind the switch": ("holds", cut("tray", Pos(106.5, 20, -4) * Box(5, 14, 8))),
    "no wedges and teeth hold the jacks": ("holds", cut("tray", Pos(6.2, 40, -4) * Box(12.8, 90, 7.9))),
    "the USB board's fence is far": ("holds", figure("wall.usb_high.at", [108.8, 44.5, 111.8, 46.1])),
    "the jacks' slots are narrow": ("wires", filled("tray", Pos(8.9, 36.5, 0.8) * Box(1.2, 12, 1.6))),
    "the display's wires end at the plate": ("wires", filled("tray", Pos(56, 66, 0.8) * Box(12, 4, 1.6))),
    "the gauge's solder has no room": ("wires", filled("tray", Pos(25, 60.2, 0.8) * Box(18, 5, 1.6))),
    "the front part covers a hole": ("openings", filled("tray-front", Pos(15, 36.5, 2.8) * Box(8, 40, 2.4))),
    "the ties' slots are left out": ("openings", figure("ties", {})),
}
"""A story: the rule that finds it, and what is done to a tray that is right."""


@pytest.mark.parametrize("display", DISPLAYS)
@pytest.mark.parametrize("name", RULES)
def test_the_tray_keeps_the_rule(name: str, display: str) -> None:
    """The back part, the same for all of them, is looked at once where that takes long."""
    case = right(display)
    if display != USUAL and name in {"whole", "walls", "hangs", "overlaps", "room", "screws"}:
        case = case.without("tray")
    assert list(RULES[name](case)) == []


@pytest.mark.parametrize("story", chosen(FAULTS))
def test_the_fault_is_found_by_its_rule(story: str) -> None:
    name, change = FAULTS[story]
    assert SENTENCES.heard(RULES[name](change(right(USUAL)))), f"{name} does not see that {story}"


@pytest.mark.skipif(not ALL, reason="`sh tests/acceptance/run enclosure` puts every fault in")
def test_every_sentence_of_the_rules_is_brought_out_by_a_fault() -> None:
    assert SENTENCES.unsaid() == []


def test_every_rule_has_a_fault_that_it_finds() -> None:
    assert {name for name, _ in FAULTS.values()} == set(RULES)


def test_every_leg_is_looked_at() -> None:
    """Four of a button, ten and five more ends of slots of a jack, five of the switch, four wires of the display."""
    assert len(legs(right(USUAL))) == 4 * 4 + 4 * 15 + 5 + 4
