"""Drawings and pictures: known solids give known lines, figures come from solids, and nothing changes by itself."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np
import pytest
from build123d import Box, Pos

from casing import explode, labels, lines, look, section, sheets
from casing.piece import Piece
from casing.section import Dimension
from casing.seen import View
from casing.variants import Variant

CUBE = Piece("cube", Box(10, 10, 10), apart=(0.0, 0.0, 30.0))
AHEAD = View.from_eye((0, 0, 1))
CORNER = View.from_eye((1, 1, 1))


def long(drawn: lines.Drawn) -> float:
    return float(np.linalg.norm(drawn.lines[:, 1] - drawn.lines[:, 0], axis=1).sum())


def test_of_a_cube_from_a_corner_nine_edges_are_seen() -> None:
    found = lines.draw([CUBE], CORNER)
    assert long(found) == pytest.approx(9 * 10 * np.sqrt(2 / 3), rel=0.02)


def test_what_lies_behind_is_not_drawn() -> None:
    behind = Piece("behind", Pos(0, 0, -20) * Box(4, 4, 4))
    beside = Piece("beside", Pos(20, 0, -20) * Box(4, 4, 4))
    alone = long(lines.draw([CUBE], AHEAD))
    assert long(lines.draw([CUBE, behind], AHEAD)) == pytest.approx(alone)
    assert long(lines.draw([CUBE, beside], AHEAD)) == pytest.approx(alone + 16, rel=0.02)


def test_balloons_do_not_lie_on_each_other_and_all_are_listed() -> None:
    many = [Piece(f"part-{k}", Pos(6.0 * k, 0, 0) * Box(4, 4, 4), apart=(0, 0, 10.0 * k)) for k in range(9)]
    text = explode.exploded(many, {}, "test")
    root = ElementTree.fromstring(text)
    circles = [
        (float(c.get("cx", "")), float(c.get("cy", "")))
        for c in root.iter("{http://www.w3.org/2000/svg}circle")
        if float(c.get("r", "")) > 1
    ]
    assert len(circles) == len(many)
    apart = [np.hypot(a[0] - b[0], a[1] - b[1]) for k, a in enumerate(circles) for b in circles[:k]]
    assert min(apart) > 2 * explode.ROUND
    assert all(f"part {k}<" in text for k in range(9))


def test_the_figures_of_a_section_are_those_of_the_solid() -> None:
    wall = Piece("wall", Pos(0, 5, 0) * (Box(8, 30, 12) - Box(6, 26, 8)))
    wanted = [Dimension((-6, 20), (6, 20), 5), Dimension((6, -10), (6, 20), 5), Dimension((-6, 0), (-4, 0), 3)]
    text = section.section([wall], 0.0, wanted, "test")
    assert re.findall(r">(\d+\.\d)</text>", text) == ["12.0", "30.0", "2.0"]
    (faces,) = [section.cut(wall, 0.0)]
    assert sum(f.area for f in faces) == pytest.approx(12 * 30 - 8 * 26)
    assert section.cut(wall, 50.0) == []


@pytest.mark.parametrize("variant", [Variant("1.3"), Variant("2.42", cell=False)], ids=lambda v: v.name)
def test_the_section_of_the_box_says_how_deep_it_is(variant: Variant) -> None:
    text = sheets.cut(variant)
    ElementTree.fromstring(text)
    assert ("41.1" if variant.cell else "30.1") in re.findall(r">(\d+\.\d)</text>", text)


def test_labels_fit_and_can_be_read() -> None:
    for label in labels.LABELS:
        assert label.cap >= 1.5
        widest = (
            max(len(line) for line in label.lines) * label.cap / labels.CAP * 0.5
        )  # mean breadth of sans-serif letters
        assert widest <= label.wide - 1, label.lines
        assert 1.75 * label.cap * len(label.lines) <= label.high + 1, label.lines
    words = " ".join(line for label in labels.LABELS for line in label.lines)
    for wanted in (
        "back",
        "down",
        "up",
        "ok",
        "foot",
        "piezo",
        "mic",
        "phones",
        "USB",
        "on",
        "off",
        "Source",
        "CERN-OHL-S-2.0",
    ):
        assert wanted in words
    assert labels.sheet() == labels.sheet()
    ElementTree.fromstring(labels.sheet())


def test_a_picture_shows_light_and_shadow_and_is_the_same_again() -> None:
    one = np.asarray(look.picture([CUBE], (1, 1, 1), width=200))
    assert (one == np.asarray(look.picture([CUBE], (1, 1, 1), width=200))).all()
    middle = one[one.shape[0] // 2 - 30, one.shape[1] // 2]
    corner = one[2, 2]
    assert corner.min() > 230, "paper"
    assert middle.max() < 235, "a face in the light"
    assert len(np.unique(one.reshape(-1, 3), axis=0)) > 50
