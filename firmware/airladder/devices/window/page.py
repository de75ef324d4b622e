"""The page and what belongs to it, made once."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.resources import files
from string import Template

from airladder.devices.keys import KEYS
from airladder.devices.window.news import HEIGHT, WIDTH
from airladder.practice.presses import ROW, Button

NAMES = {
    Button.BACK: "Back",
    Button.DOWN: "Down",
    Button.UP: "Up",
    Button.OK: "OK",
    Button.FOOT: "Foot switch",
}
_KEY_NAMES = {" ": ("space", "Space")}
"""Of keys that print nothing: what the page says, and what ARIA calls them (WAI-ARIA 1.2, aria-keyshortcuts)."""


@dataclass(frozen=True)
class File:
    """Something to be served: its media type and its bytes."""

    kind: str
    content: bytes


def site() -> dict[str, File]:
    """The files by their names in the address; the page itself has none."""
    return {
        "": File("text/html; charset=utf-8", _page().encode()),
        "page.css": File("text/css; charset=utf-8", _shipped("page.css").encode()),
        "page.js": File("text/javascript; charset=utf-8", _shipped("page.js").encode()),
    }


def _page() -> str:
    row = "".join(map(_button, ROW))
    return Template(_shipped("page.html")).substitute(width=WIDTH, height=HEIGHT, row=row, foot=_button(Button.FOOT))


def _button(button: Button) -> str:
    key = next(key for key, meant in KEYS.items() if meant == (button, False))
    said, shortcut = _KEY_NAMES.get(key, (key, key))
    return (
        f'<button type="button" data-button="{button.value}" data-key="{key}" aria-keyshortcuts="{shortcut}">'
        f"{NAMES[button]}<kbd>{said}</kbd></button>"
    )


def _shipped(name: str) -> str:
    return (files("airladder.devices.window") / name).read_text(encoding="utf-8")
