"""The label sheet: what is glued or engraved on the box, in real millimetres; cut along the thin lines."""

from __future__ import annotations

from typing import NamedTuple

GAP = 3.0
"""Between labels, mm."""
CAP = 0.72
"""Height of a capital letter, for each unit of the type's size (sans-serif faces: 0.70 to 0.73)."""


class Label(NamedTuple):
    """One label.

    Attributes
    ----------
    wide, high : of the label, mm
    lines : its words
    cap : height of its capitals, mm
    """

    wide: float
    high: float
    lines: tuple[str, ...]
    cap: float


LABELS = (
    *(Label(17.0, 6.0, (word,), 2.6) for word in ("back", "down", "up", "ok")),
    *(Label(16.0, 6.0, (word,), 2.6) for word in ("foot", "piezo", "mic", "phones")),
    *(Label(12.0, 6.0, (word,), 2.6) for word in ("USB", "on", "off")),
    Label(44.0, 8.0, ("Airladder",), 4.0),
    Label(
        70.0,
        20.0,
        (
            "Lithium cell inside. Charge attended, 0 to 45 °C.",
            "Swollen, hot or dented: unplug, outdoors, collection point.",
            "Do not open with a cable in. Do not pierce or crush.",
        ),
        1.6,
    ),
    Label(
        70.0,
        15.0,
        (
            "Untested, not certified, no CE mark. Not medical.",
            "CERN-OHL-S-2.0. Source:",
            "____________________________",
        ),
        1.6,
    ),
)
"""Four keys, four sockets at the left, three words at the right, name, cell, source; without a cell one is left."""


def _drawn(label: Label, x: float, y: float) -> str:
    """A label with its upper left corner at x, y."""
    size, step = label.cap / CAP, 1.75 * label.cap
    top = y + label.high / 2 - step * (len(label.lines) - 1) / 2 + label.cap / 2
    middle = x + label.wide / 2
    words = "".join(
        f'<text x="{middle:.2f}" y="{top + k * step:.2f}" font-size="{size:.2f}" text-anchor="middle">{line}</text>'
        for k, line in enumerate(label.lines)
    )
    at = f'x="{x:.2f}" y="{y:.2f}" width="{label.wide}" height="{label.high}" rx="1.5"'
    return f'<rect {at} fill="white" stroke="#999" stroke-width="0.1"/>{words}'


def sheet(labels: tuple[Label, ...] = LABELS, wide: float = 140.0) -> str:
    """SVG: the labels in rows, not broader than so many mm."""
    x = y = GAP
    tallest = 0.0
    drawn: list[str] = []
    for label in labels:
        if x + label.wide + GAP > wide:
            x, y, tallest = GAP, y + tallest + GAP, 0.0
        drawn.append(_drawn(label, x, y))
        x, tallest = x + label.wide + GAP, max(tallest, label.high)
    high = y + tallest + GAP
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high:.1f}mm"'
        f' viewBox="0 0 {wide} {high:.1f}" font-family="sans-serif">'
        f"<title>Labels: print at 100 per cent</title>{''.join(drawn)}</svg>\n"
    )
