"""A studio of invented players, ten years each, written straight into Parquet: no try in it was ever played.

Every value is a hash of seed, player, day and try, so the same words make the same files. The columns are those of
`airladder merge` (a unit test holds them to it); figures are rounded to an eighth of a cent and the like, so that 730
million tries fit on a disk. Real ones are not rounded and take more room.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import duckdb

FIRST = "2016-05-02"

_HEAD = """
SELECT d AS day, d + 1 AS session, d + 1 AS place, DATE '{first}' + CAST(d AS INTEGER) AS date, true AS date_known,
    false AS invented, CASE {player} % 4 WHEN 0 THEN 'tenor' WHEN 1 THEN 'baritone' ELSE 'alto' END AS horn,
    ['Bb3', 'B3', 'C4', 'C#4', 'D4'][1 + CAST(d // 3 % 5 AS INTEGER)] AS fingering,
    440.0 AS a4_hz, 'tempered' AS against, d / {days}.0 AS progress
FROM range({days}) r(d)
"""
# Lots are slices of one hash, ten bits each, 0 to 1; three more of another.
_LOTS = """
SELECT h.*, n AS number, hash({seed}, {player}, day, n) AS a, hash(n, day, {player}, {seed}) AS b,
    (a & 1023) / 1024.0 AS l1, ((a >> 10) & 1023) / 1024.0 AS l2, ((a >> 20) & 1023) / 1024.0 AS l3,
    ((a >> 30) & 1023) / 1024.0 AS l4, ((a >> 40) & 1023) / 1024.0 AS l5, ((b >> 10) & 1023) / 1024.0 AS l6,
    {player} % 17 / 17.0 AS gift,
    1 + CAST(floor(l1 * least(8, 3 + 6 * progress)) AS BIGINT) AS wanted
FROM h, range(1, {tries} + 1) t(n)
"""
_FOUND = """
SELECT *, l2 < greatest(0.1, 1 - (wanted - 1) * 0.2 * (1.5 - progress) * (1.3 - gift)) AS right_one,
    CASE WHEN right_one THEN CASE WHEN l3 < 0.8 THEN 'spoke' ELSE 'cracked' END
         WHEN l3 < 0.4 THEN 'other' WHEN l3 < 0.7 THEN 'split' ELSE 'nothing' END AS outcome,
    CASE WHEN right_one THEN wanted WHEN l3 < 0.4 THEN greatest(1, wanted - 1) END AS partial,
    round(8 * ((l3 + l4 + l5 - 1.5) * (40 - 24 * progress) + (wanted % 3 - 1) * 4 + (gift - 0.5) * 10)) / 8.0 AS c,
    outcome <> 'nothing' AS sounded
FROM lots
"""
_TRIES = """
SELECT session, place, date, date_known, invented, horn, fingering, a4_hz, against, number,
    number * 4.0 + 2.0 AS t, wanted, outcome, CASE WHEN sounded THEN number * 4.0 END AS tone_start,
    CASE WHEN sounded THEN number * 4.0 + 1.75 END AS tone_end, partial,
    CASE WHEN partial IS NOT NULL THEN round(8 * partial * 138.59 * pow(2, c / 1200)) / 8 END AS hz,
    CASE WHEN partial IS NOT NULL THEN c END AS cents,
    CASE WHEN partial IS NOT NULL THEN round(8 * (1 + 8 * l4 * (1.2 - progress))) / 8 END AS spread_cents,
    CASE WHEN sounded THEN number * 4.0 END AS attack_t,
    CASE WHEN sounded THEN number * 4.0 + 0.0625 END AS attack_known_at,
    CASE WHEN sounded THEN CASE WHEN l6 < 0.45 THEN 'tongued' WHEN l6 < 0.9 THEN 'air' ELSE 'unsure' END END
        AS attack_kind,
    CASE WHEN sounded THEN round(20 + 40 * l5) END AS attack_rise_ms,
    CASE WHEN sounded THEN 0.9 END AS attack_confidence,
    CASE WHEN partial IS NOT NULL THEN round(60 + (wanted * 40 + CASE WHEN l6 < 0.45 THEN 0 ELSE 60 END)
        * (1.5 - progress) * exp(2 * l5 - 1)) END AS speak_ms,
    CASE WHEN sounded THEN CASE WHEN partial IS NULL THEN '[[null, 1.75]]' ELSE '[[' || partial || ', 1.75]]' END END
        AS path,
    CASE WHEN sounded THEN CASE WHEN outcome = 'split' THEN 0.6 ELSE 0.0 END END AS split,
    CASE WHEN sounded THEN round(4 * (-30 + 12 * l4)) / 4 END AS level_dbfs,
    CASE WHEN sounded THEN round(4 * (-4 + 6 * l5)) / 4 END AS push_db,
    CASE WHEN sounded THEN 0.75 END AS unsteady_db, CASE WHEN sounded THEN 0.0 END AS clipped,
    ['partials rising', 'rungs', 'attacks', 'long tones'][1 + CAST((number - 1) * 4 // {tries} AS INTEGER)]
        AS asked_exercise,
    fingering AS asked_fingering, 'play' AS task, '[' || wanted || ']' AS partials,
    CASE WHEN (number - 1) * 4 // {tries} <> 2 THEN 'any' WHEN number % 2 = 0 THEN 'tongued' ELSE 'air' END
        AS start_wanted,
    0.0 AS hold_s, CAST(0 AS BIGINT) AS swell, CAST(number <= 5 AS BIGINT) AS cold,
    CAST(NULL AS VARCHAR) AS beside_fingering, CAST(NULL AS BIGINT) AS beside_partial,
    CAST(NULL AS VARCHAR) AS interval,
    CAST(right_one AS BIGINT) AS complete, CAST(NULL AS DOUBLE) AS difference_cents, CAST(NULL AS VARCHAR) AS guess,
    CAST(NULL AS DOUBLE) AS sung_hz, CAST(NULL AS DOUBLE) AS sung_cents, CAST(NULL AS DOUBLE) AS sung_spread_cents,
    CAST(NULL AS DOUBLE) AS swell_db, strftime(date, '%Y-%m') AS month
FROM found
"""
_SESSIONS = """
SELECT session, place, substr(md5('{seed} {player} ' || day), 1, 16) AS key, strftime(date, '%Y-%m') AS month, date,
    date_known, strftime(date, '%Y-%m-%dT18:00:00+02:00') AS started, session AS boot, 40.0 AS boottime_s,
    'known' AS trust, invented, horn, fingering, a4_hz, against, 'today' AS exercise, '0.1.0' AS version,
    CAST({tries} AS BIGINT) AS tries FROM h
"""
_RUNGS = """
SELECT h.horn, h.fingering, CAST(p AS BIGINT) AS partial, p <= 3 + hash({seed}, {player}, p, h.fingering) % 4
        AS known,
    CAST({tries} AS BIGINT) AS tries FROM (SELECT DISTINCT horn, fingering FROM h) h, range(1, 9) r(p)
"""
_PLATEAUS = """
SELECT horn, 'Bb3' AS fingering, CAST(4 + {player} % 3 AS BIGINT) AS partial, true AS over,
    CASE WHEN {player} % 5 < 2 THEN true WHEN {player} % 5 = 3 THEN false END AS helped
FROM (SELECT DISTINCT horn FROM h) WHERE {player} % 3 = 0
"""


# Numbers that SQL takes for decimals.
_DOUBLES = {
    "tries": (
        *("a4_hz", "t", "tone_start", "tone_end", "attack_t", "attack_known_at", "attack_confidence", "split"),
        *("unsteady_db", "clipped", "hold_s"),
    ),
    "sessions": ("a4_hz", "boottime_s"),
}


def device(player: int) -> str:
    """The name of an invented player's box."""
    return f"box-{player:016x}"


def make(
    con: duckdb.DuckDBPyConnection, studio: Path, player: int, days: int = 3650, tries: int = 200, seed: int = 1
) -> None:
    """Write one invented player of `days` days with `tries` tries each into the studio."""
    values = {"player": player, "days": days, "tries": tries, "seed": seed, "first": FIRST}
    head = f"WITH h AS ({_HEAD.format(**values)})"
    for table, query in (("sessions", _SESSIONS), ("rungs", _RUNGS), ("plateaus", _PLATEAUS)):
        path = studio / table / f"device={device(player)}" / f"{table}.parquet"
        path.parent.mkdir(parents=True, exist_ok=True)
        rows = _as_doubles(f"{head} {query.format(**values)}", table)
        con.execute(f"COPY ({rows}) TO '{path}' (FORMAT parquet, COMPRESSION zstd)")
    folder = studio / "tries" / f"device={device(player)}"
    folder.mkdir(parents=True)
    found = f"{head}, lots AS ({_LOTS.format(**values)}), found AS ({_FOUND}) {_TRIES.format(**values)}"
    con.execute(
        f"COPY ({_as_doubles(found, 'tries')}) TO '{folder}' "
        "(FORMAT parquet, COMPRESSION zstd, PARTITION_BY (month), FILENAME_PATTERN 'tries')"
    )


def _as_doubles(query: str, table: str) -> str:
    casts = ", ".join(f"CAST({name} AS DOUBLE) AS {name}" for name in _DOUBLES.get(table, ()))
    return f"SELECT * {f'REPLACE ({casts})' if casts else ''} FROM ({query})"
