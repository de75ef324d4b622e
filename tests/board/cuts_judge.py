"""What a disk holds after a cut, looked at on this computer with e2fsprogs, mtools and the program's own readers.

Nothing is mounted, and all is done to a copy: the board's next start has the disk as the cut has left it.
"""

from __future__ import annotations

import hashlib
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from airladder.config import load
from airladder.drive.geometry import BEFORE
from airladder.faults import BadInput, LogFault
from airladder.journal.health import checked
from airladder.journal.log import Reader
from airladder.practice.attempt import Attempt
from board.cuts_claims import Claims, as_told
from board.machine import OURS

Found = dict[float, list[Attempt]]
"""The tries in the log by the A4 of their practice."""


@dataclass(frozen=True)
class Verdict:
    """What was found.

    Attributes
    ----------
    state : of the file system: clean, journal replayed, repaired, or given up
    found : tries in the log
    lost : tries that were told as kept and are not in it, or not as they were given
    wrong : all that is wrong, a sentence each; empty when all is well
    """

    state: str
    found: int
    lost: int
    wrong: tuple[str, ...]


def judged(image: Path, claims: Claims, work: Path) -> Verdict:
    """Look at the disk `image`; `work` is an empty folder. What is there now must be there from now on."""
    copy, files = work / "disk", work / "files"
    files.mkdir()
    _run("cp", "--sparse=always", image, copy)
    state, wrong = _checked_disk(copy)
    _run("debugfs", "-R", f"rdump / {files}", copy)
    log = files / "log.sqlite"
    if damage := checked(log, own=True):
        wrong.append(f"log: {damage}")
    found: Found = {}
    try:
        found = _tries(log)
    except LogFault as fault:
        wrong.append(f"log: {fault}")
    lost = _compare(found, claims, wrong)
    wrong += _settings(files / "settings.toml", claims)
    wrong += _versions(files / "versions")
    wrong += _drive(files / "log-drive/out.img", work, sum(map(len, found.values())))
    claims.floor.clear()
    claims.floor.update((practice, len(tries)) for practice, tries in found.items())
    return Verdict(state, claims.told, lost, tuple(wrong))


def _run(*words: str | Path) -> subprocess.CompletedProcess[str]:
    path = {"PATH": "/usr/sbin:/usr/bin:/sbin:/bin", "LC_ALL": "C.UTF-8", "MTOOLS_SKIP_CHECK": "1"}
    return subprocess.run([str(word) for word in words], capture_output=True, text=True, check=False, env=path)


def _checked_disk(disk: Path) -> tuple[str, list[str]]:
    """By the board's own script; then nothing may be left to mend (man 8 e2fsck has the codes)."""
    done = _run("sh", OURS["/airladder/firmware"] / "system/check-data", disk)
    said = done.stdout + done.stderr
    if done.returncode:
        _run("e2fsck", "-y", disk)  # so that what is left can be counted
        return "given up", [f"file system: the board would go without it: {' '.join(said.split())[:200]}"]
    signs = {"all of it is repaired": "repaired", "recovering journal": "journal replayed", "": "clean"}
    state = next(state for sign, state in signs.items() if sign in said)
    looked = _run("e2fsck", "-f", "-n", disk)
    unsound = f"file system: not sound after that: {' '.join(looked.stdout.split())[:200]}"
    return state, [unsound] if looked.returncode else []


def _tries(log: Path) -> Found:
    found: Found = {}
    sessions: dict[float, int] = {}
    if log.exists():
        with Reader(log) as reader:
            for session, head, attempt in reader.tries():
                practice = round(head.a4_hz, 2)
                if sessions.setdefault(practice, session) != session:
                    raise LogFault(
                        f"practice {practice} is in it twice, as session {sessions[practice]} and {session}"
                    )
                found.setdefault(practice, []).append(attempt)
    return found


def _compare(found: Found, claims: Claims, wrong: list[str]) -> int:
    """Adds to `wrong`; how many tries were lost. Each practice must be there up to some try, at least those told."""
    lost = 0
    for practice in {*found, *claims.floor}:
        told, given = claims.floor.get(practice, 0), claims.given.get(practice, [])
        there = [as_told(attempt) for attempt in found.get(practice, [])]
        same = next((n for n, pair in enumerate(zip(there, given, strict=False)) if pair[0] != pair[1]), None)
        whole = min(len(there), len(given)) if same is None else same
        if whole < told:
            lost += told - whole
            wrong.append(f"practice {practice}: {told} tries were told as kept, {whole} are there as they were given")
        if len(there) > whole:
            wrong.append(f"practice {practice}: try {whole + 1} is not as it was given, or nobody gave it")
    return lost


def _settings(file: Path, claims: Claims) -> Iterator[str]:
    may_be = {claims.saved, claims.saving} - {None} if claims.saved is not None else {None, claims.saving}
    try:
        there = load(file).a4 if file.exists() else None
    except BadInput as fault:
        yield f"settings: {fault}"
        return
    if there not in may_be:
        yield f"settings: A4 is {there}, told was {claims.saved} (on its way: {claims.saving})"
    claims.saved, claims.saving = there, None


def _versions(store: Path) -> Iterator[str]:
    """Every version that has its name is whole: the launcher may choose it."""
    for folder in sorted(store.glob("[0-9]*")) if store.is_dir() else []:
        sums = folder / "SHA256SUMS"
        for line in sums.read_text().splitlines() if sums.is_file() else ["?  SHA256SUMS"]:
            digest, _, name = line.partition("  ")
            content = (folder / name).read_bytes() if (folder / name).is_file() else None
            if content is None or hashlib.sha256(content).hexdigest() != digest:
                yield f"version {folder.name}: {name} is not as it was released"
                break


def _drive(image: Path, work: Path, most: int) -> Iterator[str]:
    """A drive that has its name is whole, and has a sound log on it with no more tries than there are."""
    if not image.exists():
        return
    volume, log = work / "volume", work / "log.sqlite"
    volume.write_bytes(image.read_bytes()[BEFORE:])
    if (done := _run("fsck.vfat", "-n", volume)).returncode:
        yield f"drive: fsck.vfat: {' '.join(done.stdout.split())}"
    if (done := _run("mcopy", "-n", "-i", volume, "::log.sqlite", log)).returncode:
        yield f"drive: no log on it: {done.stderr}"
    elif damage := checked(log, own=True):
        yield f"drive: its log is damaged: {damage}"
    else:
        with Reader(log) as reader:
            on_it = sum(1 for _ in reader.tries())
        if on_it > most:
            yield f"drive: {on_it} tries on it, {most} in the log"
