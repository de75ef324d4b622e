"""Results as lines for a person and as JSON for a program.

One JSON object a line, each with `event`:

- ``ask``: what the maker is to do now; `head`, `says`.
- ``check``: a check has ended; `check` its name, `result` (ok, failed, not there, skipped), `says` the sentence,
  `figures` an object whose names end with the unit (`_ms`, `_dbfs`, `_ppm`, ...). Figures may be added later.
- ``summary``: the last line; `ok`, `failed`, `not there`, `skipped`, each the list of names.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from airladder.selftest.result import Result, Verdict


def line(name: str, result: Result) -> str:
    """A result on one line."""
    figures = ", ".join(f"{key} {value}" for key, value in _flat(result.figures))
    return f"{result.verdict.value:<9}  {name:<10}  {result.says}" + (f" [{figures}]" if figures else "")


def object_of(name: str, result: Result) -> str:
    """A result as a JSON object."""
    found = {"event": "check", "check": name, "result": result.verdict.value, "says": result.says}
    return json.dumps({**found, "figures": dict(result.figures)}, ensure_ascii=False)


def summary_line(results: Mapping[str, Result]) -> str:
    """All of them on one line, what failed by its name."""
    sorted_out = names_by_verdict(results)
    told = [
        f"{len(names)} {verdict.value}" + (f" ({', '.join(names)})" if verdict is not Verdict.OK else "")
        for verdict, names in sorted_out.items()
        if names
    ]
    return f"{len(results)} checks: {', '.join(told)}."


def summary_object(results: Mapping[str, Result]) -> str:
    """All of them as a JSON object."""
    return json.dumps(
        {"event": "summary"} | {verdict.value: names for verdict, names in names_by_verdict(results).items()}
    )


def names_by_verdict(results: Mapping[str, Result]) -> dict[Verdict, list[str]]:
    """The names of the checks that ended so, for every verdict."""
    return {verdict: [name for name, result in results.items() if result.verdict is verdict] for verdict in Verdict}


def _flat(figures: Mapping[str, Any], prefix: str = "") -> Iterator[tuple[str, str]]:
    for key, value in figures.items():
        if isinstance(value, Mapping):
            yield from _flat(value, f"{prefix}{key}.")
        elif isinstance(value, list | tuple):
            yield f"{prefix}{key}", " ".join(str(each) for each in value) or "none"
        else:
            yield f"{prefix}{key}", f"{value:.6g}" if isinstance(value, float) else str(value)
