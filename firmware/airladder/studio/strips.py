"""The pictures of the group's page, as SVG that needs no script: bars of middle halves, rungs of a ladder, months.

Each has a title and its values in words for those who do not see it; colours are named by the page's style.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape

from airladder.studio.middles import Middle

WIDTH = 640
_LEFT, _RIGHT, _TOP, _ROW, _APART = 74.0, 620.0, 8.0, 34.0, 9.0
_YEAR_APART = 40.0


@dataclass(frozen=True)
class Scale:
    """The axis under the bars: from, to, where its marks stand, and how they are said."""

    low: float
    high: float
    ticks: Sequence[float]
    said: Callable[[float], str]

    def x(self, value: float) -> float:
        """Where a value stands; what lies beyond stands at the end."""
        share = (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)
        return _LEFT + share * (_RIGHT - _LEFT)


def strips(name: str, title: str, rows: Sequence[tuple[str, Sequence[Middle | None]]], scale: Scale) -> str:
    """A row a partial, the high ones above; in it a bar and a dot for each of two kinds.

    Parameters
    ----------
    name : unique in the page
    rows : (label, the middle of each kind), the lowest partial first; the second kind is drawn hollow and dashed
    """
    foot = _TOP + _ROW * len(rows)
    drawn = "".join(_row(number, label, found, scale) for number, (label, found) in enumerate(reversed(rows)))
    axis = "".join(
        f'<path class="rung unasked" d="M{scale.x(tick):.1f} {_TOP}V{foot:g}"/>'
        f'<text class="quiet" x="{scale.x(tick):.1f}" y="{foot + 18:g}" text-anchor="middle">'
        f"{escape(scale.said(tick))}</text>"
        for tick in scale.ticks
    )
    told = "; ".join(
        f"{label}: " + ", ".join(scale.said(one.middle) if one else "–" for one in found) for label, found in rows
    )
    return _picture(name, title, f"Medians. {told}.", foot + 28, axis + drawn)


def _row(number: int, label: str, found: Sequence[Middle | None], scale: Scale) -> str:
    y = _TOP + _ROW * (number + 0.5)
    marks = [f'<text x="{_LEFT - 12:g}" y="{y + 4:.1f}" text-anchor="end">{escape(label)}</text>']
    for kind, one in enumerate(found):
        if one is None:
            continue
        at = y + _APART * (kind - 0.5)
        low, middle, high = (scale.x(value) for value in one[:3])
        colour, dash, dot = (("reached", "", "solid"), ("missed", ' stroke-dasharray="4 3"', "hollow line"))[kind]
        marks.append(
            f'<g class="{colour}"><path class="line half" d="M{low:.1f} {at:.1f}H{max(high, low + 0.5):.1f}"{dash}/>'
            f'<circle class="{dot}" cx="{middle:.1f}" cy="{at:.1f}" r="4"/></g>'
        )
    return "".join(marks)


def rungs(name: str, title: str, rows: Sequence[tuple[str, int, int]]) -> str:
    """A ladder whose rungs are as long as the share of the players who know them, as (label, players who do, of)."""
    left, right, step = 40.0, 250.0, 24.0
    drawn = []
    for number, (label, know, players) in enumerate(reversed(rows)):
        y = _TOP + step * (number + 0.5)
        drawn.append(
            f'<text x="{left - 12:g}" y="{y + 4:.1f}" text-anchor="end">{escape(label)}</text>'
            f'<path class="rung unasked" d="M{left:g} {y:.1f}H{right:g}"/>'
            f'<path class="reached line share" d="M{left:g} {y:.1f}H{left + (right - left) * know / players:.1f}"/>'
            f'<text class="quiet" x="{right + 10:g}" y="{y + 4:.1f}">{know} of {players}</text>'
        )
    told = "; ".join(f"partial {label}: {know} of {players}" for label, know, players in rows)
    return _picture(name, title, f"{told}.", _TOP * 2 + step * len(rows), "".join(drawn), width=320)


def months(name: str, title: str, rows: Sequence[tuple[str, Middle]]) -> str:
    """Days of practice month by month: a stroke for the middle half of the players, a dot for the median."""
    height, most = 150.0, 31.0
    foot = _TOP + height
    step = (_RIGHT - _LEFT) / max(12, len(rows))

    def y(days: float) -> float:
        return foot - height * days / most

    drawn = [
        f'<path class="rung unasked" d="M{_LEFT:g} {y(days):.1f}H{_RIGHT:g}"/>'
        f'<text class="quiet" x="{_LEFT - 12:g}" y="{y(days) + 4:.1f}" text-anchor="end">{days}</text>'
        for days in (0, 10, 20, 30)
    ]
    year, said_at = "", 0.0
    for number, (month, found) in enumerate(rows):
        x = _LEFT + step * (number + 0.5)
        drawn.append(
            f'<g class="reached"><path class="line half" d="M{x:.1f} {y(found.low):.1f}V{y(found.high) - 0.5:.1f}" '
            f'stroke-width="{min(6.0, step * 0.7):.1f}"/>'
            f'<circle class="solid" cx="{x:.1f}" cy="{y(found.middle):.1f}" r="{min(3.5, step * 0.45):.1f}"/></g>'
        )
        if month[:4] != year and x - said_at >= _YEAR_APART:
            year, said_at = month[:4], x
            drawn.append(f'<text class="quiet" x="{x:.1f}" y="{foot + 18:g}" text-anchor="middle">{year}</text>')
    newest = "; ".join(f"{month}: {found.middle:g}" for month, found in rows[-12:])
    return _picture(name, title, f"Median days of the newest months. {newest}.", foot + 28, "".join(drawn))


def _picture(name: str, title: str, told: str, height: float, inside: str, width: int = WIDTH) -> str:
    return (
        f'<svg class="ladder strip" viewBox="0 0 {width} {height:g}" style="max-width:{width}px" role="img" '
        f'aria-labelledby="{name}-title {name}-desc"><title id="{name}-title">{escape(title)}</title>'
        f'<desc id="{name}-desc">{escape(told)}</desc>{inside}</svg>'
    )
