"""Presses from a file, so that a practice can be replayed.

Form
----
JSON Lines, UTF-8: one object a line, such as ``{"t": 3.2, "button": "up", "long": false}``. `t` is in seconds on
the clock of the sound and never goes back; the names of the buttons are those of `practice.presses.Button`.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from airladder.faults import BadInput, did_you_mean
from airladder.practice.presses import Button, Press

_KEYS = ("t", "button", "long")
_LATEST = 1e9  # no practice lasts 30 years; keeps infinity and its like out
_BUTTONS = [button.value for button in Button]


def read_presses(path: Path) -> tuple[Press, ...]:
    """All presses of a file, in order; none when it is empty.

    Raises
    ------
    BadInput : when it cannot be read, or lists all that is wrong in it, with line numbers, at once.
    """
    lines = _lines(path)
    faults = [f"line {n}: {fault}" for n, line in enumerate(lines, 1) for fault in _faults(line)]
    if not faults:
        presses = tuple(_press(json.loads(line)) for line in lines)
        faults = list(_going_back(presses))
        if not faults:
            return presses
    raise BadInput(f"The presses in {path} cannot be used: {'; '.join(faults)}")


def _lines(path: Path) -> list[str]:
    try:
        text = path.read_bytes().decode("utf-8")
    except OSError as refused:
        raise BadInput(f"The presses in {path} cannot be read ({refused.strerror}); name another file.") from refused
    except UnicodeDecodeError as bad:
        raise BadInput(f"The presses in {path} are not UTF-8 text (byte {bad.start}); JSON Lines is wanted.") from bad
    return text.removesuffix("\n").split("\n") if text else []


def _faults(line: str) -> Iterator[str]:
    """All that is wrong with one line by itself."""
    try:
        pairs = json.loads(line, object_pairs_hook=lambda pairs: pairs)
    except ValueError:
        yield f"{line.strip() or 'an empty line'} is not JSON"
        return
    if not (line.lstrip().startswith("{") and isinstance(pairs, list)):
        yield f"{line.strip()} is not an object in braces"
        return
    yield from _wrong_keys([key for key, _ in pairs])
    yield from _wrong_values(dict(pairs))


def _wrong_keys(keys: list[str]) -> Iterator[str]:
    for key in dict.fromkeys(keys):
        if key not in _KEYS:
            yield f"{key} is not known{did_you_mean(key, _KEYS).removesuffix('.')}"
        elif keys.count(key) > 1:
            yield f"{key} stands there {keys.count(key)} times"
    yield from (f"{key} is missing" for key in _KEYS if key not in keys)


def _wrong_values(given: dict[str, Any]) -> Iterator[str]:
    t, button, long = (given.get(key) for key in _KEYS)
    if "t" in given and not (isinstance(t, int | float) and type(t) is not bool and 0 <= t <= _LATEST):
        yield f"t is {json.dumps(t)}, not a number of seconds from 0 up"
    if "button" in given and button not in _BUTTONS:
        yield f"there is no button {json.dumps(button)}{did_you_mean(str(button), _BUTTONS).removesuffix('.')}"
    if "long" in given and type(long) is not bool:
        yield f"long is {json.dumps(long)}, not true or false"


def _press(given: dict[str, Any]) -> Press:
    return Press(Button(given["button"]), given["long"], float(given["t"]))


def _going_back(presses: tuple[Press, ...]) -> Iterator[str]:
    for number, (before, after) in enumerate(itertools.pairwise(presses), 2):
        if after.t < before.t:
            yield f"line {number}: t goes back from {before.t} to {after.t}"
