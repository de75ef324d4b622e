"""Which sentences the rules have said: a check whose sentence no fault brings out may be one that cannot fail."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterable
from pathlib import Path
from types import FrameType
from typing import Any

Line = tuple[str, int]


class Sentences:
    """The sentences of some files, each a `yield`, and the lines that were gone through while someone listened."""

    def __init__(self, files: Iterable[Path]) -> None:
        self._files = {str(path): path.read_text("utf-8") for path in files}
        self._gone: set[Line] = set()

    def _line(self, frame: FrameType, event: str, _: object) -> Any:
        if event == "line":
            self._gone.add((frame.f_code.co_filename, frame.f_lineno))
        return self._line

    def _call(self, frame: FrameType, event: str, _: object) -> Any:
        return self._line if event == "call" and frame.f_code.co_filename in self._files else None

    def heard(self, rule: Iterable[str]) -> list[str]:
        """All that a rule says, while someone listens."""
        before = sys.gettrace()
        sys.settrace(self._call)
        try:
            return list(rule)
        finally:
            sys.settrace(before)

    def unsaid(self) -> list[str]:
        """The sentences that nobody has said, with file and line."""
        found: list[str] = []
        for name, text in self._files.items():
            for node in ast.walk(ast.parse(text)):
                if isinstance(node, ast.Yield) and not any(
                    (name, line) in self._gone for line in range(node.lineno, (node.end_lineno or node.lineno) + 1)
                ):
                    found.append(f"{Path(name).name}:{node.lineno} {ast.get_source_segment(text, node)}")
        return found
