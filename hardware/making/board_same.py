"""The same board gives the same bytes: KiCad gives each thing a random identity, and sorts by it."""

from __future__ import annotations

from pathlib import Path

from making.sexpr import Node, Quoted, read, write
from making.sheets import identity

# These stay where they are; all others are sorted by what they say.
_KEPT = ("version", "generator", "generator_version", "general", "paper", "title_block", "layers", "setup", "net")


def settle(path: Path) -> None:
    """Sort what a board's or a footprint's file has, and give each part of it an identity by its place."""
    tree = _sorted(read(path.read_text(encoding="utf-8")))
    _count(tree, [0])
    path.write_text(write(tree) + "\n", encoding="utf-8")


def _sorted(tree: list[Node], depth: int = 0) -> list[Node]:
    """A copy without order by identity: only the file and its footprints keep such lists."""
    head = [one for one in tree if not isinstance(one, list) or one[0] in _KEPT]
    rest = [one for one in tree if isinstance(one, list) and one[0] not in _KEPT]
    if depth == 0:
        rest = [_sorted(one, 1) if one[0] == "footprint" else one for one in rest]
    return head + sorted(rest, key=lambda one: (str(one[0]) if isinstance(one, list) else "", _bare(one)))


def _bare(node: Node) -> str:
    if not isinstance(node, list):
        return str(node)
    return " ".join(_bare(one) for one in node if not (isinstance(one, list) and one[:1] == ["uuid"]))


def _count(node: list[Node], counted: list[int]) -> None:
    for one in node:
        if isinstance(one, list):
            if one[:1] == ["uuid"]:
                counted[0] += 1
                one[1] = Quoted(identity("board", counted[0]))
            else:
                _count(one, counted)
