"""The map of all situations and presses, drawn as SVG from what `mapping` found.

A card a situation: its number and name, a real picture of it, and below each button where a short press leads, and
where a long one does. Cards stand in columns by how many presses or happenings they are from the beginning; a line
goes from a card to those that are first reached from it; what is reached only later on, as after many failing tries,
stands below the beginnings. Nothing here is written down by hand but names.

Conventions
-----------
SVG 1.1 user units. The file is a function of the code alone, so that a test can hold it to the code.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from textwrap import wrap
from xml.sax.saxutils import escape

from PIL import Image

from airladder.pages.page import Page
from airladder.panel.mapping import Hand, Situation, Visit
from airladder.panel.views import picture
from airladder.practice.presses import ROW, Button

_CARD, _GAP, _ROW = 256, 90, 262
_PICTURE_Y, _TEXT_Y, _LINE = 20, 160, 13
_MARGIN, _CHARACTERS = 20, 50
_STYLE = (
    "text{font:10px sans-serif;fill:#222}.name{font-weight:bold}.card{fill:#fff;stroke:#888}"
    ".glass{fill:#0c0c0c}.lit{stroke:#ececec;fill:none}.way{stroke:#7a7a7a;fill:none}.held{fill:#666}"
)
_BUTTONS = {Button.BACK: "BACK", Button.DOWN: "DOWN", Button.UP: "UP", Button.OK: "OK", Button.FOOT: "FOOT"}


def chart(found: Mapping[Situation, Visit]) -> str:
    """The map, as the text of an SVG file.

    Parameters
    ----------
    found : what `mapping.explore` found; the first situation is the beginning
    """
    depths, ways = _depths(found)
    numbers = {place: number for number, place in enumerate(depths, start=1)}
    spots = _spots(depths)
    wide = max(x for x, _ in spots.values()) + _CARD + _MARGIN
    high = max(y for _, y in spots.values()) + _ROW
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}">'
    lines = [head, f"<style>{_STYLE}</style>", f'<rect width="{wide}" height="{high}" fill="#f4f4f4"/>']
    lines += [_way(spots[start], spots[end]) for start, end in ways]
    for place in depths:
        lines += _card(place, found[place], spots[place], numbers)
    return "\n".join([*lines, "</svg>", ""])


def name(place: Situation) -> str:
    """What a situation is called on the map."""
    words = ["first run:"] if place.first else []
    words.append("free playing" if place.free else place.phase.value if place.phase else place.page.value)
    words += [word.value for word in (place.item, place.task) if word is not None]
    if place.sounds:
        words.append("(can sound)")
    return " ".join(words)


def _depths(found: Mapping[Situation, Visit]) -> tuple[dict[Situation, int], list[tuple[Situation, Situation]]]:
    """How far each situation is from the first one, and the ways by which it is reached first; nearest first."""
    depths: dict[Situation, int] = {}
    ways: list[tuple[Situation, Situation]] = []
    for start in found:  # the second beginning starts anew, where the first one has not come
        if start in depths:
            continue
        depths[start] = 0
        coming = [start]
        for place in coming:
            for end in dict.fromkeys([*found[place].presses.values(), *found[place].happenings.values()]):
                if end not in depths:
                    depths[end] = depths[place] + 1
                    ways.append((place, end))
                    coming.append(end)
    return depths, ways


def _spots(depths: Mapping[Situation, int]) -> dict[Situation, tuple[int, int]]:
    filled: dict[int, int] = {}
    spots = {}
    for place, depth in depths.items():
        row = filled.get(depth, 0)
        filled[depth] = row + 1
        spots[place] = (_MARGIN + depth * (_CARD + _GAP), _MARGIN + row * _ROW)
    return spots


def _way(start: tuple[int, int], end: tuple[int, int]) -> str:
    (x1, y1), (x2, y2) = (start[0] + _CARD, start[1] + 84), (end[0], end[1] + 84)
    middle = (x1 + x2) // 2
    return f'<path class="way" d="M{x1} {y1}C{middle} {y1} {middle} {y2} {x2} {y2}"/>'


def _card(place: Situation, visit: Visit, spot: tuple[int, int], numbers: Mapping[Situation, int]) -> Iterator[str]:
    x, y = spot
    yield f'<g transform="translate({x} {y})">'
    yield f'<rect class="card" x="-6" y="-2" width="{_CARD + 12}" height="{_ROW - 18}"/>'
    yield f'<text class="name" x="0" y="13">{numbers[place]}  {escape(name(place))}</text>'
    yield f'<g transform="translate(0 {_PICTURE_Y}) scale(2)"><rect class="glass" width="128" height="64"/>'
    yield f'<path class="lit" d="{_runs(picture(visit.box))}"/></g>'
    for column, button in enumerate(ROW):
        yield from _below(place, visit, (button, column * _CARD // len(ROW)), numbers)
    yield f'<text x="0" y="{_TEXT_Y + 2 * _LINE}">{escape(_foot(place, visit, numbers))}</text>'
    for line, text in enumerate(_happens(place, visit, numbers), start=3):
        yield f'<text x="0" y="{_TEXT_Y + line * _LINE}">{escape(text)}</text>'
    yield "</g>"


def _below(
    place: Situation, visit: Visit, column: tuple[Button, int], numbers: Mapping[Situation, int]
) -> Iterator[str]:
    button, x = column
    short, long = _leads(place, visit, (button, False), numbers), _leads(place, visit, (button, True), numbers)
    yield f'<text x="{x + 4}" y="{_TEXT_Y}">{escape(f"{_BUTTONS[button]} {short}")}</text>'
    yield f'<text class="held" x="{x + 4}" y="{_TEXT_Y + _LINE}">{escape(f"held {long}")}</text>'


def _leads(place: Situation, visit: Visit, hand: Hand, numbers: Mapping[Situation, int]) -> str:
    end = visit.presses[hand]
    return "·" if end == place else f"→{numbers[end]}"


def _foot(place: Situation, visit: Visit, numbers: Mapping[Situation, int]) -> str:
    short, long = (_leads(place, visit, (Button.FOOT, long), numbers) for long in (False, True))
    return f"{_BUTTONS[Button.FOOT]} {short}, held {long}"


def _happens(place: Situation, visit: Visit, numbers: Mapping[Situation, int]) -> list[str]:
    if place.page is not Page.PRACTICE:
        return []
    told = "; ".join(f"{what} →{numbers[end]}" for what, end in _own(place, visit.happenings.items()))
    return wrap(told, _CHARACTERS, break_on_hyphens=False)


def _own(place: Situation, ends: Iterable[tuple[str, Situation]]) -> Iterator[tuple[str, Situation]]:
    """What leads elsewhere within the practice."""
    return ((what, end) for what, end in ends if end != place and end.page is Page.PRACTICE)


def _runs(image: Image.Image) -> str:
    """The lit pixels as strokes of one unit, a run of them a stroke."""
    width, height = image.size
    strokes = []
    for y in range(height):
        lit = [image.getpixel((x, y)) != 0 for x in range(width)] + [False]
        starts = [x for x in range(width) if lit[x] and not (x and lit[x - 1])]
        strokes += [f"M{x} {y}.5h{lit.index(False, x) - x}" for x in starts]
    return "".join(strokes)
