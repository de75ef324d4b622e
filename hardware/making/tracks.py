"""The tracks of the board as a table, tracks.csv: written by making.route, laid by making.board."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from making.circuit import HARDWARE
from making.layout import Point

TABLE = HARDWARE / "tracks.csv"
_COLUMNS = ("layer", "width", "x1", "y1", "x2", "y2", "net")
VIA = "via"
# Of a via: its copper and its hole, millimetres.
VIA_SIZE, VIA_HOLE = 0.6, 0.3


@dataclass(frozen=True, order=True)
class Track:
    """A straight piece of copper, or a via.

    Parameters
    ----------
    net : the net that it is on
    layer : "F.Cu", "B.Cu" or "via"; a via begins where it ends
    width : of the copper, millimetres
    a, b : its ends, millimetres from the left upper corner of the board, seen from the front
    """

    net: str
    layer: str
    width: float
    a: Point
    b: Point

    @property
    def length(self) -> float:
        """Millimetres from end to end."""
        return math.dist(self.a, self.b)


def load_tracks(path: Path = TABLE) -> list[Track]:
    """Read the table; no tracks when there is none yet."""
    if not path.exists():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return [_track(row) for row in csv.DictReader(file)]


def save_tracks(tracks: Iterable[Track], path: Path = TABLE) -> None:
    """Write the table, sorted."""
    with path.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(_COLUMNS)
        for one in sorted(tracks):
            out.writerow([one.layer, f"{one.width:g}", *(f"{x:g}" for x in (*one.a, *one.b)), one.net])


def _track(row: dict[str, str]) -> Track:
    x1, y1, x2, y2 = (float(row[key]) for key in _COLUMNS[2:6])
    return Track(row["net"], row["layer"], float(row["width"]), (x1, y1), (x2, y2))
