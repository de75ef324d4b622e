"""The claims about the sealed root and the data partition: ``python -m acceptance.seal.prove SUITE [PART ...]``."""

from __future__ import annotations

import hashlib
import os
import random
import subprocess
import sys
import time
import zlib
from pathlib import Path

from acceptance.kernel.claims import say
from acceptance.seal.machine import ROOT, Machine, Start, checksum, copy, make_card, mounted, partitions, run, tree
from acceptance.seal.resizing import cut_often

CUTS = int(os.environ.get("AIRLADDER_SEAL_CUTS", "10"))
PARTS = ("room", "closed", "cuts", "open", "broken", "append", "resizing", "shrinking")
RESIZES = 40
KEPT = ("log.sqlite", "settings.toml")
results: list[tuple[bool, str]] = []
began = time.monotonic()


def claim(holds: bool, what: str) -> bool:
    """Says one claim and whether it holds."""
    results.append((holds, what))
    say(f"{time.monotonic() - began:5.0f} s  {'ok    ' if holds else 'FAILED'}  {what}")
    return holds


def tell(start: Start) -> None:
    """Shows what a start said, for whoever looks for a cause."""
    say("\n".join(f"          | {line}" for line in start.said) or start.text[-2000:])


def facts(machine: Machine) -> Start:
    """A start that looks round and ends by itself."""
    start = machine.start("facts")
    tell(start)
    return start


def sums(folder: Path) -> dict[str, int]:
    """File -> CRC-32, for it is quick, of what the machine's programs are, and of nothing that changes by itself."""
    tops = ("usr", "opt", "prove", "boot", "etc/fstab")
    files = [path for top in tops for path in [folder / top, *sorted((folder / top).rglob("*"))]]
    return {
        str(path.relative_to(folder)): zlib.crc32(path.read_bytes())
        for path in files
        if path.is_file() and not path.is_symlink()
    }


def kept_sums(folder: Path) -> dict[str, str]:
    """File -> SHA-256 of the three files of `machine.make_card` in a folder like /var/lib/airladder."""
    names = (*KEPT, "routines/mine.toml")
    return {n: hashlib.sha256((folder / n).read_bytes()).hexdigest() for n in names if (folder / n).is_file()}


def is_sealed(start: Start) -> bool:
    """Whether the root of that start was read only, without its journal, and locked by the kernel."""
    options = (start.of("root") or [""])[0].split(",")
    return "ro" in options and bool({"noload", "norecovery"} & set(options)) and start.of("locked") == ["1"]


def room(machine: Machine, ordered: Path) -> None:
    """A root that fills the card: ordered, made smaller at the next start, closed at the one after."""
    tell(machine.start("order"))
    claim("airladder.room" in machine.command_line(), "room --close on a full card: ordered for the next start")
    copy(machine.card, ordered)
    start = machine.start("wait", limit=600)
    say("\n".join(line for line in start.text.splitlines() if "airladder" in line.lower()))
    claim(len(partitions(machine.card)) == 3, "the start after has made the data partition")
    line = machine.command_line()
    claim("noload" in line and "airladder.room" not in line, f"and closed the root: {line}")


def closed(machine: Machine, reference: dict[str, str]) -> None:
    """A start with the closed root."""
    start = facts(machine)
    claim(is_sealed(start), "closed: the root is ro,noload and locked")
    claim((start.of("boot") or [""])[0].startswith("ro"), "closed: the boot partition is read only")
    claim(
        " ".join(start.of("data")).split()[:2] == ["/dev/vda3", "ext4"] and "rw," in start.of("data")[0],
        "the data partition is mounted for writing",
    )
    with mounted(machine.card, 3) as data:
        claim(kept_sums(data) == reference, "what lay in /var/lib/airladder is in it, byte for byte")
    with mounted(machine.card, 2, "ro", "noload") as root:
        claim(not any((root / "var/lib/airladder").iterdir()), "and no more on the root")
    can = set(start.of("writable"))
    claim(can == {"/tmp", "/var/tmp", "/var/log", "/var/lib/airladder"}, f"written can be: {' '.join(sorted(can))}")
    claim(start.of("running") == ["running"], f"systemd says {start.of('running')}, failed: {start.of('failed')}")
    say(f"          time: {start.of('time')}")


