"""KiCad's files are lists in brackets: read one, write one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TypeAlias

Node: TypeAlias = "str | float | Quoted | list[Node]"
"""A bare word, a number, a quoted text or a list of these."""

_TOKEN = re.compile(r'\s*(?:([()])|"((?:[^"\\]|\\.)*)"|([^\s()"]+))')
# A list of no more than this many characters stays on one line.
_SHORT = 100


class Quoted(str):
    """A text that stands in quotes in the file."""

    __slots__ = ()


def read(text: str) -> list[Node]:
    """The one list that a file is."""
    stack: list[list[Node]] = [[]]
    for bracket, quoted, word in _TOKEN.findall(text):
        if bracket == "(":
            stack.append([])
        elif bracket == ")":
            done = stack.pop()
            stack[-1].append(done)
        elif word:
            stack[-1].append(word)
        else:
            stack[-1].append(Quoted(re.sub(r"\\(.)", lambda one: {"n": "\n"}.get(one[1], one[1]), quoted)))
    first = stack[0][0]
    if not isinstance(first, list):
        raise ValueError("the text is no list in brackets")
    return first


def write(node: Node, depth: int = 0) -> str:
    """A list as text, indented by tabs; the same list gives the same text."""
    if isinstance(node, Quoted):
        return '"' + node.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'
    if isinstance(node, float):
        return f"{round(node, 4) + 0.0:g}" if abs(node) < 1 else f"{round(node, 4):.10g}"
    if isinstance(node, str):
        return node
    if sum(isinstance(one, list) for one in node) < 3:
        flat = "(" + " ".join(write(one) for one in node) + ")"
        if len(flat) <= _SHORT:
            return flat
    lines = ["("]
    for one in node:
        if isinstance(one, list):
            lines.append("\n" + "\t" * (depth + 1) + write(one, depth + 1))
        else:
            lines.append(("" if lines == ["("] else " ") + write(one))
    return "".join(lines) + "\n" + "\t" * depth + ")"


def lists(node: list[Node], name: str) -> Iterator[list[Node]]:
    """Those lists directly inside a list that begin with a name."""
    for one in node:
        if isinstance(one, list) and one and one[0] == name:
            yield one


def numbers(node: list[Node]) -> list[float]:
    """The numbers that follow a list's name."""
    return [float(one) for one in node[1:] if not isinstance(one, list)]
