"""The report: the log as one page that a player reads at home or with the teacher.

One HTML file that needs nothing else: its style, its scripts and its figures stand in it, and its policy lets nothing
in from elsewhere. The plots are drawn in the reader's browser, so that they cost the box nothing; without scripts the
tables still stand. What the demo invented stands apart and says so.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from pathlib import Path
from string import Template

from airladder.journal.aside import put_in_place
from airladder.journal.log import Reader
from airladder.report.figures import figures
from airladder.report.form import Figures
from airladder.report.marks import marks, shipped
from airladder.report.sections import demo, practice, summary

_LIBRARIES = ("d3.min.js", "plot.umd.min.js")
_SCRIPTS = (
    *("read.js", "words.js", "choice.js", "drawing.js", "series.js", "days.js", "ladders.js", "growth.js"),
    *("overtime.js", "compared.js", "coach.js", "main.js"),
)
_DRAWN = (
    *("totals", "days", "months", "quarters", "calendar"),
    *("practised", "rungs", "starts", "compared", "fundamentals"),
)


def report(log: Reader, path: Path, cache: Path | None) -> None:
    """Write the report of all that `log` holds to `path`.

    Parameters
    ----------
    cache : where the figures of other days are remembered, as `figures` has it; None for nowhere

    Raises
    ------
    LogFault : when it cannot be written; what lay at `path` before is then as it was.
    """
    with put_in_place(path, log.path) as out:
        out.write(page(log, cache))


def page(log: Reader, cache: Path | None) -> str:
    """The report as the text of an HTML file: the same log gives the same text."""
    made = figures(log, cache)
    return written(made, practice(made, log) + demo(made, log))


def written(made: Figures, body: str) -> str:
    """The page round the sections in `body`, which draws its plots from `made`."""
    style = shipped("report.css") + shipped("plots.css")
    scripts = [*_libraries(), _own_script()] if made["practice"]["totals"]["sessions"] else []
    return Template(shipped("report.html")).substitute(
        policy=_policy(style, scripts),
        style=style,
        marks=marks(),
        summary=summary(made),
        body=body,
        figures=f'<script type="application/json" id="figures">{_as_json(made)}</script>\n' if scripts else "",
        scripts="".join(f"<script>{script}</script>\n" for script in scripts),
        **_versions(),
    )


def _as_json(made: Figures) -> str:
    """What the script draws, as JSON in which no text can end the element that holds it."""
    drawn = {name: part for name, part in made["practice"].items() if name in _DRAWN}
    used = {"tubes": made["tubes"], "practice": drawn, "ladder": made["ladder"], "coach": made["coach"]}
    text = json.dumps(used, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
    return text.replace("<", "\\u003c")


def _policy(style: str, scripts: Sequence[str]) -> str:
    """Nothing at all, but for these very texts (CSP Level 3, hash sources)."""
    allowed = " ".join(_hash(script) for script in scripts) or "'none'"
    return f"default-src 'none'; style-src {_hash(style)}; script-src {allowed}; base-uri 'none'; form-action 'none'"


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


@cache
def _libraries() -> tuple[str, ...]:
    folder = files("airladder.report") / "vendor"
    return tuple((folder / name).read_text(encoding="utf-8") for name in _LIBRARIES)


def _own_script() -> str:
    joined = "".join(f"\n{shipped(name)}" for name in _SCRIPTS)
    return f'(() => {{\n"use strict";{joined}}})();\n'


def _versions() -> dict[str, str]:
    """As the libraries say it in their first lines."""
    return {
        name: found[1]
        for name, text in zip(("d3", "plot"), _libraries(), strict=True)
        if (found := re.match(r"// \S+ v(\S+)", text))
    }
