"""A simulated year of many invented players: what the coach made of them, as a table and as plots.

    cd tests && ../.venv/bin/python -m learners.year [--steady 100] [--stuck 30] [--others 16] [--keep]

With --keep the table and the plots go into tests/learners. A year of one player takes some eight seconds of a core.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from statistics import fmean, median

from airladder.practice.coach.statistics import wilson
from learners.curves import draw
from learners.living import Life, lived, most_asked
from learners.players import ALL, STEADY, STUCK, Character

HERE = Path(__file__).parent
_Z = 1.96
_HEADS = (
    *("player", "lives", "top rung asked after 30 / 90 / 180 / 365 days (median)", "plateau called"),
    *("detours: helped / not / cannot tell", "right, of all tries", "tries a day"),
    *("most tries at a rung a day", "longest day, min"),
)


def run(counts: Mapping[str, int], days: int = 365) -> dict[str, list[Life]]:
    """So many lives of each kind, on all cores."""
    jobs = [(character, seed, days) for character in ALL for seed in range(counts[character.name])]
    with ProcessPoolExecutor() as pool:
        lives = list(pool.map(_life, jobs, chunksize=2))
    found: dict[str, list[Life]] = {character.name: [] for character in ALL}
    for (character, _, _), life in zip(jobs, lives, strict=True):
        found[character.name].append(life)
    return found


def _life(job: tuple[Character, int, int]) -> Life:
    return lived(*job)


def told(lives: Mapping[str, Sequence[Life]]) -> Iterator[str]:
    """The table, in Markdown."""
    yield "| " + " | ".join(_HEADS) + " |"
    yield "|---" * len(_HEADS) + "|"
    for name, some in lives.items():
        yield _row(name, some)
    yield ""
    steady, stuck = lives[STEADY.name], lives[STUCK.name]
    called = sum(bool(life.course.plateaus) for life in steady)
    low, high = wilson(called, len(steady), _Z)
    yield f"Steady players called stuck at least once: {called} of {len(steady)} (95 %: {low:.1%} to {high:.1%})."
    first = [life.dates[life.course.plateaus[0].day] for life in stuck if life.course.plateaus]
    low, high = wilson(len(first), len(stuck), _Z)
    yield f"Players stuck at partial 4 that were called: {len(first)} of {len(stuck)} (95 %: {low:.1%} to {high:.1%})"
    if first:
        yield f"first on day {median(first):.0f} of the year (median; {min(first)} to {max(first)})."


def _row(name: str, lives: Sequence[Life]) -> str:
    tops = " / ".join(f"{median(_reach_on(life, day) for life in lives):g}" for day in (30, 90, 180, 364))
    verdicts = [detour.helped for life in lives for detour in life.course.detours]
    sums = [_right_and_tries(life) for life in lives]
    cells = (
        name,
        str(len(lives)),
        tops,
        f"{sum(bool(life.course.plateaus) for life in lives)} of {len(lives)}",
        f"{verdicts.count(True)} / {verdicts.count(False)} / {verdicts.count(None)}",
        f"{fmean(right / tries for right, tries in sums):.0%}",
        f"{fmean(tries / len(life.days) for (_, tries), life in zip(sums, lives, strict=True)):.0f}",
        str(max(most_asked(plan) for life in lives for plan in life.plans)),
        f"{max(day.minutes for life in lives for day in life.days):.1f}",
    )
    return "| " + " | ".join(cells) + " |"


def _right_and_tries(life: Life) -> tuple[int, int]:
    tallies = [tally for day in life.days for tally in day.tallies]
    return sum(tally.right for tally in tallies), sum(tally.tries for tally in tallies)


def _reach_on(life: Life, day: int) -> int:
    """The reach on the last day of practice up to a day of the year."""
    return next(
        (reach for date, reach in reversed(list(zip(life.dates, life.reaches, strict=True))) if date <= day), 3
    )


def main() -> int:
    """Run, print, and keep if asked to."""
    parser = argparse.ArgumentParser(description="A simulated year of many invented players.")
    parser.add_argument("--steady", type=int, default=100)
    parser.add_argument("--stuck", type=int, default=30)
    parser.add_argument("--others", type=int, default=16)
    parser.add_argument("--keep", action="store_true", help="write the table and the plots into tests/learners")
    words = parser.parse_args()
    counts = {character.name: words.others for character in ALL} | {
        STEADY.name: words.steady,
        STUCK.name: words.stuck,
    }
    lives = run(counts)
    lines = list(told(lives))
    sys.stdout.write("\n".join(lines) + "\n")
    if words.keep:
        head = "# A simulated year\n\nInvented players (`players.py`); no claim about real ones rests on them.\n\n"
        plots = "\n\n![reach](plots/reach.png)\n![shares](plots/shares.png)\n"
        (HERE / "RESULTS.md").write_text(head + "\n".join(lines) + plots, encoding="utf-8")
        draw(lives, HERE / "plots")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