def cuts(machine: Machine, dice: random.Random) -> None:
    """The power goes while everything is written that may be, and much that may not."""
    before = [checksum(machine.card, number) for number in (1, 2)]
    same, sound, told = 0, 0, 0
    for _ in range(CUTS):
        seconds = dice.uniform(0.5, 12)
        start = machine.start("write", cut_at="PROVE writing", after=seconds)
        refused = not any("root was" in line for line in start.said)
        same += refused and before == [checksum(machine.card, number) for number in (1, 2)]
        promised = max((int(n) for n in start.of("flushed") if n.isdigit()), default=0)
        with mounted(machine.card, 3) as data:
            number = int((data / "number").read_text() or 0) if (data / "number").exists() else 0
            told += number >= promised and kept_sums(data).keys() == set(KEPT) | {"routines/mine.toml"}
        first, size = partitions(machine.card)[2]
        loop = run(
            "losetup", "-f", "--show", "-o", str(first * 512), "--sizelimit", str(size * 512), machine.card
        ).strip()
        sound += subprocess.run(["e2fsck", "-fn", loop], capture_output=True, check=False).returncode == 0
        run("losetup", "-d", loop)
        say(f"          cut after {seconds:4.1f} s of writing: {promised} told as flushed, {number} found")
    claim(same == CUTS, f"power cuts after which p1 and p2 are the same bit for bit: {same} of {CUTS}")
    claim(
        told == CUTS, f"power cuts after which the data partition mounts and has what was flushed: {told} of {CUTS}"
    )
    claim(sound == CUTS, f"power cuts after which e2fsck finds nothing on it: {sound} of {CUTS}")


def opens(machine: Machine) -> None:
    """Open again; and, as the control, a cut of an open root, which the checksum must see."""
    tell(machine.start("open"))
    start = facts(machine)
    options = (start.of("root") or [""])[0].split(",")
    claim("rw" in options and "noload" not in options, "open: the root can be written again from the next start")
    before = checksum(machine.card, 2)
    machine.start("write", cut_at="PROVE writing", after=8)
    claim(checksum(machine.card, 2) != before, "control: the same cut on an open root changes it")


def broken(machine: Machine) -> None:
    """Closed, but the power goes before it was shut down: the journal is full at the first closed start."""
    machine.start("close", cut_at="PROVE end", after=0.1)
    start, _ = partitions(machine.card)[1]
    head = run("dumpe2fs", "-h", f"{machine.card}?offset={start * 512}")
    claim("needs_recovery" in head, "closed and cut off: the root's journal is not empty")
    said = facts(machine)
    claim(
        "it is mended before it is locked" in said.text and is_sealed(said),
        "the next start mends it once, then locks it",
    )
    head = run("dumpe2fs", "-h", f"{machine.card}?offset={start * 512}")
    claim("needs_recovery" not in head, "and its journal is empty")


def append(card: Path, top: Path) -> None:
    """A card with free room behind the root: no start in between."""
    make_card(card, top, 4096, root=2048)
    with mounted(card, 2) as root:
        reference = kept_sums(root / "var/lib/airladder")
    machine = Machine(card, top)
    tell(machine.start("room"))
    claim(len(partitions(card)) == 3, "free room on the card: the data partition is made at once")
    with mounted(card, 3) as data:
        claim(kept_sums(data) == reference, "and has what lay in /var/lib/airladder")


