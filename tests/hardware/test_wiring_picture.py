"""The wiring picture: every wire from its pin to its pin, beside the boxes, and no text over another."""

from __future__ import annotations

import hashlib
from itertools import combinations, pairwise

import pytest
from PIL import Image

from making.circuit import load
from making.harness import Harness, harness
from making.into import MADE
from making.routing import Grid, NoWay, Point, spread
from making.wires import numbered
from making.wiring_boxes import SQUARE, Box, boxes, picture_size
from making.wiring_picture import COLOURS, DIGEST, Picture, as_image, as_svg, picture

PICTURES = MADE / "pictures"

Room = tuple[float, float, float, float]


@pytest.fixture(scope="module", name="some")
def _some() -> Harness:
    circuit = load()
    return harness(circuit, circuit.nets())


@pytest.fixture(scope="module", name="drawn")
def _drawn(some: Harness) -> Picture:
    return picture(some, boxes(some, load()), picture_size())


def overlap(one: Room, other: Room) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def room(box: Box) -> Room:
    (x, y), (w, h) = box.at, box.size
    return x * SQUARE, y * SQUARE, (x + w) * SQUARE, (y + h) * SQUARE


def test_every_wire_is_drawn_from_its_pin_to_its_pin(some: Harness, drawn: Picture) -> None:
    pins = {end: point for box in drawn.boxes.values() for end, point in box.pins.items()}
    assert len(drawn.ways) == len(some.wires)
    for wire, way in drawn.ways:
        assert (way[0], way[-1]) == (pins[wire.ends[0]], pins[wire.ends[1]])


def test_every_wire_is_named_at_both_ends(some: Harness, drawn: Picture) -> None:
    words = " ".join(text.words for text in drawn.texts).replace(",", " ").split()
    assert [name for name in numbered(some) if words.count(name) != 2] == []


def test_no_wire_crosses_a_box_or_a_text(drawn: Picture) -> None:
    for wire, way in drawn.ways:
        inner = list(spread(way))[1:-1]
        for box in drawn.boxes.values():
            left, top, right, bottom = room(box)
            assert not [p for p in inner if left <= p[0] * SQUARE <= right and top <= p[1] * SQUARE <= bottom], wire
        for text in drawn.texts:
            for x, y in inner:
                spot = (x * SQUARE - 2, y * SQUARE - 2, x * SQUARE + 2, y * SQUARE + 2)
                assert not overlap(text.room, spot), (wire, text)


def test_no_text_lies_over_another_or_leaves_its_box(drawn: Picture) -> None:
    for one, other in combinations(drawn.texts, 2):
        assert not overlap(one.room, other.room), (one, other)
    for box in drawn.boxes.values():
        left, top, right, bottom = room(box)
        for text in box.texts:
            x, y, x2, y2 = text.room
            assert left < x, text
            assert x2 < right, text
            assert top < y, text
            assert y2 < bottom, text


def test_boxes_lie_apart(drawn: Picture) -> None:
    for one, other in combinations(drawn.boxes.values(), 2):
        assert not overlap(room(one), room(other))


def test_wires_without_a_common_end_share_no_line(drawn: Picture) -> None:
    taken: dict[tuple[Point, Point], list[frozenset[tuple[str, str]]]] = {}
    for wire, way in drawn.ways:
        points = list(spread(way))
        for here, there in pairwise(points):
            step = (min(here, there), max(here, there))
            assert all(set(wire.ends) & others for others in taken.get(step, [])), wire
            taken.setdefault(step, []).append(frozenset(wire.ends))


def test_a_wall_leaves_no_way() -> None:
    grid = Grid((9, 5), blocked={(4, y) for y in range(5)})
    with pytest.raises(NoWay, match="more room"):
        grid.way((0, 2), (8, 2), frozenset({"a"}))


def test_a_way_goes_round_a_wall() -> None:
    grid = Grid((9, 9), blocked={(4, y) for y in range(8)})
    assert grid.way((0, 0), (8, 0), frozenset({"a"})) == [(0, 0), (0, 8), (8, 8), (8, 0)]


def test_a_way_may_cross_another_and_lies_on_it_only_with_a_common_end() -> None:
    grid = Grid((5, 5))
    assert grid.way((0, 2), (4, 2), frozenset({"a", "b"})) == [(0, 2), (4, 2)]
    assert grid.way((2, 0), (2, 4), frozenset({"c", "d"})) == [(2, 0), (2, 4)]
    lane = Grid((5, 1))
    lane.way((0, 0), (4, 0), frozenset({"a", "b"}))
    assert lane.way((0, 0), (3, 0), frozenset({"a", "e"})) == [(0, 0), (3, 0)]
    with pytest.raises(NoWay):
        lane.way((1, 0), (3, 0), frozenset({"c", "d"}))


def test_every_colour_of_the_wires_is_known(some: Harness) -> None:
    assert {wire.colour for wire in some.wires} <= COLOURS.keys()


def test_what_is_committed_is_what_is_made_now(drawn: Picture) -> None:
    svg = as_svg(drawn)
    assert (PICTURES / "wiring.svg").read_bytes() == svg.encode()
    with Image.open(PICTURES / "wiring.png") as png:
        assert png.info[DIGEST] == hashlib.sha256(svg.encode()).hexdigest()
        assert png.size == (2 * drawn.size[0], 2 * drawn.size[1])


def test_the_drawn_picture_has_the_colours_of_its_wires(drawn: Picture) -> None:
    """Looked at in the middle of each wire's first stretch, where only another wire with the same end may lie."""
    image = as_image(drawn)
    for wire, way in drawn.ways:
        x, y = list(spread(way))[1]
        told = "#{:02x}{:02x}{:02x}".format(*image.getpixel((2 * SQUARE * x, 2 * SQUARE * y)))  # type: ignore[misc]
        assert told == COLOURS[wire.colour], wire
