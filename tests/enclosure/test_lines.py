"""Parts drawn apart: each stands where it was moved to, and each number points at its own part."""

from __future__ import annotations

from itertools import combinations
from xml.etree import ElementTree

import numpy as np
import pytest
from build123d import Box, Location, Pos

from casing import explode, lines
from casing.piece import Piece
from casing.seen import View

SVG = "{http://www.w3.org/2000/svg}"
VIEW = View.from_eye(explode.EYE)
FRAME = Piece("frame", Box(60, 50, 4) - Box(40, 30, 9))
INSIDE = [Piece(f"part-{k}", Pos(8 * k - 20, 6 * (k % 3) - 6, -8) * Box(5, 5, 5)) for k in range(6)]
HIDDEN = Piece("hidden", Pos(0, 0, 0) * Box(2, 2, 2))
AROUND = Piece("around", Box(30, 30, 30))


def leaders(text: str) -> list[explode.Leader]:
    found: list[explode.Leader] = []
    for path in ElementTree.fromstring(text).iter(f"{SVG}path"):
        if path.get("stroke") == "#555":
            a, b, c, d = (float(v) for v in path.get("d", "")[1:].replace("L", " ").split())
            found.append((a, b, c, d))
    return found


def test_a_part_drawn_apart_is_the_part_moved() -> None:
    piece = Piece("cube", Box(10, 10, 10), apart=(3.0, 4.0, 30.0))
    moved = Piece("cube", Location(piece.apart) * piece.shape)
    assert lines.draw([piece], VIEW, apart=True).lines == pytest.approx(lines.draw([moved], VIEW).lines)


def test_each_number_points_at_its_own_part() -> None:
    pieces = [FRAME, *INSIDE]
    text = explode.exploded(pieces, {}, "test")
    drawn = lines.draw(pieces, VIEW, apart=True)
    words = [t.text or "" for t in ElementTree.fromstring(text).iter(f"{SVG}text") if "  " in (t.text or "")]
    ends = leaders(text)
    assert len(words) == len(ends) == len(pieces)
    left = drawn.low[0] - explode.ASIDE - 3 * explode.ROUND
    for word, (_, _, x, y) in zip(words, ends, strict=True):
        row, column = drawn.seen.at(np.array([[x + left, drawn.high[1] - y]]))
        assert pieces[int(drawn.whose[row[0], column[0]])].name.replace("-", " ") == word.split("  ")[1]


def test_what_nobody_can_see_has_no_number() -> None:
    assert explode.pointed_at(lines.draw([AROUND, HIDDEN], VIEW), [1]) is None
    text = explode.exploded([AROUND, HIDDEN], {}, "test")
    assert len(leaders(text)) == 1
    assert "hidden" not in text


@pytest.mark.parametrize("seed", range(8))
def test_lines_do_not_cross(seed: int) -> None:
    spots = np.random.default_rng(seed).uniform(0, 100, (12, 2))
    heights = [9.0 * k for k in range(12)]
    order = explode._untangled([(float(x), float(y)) for x, y in spots], -16.0, heights)
    assert sorted(order) == list(range(12))
    found = [(-16.0, heights[k], float(x), float(y)) for k, (x, y) in zip(order, spots, strict=True)]
    assert not [p for p in combinations(found, 2) if explode.crossing(*p)]


def test_crossing_lines_are_known() -> None:
    assert explode.crossing((0, 0, 10, 10), (0, 10, 10, 0))
    assert not explode.crossing((0, 0, 10, 0), (0, 1, 10, 1))
