"""KiCad's own checks, as findings: the electrical rules of a drawing, and the design rules of a board."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from making import kicad

_OF_BOARD = ("violations", "unconnected_items", "schematic_parity")


@dataclass(frozen=True)
class Finding:
    """One finding.

    Parameters
    ----------
    severity : "error" or "warning"
    kind : KiCad's name for the rule, like `pin_not_connected` or `clearance`
    text : what KiCad says of it
    items : what it is about, like "Symbol R1 Pin 1 [Passive, Line]" or "Via [GND] on F.Cu - B.Cu"
    sheet : the sheet's path, like "/Computer/"; empty for a board
    """

    severity: str
    kind: str
    text: str
    items: tuple[str, ...]
    sheet: str = ""


def erc(schematic: Path) -> list[Finding]:
    """All that the check of a drawing finds, of every severity.

    Raises
    ------
    KicadFault
        KiCad is missing, or the call of it failed.
    """
    told = _told(("sch", "erc", schematic))
    return [one for sheet in told["sheets"] for one in _findings(sheet["violations"], str(sheet["path"]))]


def drc(board: Path) -> list[Finding]:
    """All that the check of a board finds, of every severity; the project and the schematic lie beside the board.

    Raises
    ------
    KicadFault
        KiCad is missing, or the call of it failed.
    """
    told = _told(("pcb", "drc", "--schematic-parity", board))
    return [one for name in _OF_BOARD for one in _findings(told[name])]


def _told(words: tuple[str | Path, ...]) -> dict[str, Any]:
    with tempfile.TemporaryDirectory() as folder:
        into = Path(folder) / "told.json"
        kicad.run((*words[:-1], "--severity-all", "--format", "json", "-o", into, words[-1]))
        told: dict[str, Any] = json.loads(into.read_text(encoding="utf-8"))
    return told


def _findings(told: Iterable[Mapping[str, Any]], sheet: str = "") -> Iterator[Finding]:
    for one in told:
        items = tuple(str(item["description"]) for item in one["items"])
        yield Finding(str(one["severity"]), str(one["type"]), str(one["description"]), items, sheet)
