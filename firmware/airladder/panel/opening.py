"""The first picture after the switch-on, drawn before anything else of the program is loaded."""

from __future__ import annotations

from PIL import Image

from airladder.panel import fonts
from airladder.panel.canvas import WIDTH, Canvas

NAME, MOMENT = "Airladder", "one moment"
_RUNG_Y, _RUNGS, _STEP, _WIDTH = 42, 4, 8, 20


def draw_opening(version: str) -> Image.Image:
    """The name, the version, and a few rungs that lead up: 128 x 64, mode "1"."""
    canvas = Canvas()
    canvas.text((WIDTH // 2, 8), NAME, fonts.middle(), align="centre")
    canvas.text((WIDTH // 2, 26), f"{version}, {MOMENT}", fonts.small(), align="centre")
    for i in range(_RUNGS):
        left = WIDTH // 2 - _RUNGS * (_WIDTH + 2) // 2 + i * (_WIDTH + 2)
        y = _RUNG_Y + (_RUNGS - 1 - i) * _STEP // 2
        canvas.bar((left, y, left + _WIDTH, y + 2))
    return canvas.image
