"""The verdict as Markdown, and the picture of what was sampled."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from math import inf
from pathlib import Path
from typing import Any

from matplotlib.figure import Figure

from acceptance.soak.verdict import BOUNDS, Found, found

_DRAWN = (
    ("rss", "memory, MiB", 1 / 1024),
    ("anon", "memory that is no file's, MiB", 1 / 1024),
    ("held", "given out by malloc, MiB", 1 / 1024),
    ("objects", "Python objects, thousands", 1 / 1000),
    ("files", "open files", 1.0),
    ("threads", "threads", 1.0),
    ("inbox", "letters in the inbox", 1.0),
    ("wal", "write-ahead log, MB", 1e-6),
    ("log", "log, MB (grows, as it should)", 1e-6),
)


def samples_in(folder: Path) -> list[dict[str, float]]:
    """All samples of a run."""
    return [json.loads(line) for line in (folder / "samples.jsonl").read_text("utf-8").splitlines()]


def told(folder: Path) -> tuple[str, bool]:
    """A table of everything that must stay flat, and whether all did."""
    samples = samples_in(folder)
    every = found(samples)
    lines = [
        "| what | growth a day (95 % interval) | may be | second half: least to most | verdict |",
        "| --- | --- | --- | --- | --- |",
        *(_line(one) for one in every),
    ]
    return "\n".join(lines) + "\n", all(one.is_flat is not False for one in every)


def happened(folder: Path) -> str:
    """What the run was, in a sentence each."""
    end: Mapping[str, Any] = json.loads((folder / "end.json").read_text("utf-8"))
    mishaps = "; ".join(f"{name}: {count}" for name, count in end["mishaps"].items())
    speed = 3600.0 * end["hours"] / end["real_s"]
    return (
        f"{end['hours']:g} h of sound ({end['hops']:,} hops) in {end['real_s'] / 60:.0f} min, {speed:.0f} times"
        f" as fast as life: {end['practices']} practices, {end['notes']} notes, {end['presses']} presses,"
        f" {end['boxes']:,} boxes, {end['bytes to the screen']:,} bytes to the screen. Mishaps: {mishaps}."
        f" In the log: {len(end['tries in the log'])} sessions, {sum(end['tries in the log'])} tries."
        f" Routines taken in from the drive: {end['routines taken in']}."
        f" Faults at the end: {', '.join(end['faults']) or 'none'}.\n"
    )


def is_whole(folder: Path) -> bool:
    """Whether the run came to its end, and its practices and what was brought came through."""
    end: Mapping[str, Any] = json.loads((folder / "end.json").read_text("utf-8"))
    brought = end["mishaps"].get("a routine is put on the drive", 0)
    came_through = len(end["tries in the log"]) == end["practices"] and end["routines taken in"] == brought
    return bool(end["reached"] >= end["hours"] and came_through and not end["faults"])


def drawn(folder: Path, picture: Path) -> None:
    """Everything against the hours, as one picture."""
    samples: Sequence[Mapping[str, float]] = samples_in(folder)
    figure = Figure(figsize=(10, 12), layout="constrained")
    hours = [sample["hours"] for sample in samples]
    for place, (name, label, scale) in zip(figure.subplots(len(_DRAWN), 1, sharex=True), _DRAWN, strict=True):
        place.plot(hours, [scale * sample[name] for sample in samples], ".-", markersize=3, linewidth=0.8)
        place.axvspan(0.0, hours[len(hours) // 2], color="0.94")
        place.set_title(label, loc="left", fontsize=9)
        place.grid(linewidth=0.3)
        place.ticklabel_format(useOffset=False)
    place.set_xlabel("hours of sound (grey: not in the verdict)")
    figure.savefig(picture, dpi=90)


def _line(one: Found) -> str:
    bound, grown = BOUNDS[one.name], one.slope
    what = f"{one.name} {bound.unit}".strip()
    slope = f"{grown.middle:+.3g} ({grown.low:+.3g} to {grown.high:+.3g})"
    may = f"{bound.a_day:g} a day" if bound.a_day < inf else f"at most {bound.most:g}"
    verdict = {True: "flat", False: "**NOT flat**", None: "too short to tell"}[one.is_flat]
    return f"| {what} | {slope} | {may}: {bound.why} | {one.least:g} to {one.most:g} | {verdict} |"