def shrinking(ordered: Path, card: Path, top: Path, reference: dict[str, str]) -> None:
    """The power goes while the root is made smaller; whatever comes, the next start comes up with every file."""
    copy(ordered, card)
    machine = Machine(card, top)
    with mounted(card, 2) as root:
        programs = sums(root)
    marker = "making the root smaller"
    length = max(1.0, machine.start("wait", cut_at=marker, after=600, until="making the data partition").since)
    say(f"          the root is made smaller in about {length:.0f} s here")
    moments = [(marker, length * share) for share in (0.1, 0.3, 0.5, 0.7, 0.85, 0.95)]
    moments += [("making the data partition", 0.0), ("making the data partition", 0.5)]
    good = made = 0
    for mark, after in moments:
        copy(ordered, card)
        machine.start("wait", cut_at=mark, after=after)
        again = machine.start("wait", cut_at="login:", limit=300)
        with mounted(card, 2) as root:
            now = sums(root)
            kept = kept_sums(root / "var/lib/airladder")
        if len(partitions(card)) == 3:
            made += 1
            try:
                with mounted(card, 3) as data:
                    kept = kept | kept_sums(data)
            except SystemExit:
                pass
        lost = sorted(name for name in programs if now.get(name) != programs[name])
        well = "login:" in again.text or "Restarting" in again.text or "reboot" in again.text
        good += well and not lost and kept == reference
        say(f"          cut {after:4.1f} s after '{mark}': comes up {well}, lost {len(lost)} {lost[:3]}")
        for line in again.text.splitlines():
            if line.startswith("airladder:"):
                say(f"          | {line}")
    claim(
        good == len(moments),
        f"cuts while room is made, after which all comes up with every file: {good} of {len(moments)}",
    )
    say(f"          of these with a data partition in the end: {made}")


def resizing(ordered: Path, work: Path, dice: random.Random) -> None:
    """resize2fs alone, stopped at many moments."""

    def of_image(image: Path) -> dict[str, int]:
        place = work / "seen"
        place.mkdir(exist_ok=True)
        run("mount", "-o", "loop,ro,noload", image, place)
        try:
            return sums(place)
        finally:
            run("umount", place)

    good, small, whole, lost = cut_often(ordered, work, RESIZES, dice, of_image)
    for line in lost:
        say(f"          {line}")
    say(f"          a whole run is {whole:.1f} s; small in the end in {small}, mended and large in the others")
    claim(good == RESIZES, f"resize2fs killed, after which e2fsck -fy leaves every file: {good} of {RESIZES}")


def main(suite: str, parts: tuple[str, ...]) -> int:
    """All parts, or some; those that build on others need them done before in the same folder."""
    seed = int(time.time())
    dice = random.Random(seed)
    say(f"{suite}, seed {seed}")
    kept = ROOT / "tests/.cache/seal"
    top = tree(suite, kept)
    card, ordered, other = (kept / suite / name for name in ("card.img", "ordered.img", "other.img"))
    if "room" in parts:
        make_card(card, top, 6144)
    machine = Machine(card, top)
    reference_file = kept / suite / "reference"
    if "room" in parts:
        with mounted(card, 2) as root:
            reference = kept_sums(root / "var/lib/airladder")
        reference_file.write_text("\n".join(f"{name} {value}" for name, value in reference.items()))
    reference = dict(line.split() for line in reference_file.read_text().splitlines() if line)
    if "room" in parts:
        room(machine, ordered)
    if "closed" in parts:
        closed(machine, reference)
    if "cuts" in parts:
        cuts(machine, dice)
    if "open" in parts:
        opens(machine)
    if "broken" in parts:
        broken(machine)
    if "append" in parts:
        append(other, top)
    if "resizing" in parts:
        resizing(ordered, kept / suite, dice)
    if "shrinking" in parts:
        shrinking(ordered, other, top, reference)
    failed = sum(not holds for holds, _ in results)
    say(f"\nseal: {len(results) - failed} ok, {failed} FAILED")
    return 1 if failed else 0


if __name__ == "__main__":
    wanted = tuple(sys.argv[2:]) or PARTS
    if unknown := set(wanted) - set(PARTS):
        sys.stderr.write(f"seal: there is no {' '.join(sorted(unknown))}; known: {' '.join(PARTS)}\n")
        sys.exit(2)
    sys.exit(main(sys.argv[1], wanted))
