"""By what a log is known again, without knowing whose it is.

Conventions
-----------
A session's key is a hash of what was kept when it began and is never rewritten: the key of its switch-on, which the
kernel draws at random, the time since then, and the figures of its first try. A device is known by the key of its
first session. So no serial number, address or name is asked for, newer exports of the same log bear the same key,
and who removes the log and begins anew is somebody new. The keys say nothing of player or box.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from airladder.faults import LogFault
from airladder.journal.log import Reader

DEVICE = "box-"
"""How the name of every device begins: a word, so that no program takes a key of digits alone for a number."""

_DIGITS = 16  # of hexadecimal: 64 bits, of which two alike are not met among a thousand devices, nor a million
_FIRST_TRIES = """
SELECT s.id, s.started, s.boottime_s, boot.key AS boot_key, a.t, a.hz, a.cents, a.level_dbfs
FROM session s JOIN attempt a ON a.session = s.id LEFT JOIN boot ON boot.number = s.boot
WHERE a.number = (SELECT min(number) FROM attempt WHERE session = s.id) ORDER BY s.id
"""
_PLAIN_NAMES = {"", "airladder", "drive", "log.sqlite"}
_LONGEST = 60


def session_keys(log: Reader) -> dict[int, str]:
    """The key of every session that has tries, by its number, the first one first.

    Raises
    ------
    LogFault : when the log cannot be read, or holds no session.
    """
    keys = {row["id"]: _hashed(list(row)[1:]) for row in log.rows(_FIRST_TRIES)}
    if not keys:
        raise LogFault(f"The log {log.path} is still empty; merge it when it holds a session.")
    return keys


def _hashed(values: list[object]) -> str:
    return hashlib.sha256(json.dumps(values).encode()).hexdigest()[:_DIGITS]


def device_of(keys: dict[int, str]) -> str:
    """The name of the device whose sessions have these keys."""
    return DEVICE + keys[min(keys)]


def label_of(drive: Path) -> str:
    """What a person called the drive: the name of its folder or image; empty when nobody gave it one of its own."""
    resolved = drive.resolve()
    name = (
        resolved.parent.name
        if resolved.name == "log.sqlite"
        else resolved.stem
        if resolved.is_file()
        else resolved.name
    )
    return "" if name.casefold() in _PLAIN_NAMES else name[:_LONGEST]
