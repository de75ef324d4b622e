"""Where the maker is spoken to: the terminal and, where there is one, the screen of the box."""

from __future__ import annotations

import json
from typing import TextIO

from airladder.devices.clock import Clock
from airladder.devices.display import Display
from airladder.panel.canvas import Canvas
from airladder.selftest import pictures
from airladder.selftest.result import Check, Result, Verdict
from airladder.selftest.telling import line, object_of, summary_line, summary_object

SHOWN_S = 1.5
"""How long a result stands on the screen of the box."""


class Stage:
    """Says what is to be done and what was found.

    Parameters
    ----------
    out : the terminal, or a file
    as_json : one object a line, as in `telling`
    display : the screen of the box, if there is one
    clock : the time
    """

    def __init__(self, out: TextIO, clock: Clock, *, as_json: bool = False, display: Display | None = None) -> None:
        self._out, self._clock, self._as_json, self._display = out, clock, as_json, display
        self._results: dict[str, Result] = {}

    def ask(self, head: str, text: str) -> None:
        """What the maker is to do now.

        Parameters
        ----------
        head : two words or so
        text : a sentence
        """
        if self._as_json:
            self._write(json.dumps({"event": "ask", "head": head, "says": text}, ensure_ascii=False))
        else:
            self._write(f"    {head}: {text}")
        self.show(pictures.asking(head, text))

    def show(self, canvas: Canvas) -> None:
        """A picture on the screen of the box."""
        if self._display is not None:
            self._display.show(canvas.image)

    def begin(self, check: Check) -> None:
        """A check begins."""
        self.show(pictures.asking(check.name, check.about))

    def end(self, check: Check, result: Result) -> None:
        """A check has ended."""
        self._results[check.name] = result
        self._write(object_of(check.name, result) if self._as_json else line(check.name, result))
        self._hold(pictures.found(check.name, result))

    def close(self) -> int:
        """The summary; the exit code: 1 when something failed."""
        self._write((summary_object if self._as_json else summary_line)(self._results))
        self._hold(pictures.summary(self._results))
        return int(any(result.verdict is Verdict.FAILED for result in self._results.values()))

    def _hold(self, canvas: Canvas) -> None:
        if self._display is not None:
            self.show(canvas)
            self._clock.sleep(SHOWN_S)

    def _write(self, text: str) -> None:
        self._out.write(f"{text}\n")
        self._out.flush()  # a maker waits for it
