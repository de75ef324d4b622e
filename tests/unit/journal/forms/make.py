"""Writes form-N.sql, a small log of form N with invented rows: `python tests/unit/journal/forms/make.py N`.

Run once for each form, when it was the newest; what it wrote is kept as it is (README.md). The firmware and the
sqlite3 command have to be found.
"""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

from airladder.journal.steps import APPLICATION_ID, migrate, shipped

SESSIONS = [
    (1, "2026-05-04T18:03:12+02:00", "microphone clip-on", 0, "alto", "Bb3", 440.0, "tempered", "partials", "0.1.0"),
    (
        3,
        "2026-05-05T07:00:00.250000-03:30",
        "recording tief ♭.wav",
        0,
        "tenor",
        "C4",
        442.5,
        "measured",
        "rungs",
        "0.1.1",
    ),
    (4, "2026-05-06T00:00:00+00:00", "demo", 1, "baritone", "B3", 415.0, "pure", "it's \r\n two lines", "0.2.0"),
]
SEQUENCE = 7
"""Numbers up to here were given: those of sessions 5 to 7, which are no more, come never again."""

WHOLE = {
    "t": 12.5,
    "wanted": 3,
    "outcome": "cracked",
    "tone_start": 10.5,
    "tone_end": 12.75,
    "partial": 4,
    "hz": 415.1,
    "cents": -7.25,
    "spread_cents": 2.5,
    "attack_t": 10.5,
    "attack_known_at": 10.56,
    "attack_kind": "air",
    "attack_rise_ms": 34.5,
    "attack_confidence": 0.8,
    "speak_ms": 120.5,
    "path": "[[2, 0.25], [null, 0.125]]",
    "split": 0.0625,
    "level_dbfs": -21.5,
}
SILENT = {"t": 1e-3, "wanted": 1, "outcome": "nothing"}
SPLIT = {
    "t": 1e6 / 3,
    "wanted": 16,
    "outcome": "split",
    "tone_start": 0.0,
    "tone_end": 1 / 3,
    "path": "[]",
    "split": 1.0,
    "level_dbfs": -0.0,
}
OTHER = WHOLE | {"outcome": "other", "attack_kind": "unsure", "path": "[" + "[2, 0.0625], " * 400 + "[3, 0.5]]"}
SPOKE = WHOLE | {"outcome": "spoke", "attack_kind": "tongued", "wanted": 1, "partial": 1}
EASE = {"push_db": -33.25, "unsteady_db": 0.75, "clipped": 0.125}
ASKED = {
    "asked_exercise": "compare",
    "asked_fingering": "F5",
    "task": "usual",
    "partials": "[1]",
    "start_wanted": "air",
    "hold_s": 8.5,
    "swell": 1,
    "cold": 0,
    "beside_fingering": "Bb3",
    "beside_partial": 3,
    "interval": "twelfth",
    "complete": 1,
    "difference_cents": -3.5,
    "guess": "in tune",
    "sung_hz": 207.5,
    "sung_cents": -14.25,
    "sung_spread_cents": 5.5,
    "swell_db": 6.25,
}
SLUR = {
    "asked_exercise": "slurs",
    "asked_fingering": "C4",
    "task": "slur",
    "partials": "[2, 3, 2]",
    "start_wanted": "tongued",
    "hold_s": 0.0,
    "swell": 0,
    "cold": 1,
    "complete": 0,
}
BOOTS = [(2, "invented-boot-two"), (5, "invented-boot-five")]
TOLD = [
    (1, 2, 60.5, "2026-05-04T18:04:00+02:00", "buttons"),
    (2, 5, 0.0, "2026-05-06T09:00:00+02:00", "computer"),
    (3, 5, 7.0, "2026-05-06T09:00:07+02:00", "buttons"),
    (4, 5, 9.0, "2026-05-06T09:00:09+02:00", "computer"),
]
MOMENTS = [(3, 5, 41.25, "carried"), (4, 2, 12.0, "known")]
PLANS = [(3, 1, "probe", "What stayed from other days."), (3, 2, "rungs", ""), (4, 1, "it's new", "because ♭")]
REMARKS = [(3, 1, "Partial 5 has not moved; a detour helps."), (3, 2, "")]


def tries(form: int) -> list[tuple[int, int, dict[str, object]]]:
    """(session, number, columns) of all tries, as a log of this form may hold them."""
    ease = EASE if form >= 2 else {}
    found = [(1, 1, WHOLE | ease), (1, 2, SILENT), (1, 4, SPLIT), (3, 1, OTHER | ease), (4, 1, SPOKE)]
    if form >= 3:
        found += [
            (3, 2, WHOLE | ease | ASKED),
            (3, 3, SILENT | SLUR),
            (3, 4, SPOKE | {"outcome": "restarted"} | SLUR),
        ]
        found += [(4, 2, SPOKE | ASKED | {"guess": "flat", "interval": "unison", "task": "play"})]
    return found


def make(form: int, path: Path) -> None:
    """A log of this form."""
    log = sqlite3.connect(path, isolation_level=None)
    migrate(log, shipped()[:form])
    names = "id, started, source, invented, horn, fingering, a4_hz, against, exercise, version"
    moments = {number: moment for number, *moment in MOMENTS} if form >= 4 else {}
    if form >= 4:
        log.executemany("INSERT INTO boot VALUES (?, ?)", BOOTS)
        log.executemany("INSERT INTO date_told VALUES (?, ?, ?, ?, ?)", TOLD)
        names += ", boot, boottime_s, trust"
    for session in SESSIONS:
        values = session + (tuple(moments.get(session[0], (None, None, None))) if form >= 4 else ())
        log.execute(f"INSERT INTO session ({names}) VALUES ({', '.join('?' * len(values))})", values)
    if form >= 4:
        log.executemany("INSERT INTO planned VALUES (?, ?, ?, ?)", PLANS)
        log.executemany("INSERT INTO remark VALUES (?, ?, ?)", REMARKS)
    for number_of, number, columns in tries(form):
        row: dict[str, object] = {"session": number_of, "number": number, **columns}
        places = ", ".join(f":{name}" for name in row)
        log.execute(f"INSERT INTO attempt ({', '.join(row)}) VALUES ({places})", row)
    log.execute("UPDATE sqlite_sequence SET seq = ? WHERE name = 'session'", (SEQUENCE,))
    log.close()


def main() -> None:
    """Write the dump of one form beside this file."""
    form = int(sys.argv[1])
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log.sqlite"
        make(form, path)
        dump = subprocess.run(["sqlite3", path, ".dump"], capture_output=True, text=True, check=True).stdout
    pragmas = f"PRAGMA application_id = {APPLICATION_ID};\nPRAGMA user_version = {form};\n"
    Path(__file__).with_name(f"form-{form}.sql").write_text(dump + pragmas, encoding="utf-8")


main()
