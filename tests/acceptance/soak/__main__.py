"""A day at the box, faster than life: python -m acceptance.soak --out DIR; see RESULTS.md."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from pathlib import Path

from acceptance.soak.leaks import LEAKS
from acceptance.soak.running import Soak
from acceptance.soak.telling import drawn, happened, is_whole, told


def main() -> int:
    """Run, and say whether all stayed flat."""
    words = argparse.ArgumentParser(prog="python -m acceptance.soak", description=__doc__)
    words.add_argument("--out", type=Path, required=True, help="a new folder")
    words.add_argument("--hours", type=float, default=24.0, help="of simulated time (24)")
    words.add_argument("--leak", choices=sorted(LEAKS), default="none", help="what is left behind on purpose")
    words.add_argument("--judge", action="store_true", help="run nothing: say again what became of the run in --out")
    given = words.parse_args()
    if given.judge:
        return said(given.out)
    temporary = given.out.resolve() / "tmp"
    temporary.mkdir(parents=True)
    os.environ["TMPDIR"] = tempfile.tempdir = str(temporary)
    os.environ["XDG_CONFIG_HOME"] = os.environ["XDG_DATA_HOME"] = str(given.out.resolve() / "home")
    Soak(given.out.resolve(), given.hours, given.leak).run()
    return said(given.out)


def said(out: Path) -> int:
    """Write what became of a run beside its samples, and print it; 0 where it came to its end and all stayed flat."""
    table, is_flat = told(out)
    whole = is_whole(out)
    text = (
        f"{happened(out)}\n{table}\nVerdict: {'flat' if is_flat else 'NOT flat'}{'' if whole else ', NOT whole'}.\n"
    )
    (out / "verdict.md").write_text(text, encoding="utf-8")
    drawn(out, out / "soak.png")
    sys.stdout.write(text)
    return 0 if is_flat and whole else 1


if __name__ == "__main__":
    sys.exit(main())
