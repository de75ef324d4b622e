"""All sample screens on one sheet, each with its name."""

from __future__ import annotations

from collections.abc import Mapping

from PIL import Image

from airladder.panel import fonts
from airladder.panel.canvas import HEIGHT, WIDTH

_COLUMNS, _SCALE, _GAP, _CAPTION = 6, 2, 10, 12
_GLASS, _LIGHT, _PAPER = 12, 236, 60


def sheet(pictures: Mapping[str, Image.Image]) -> Image.Image:
    """The pictures (128 x 64, mode "1") in rows of six, enlarged twice, mode "L"."""
    wide, high = _SCALE * WIDTH + _GAP, _SCALE * HEIGHT + _CAPTION + _GAP
    rows = -(-len(pictures) // _COLUMNS)
    paper = Image.new("L", (_COLUMNS * wide + _GAP, rows * high + _GAP), _PAPER)
    for number, (name, picture) in enumerate(pictures.items()):
        x, y = _GAP + number % _COLUMNS * wide, _GAP + number // _COLUMNS * high
        big = picture.resize((_SCALE * WIDTH, _SCALE * HEIGHT), Image.Resampling.NEAREST)
        paper.paste(big.convert("L").point([_GLASS] + [_LIGHT] * 255), (x, y))
        _caption(paper, (x, y + _SCALE * HEIGHT + 2), name)
    return paper


def _caption(paper: Image.Image, place: tuple[int, int], name: str) -> None:
    x, y = place
    for character in name:
        glyph = fonts.small().glyph(character)
        paper.paste(_LIGHT, (x, y), glyph.bitmap)
        x += glyph.advance
