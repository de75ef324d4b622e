"""KiCad's design rule check of a board: copper, holes, print, and whether it is the schematic's."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from making import kicad

_LISTS = ("violations", "unconnected_items", "schematic_parity")


@dataclass(frozen=True)
class Finding:
    """One finding.

    Parameters
    ----------
    severity : "error" or "warning"
    kind : KiCad's name for the rule, like `clearance`
    text : what KiCad says of it
    items : what it is about, like "Via [GND] on F.Cu - B.Cu"
    """

    severity: str
    kind: str
    text: str
    items: tuple[str, ...]


def drc(board: Path) -> list[Finding]:
    """All that the check finds, of every severity; the project and the schematic lie beside the board.

    Raises
    ------
    KicadFault
        KiCad is missing, or the call of it failed.
    """
    with tempfile.TemporaryDirectory() as folder:
        into = Path(folder) / "drc.json"
        words = ("--schematic-parity", "--severity-all", "--format", "json", "-o", into, board)
        kicad.run(("pcb", "drc", *words))
        return list(_findings(into))


def _findings(path: Path) -> Iterator[Finding]:
    told = json.loads(path.read_text(encoding="utf-8"))
    for name in _LISTS:
        for one in told[name]:
            items = tuple(str(item["description"]) for item in one["items"])
            yield Finding(str(one["severity"]), str(one["type"]), str(one["description"]), items)
