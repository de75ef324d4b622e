"""A Debian in a virtual machine with a card like that of a board, and a plug that can be pulled.

The card is an image file with an MBR: p1 a FAT with cmdline.txt, p2 the root, filling the rest. As the
board's firmware would, we read cmdline.txt from p1 before each start; kernel and initramfs are those of the tree.
"""

import json
import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
HERE = Path(__file__).resolve().parent
MIB = 1024 * 1024
PACKAGES = (
    "systemd,systemd-sysv,udev,dbus,initramfs-tools,linux-image-amd64,e2fsprogs,fdisk,util-linux,kmod,busybox,procps,"
    "diffutils,cron,logrotate,man-db,systemd-timesyncd"
)

OPTIONS = (
    *("-accel", "tcg,thread=multi", "-cpu", "max", "-smp", "2", "-m", "512", "-no-reboot"),
    *("-display", "none", "-nodefaults", "-serial", "stdio", "-monitor", "none"),
)


def run(*words: str | Path, text: str = "") -> str:
    """What a program printed. Raises subprocess.CalledProcessError when it fails."""
    done = subprocess.run([str(w) for w in words], input=text, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"{' '.join(map(str, words))} failed with {done.returncode}: {done.stderr or done.stdout}")
    return done.stdout


def tree(suite: str, kept: Path) -> Path:
    """An unpacked Debian of `suite`, made once; our files are put in anew each time."""
    folder = kept / suite
    if not (folder / "ready").exists():
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)
        archive = folder / "tree.tar"
        option = '--aptopt=Apt::Install-Recommends "false"'
        run("mmdebstrap", "--quiet", "--variant=minbase", f"--include={PACKAGES}", option, suite, archive)
        (folder / "tree").mkdir()
        run("tar", "-xf", archive, "-C", folder / "tree")
        archive.unlink()
        (folder / "ready").touch()
    top = folder / "tree"
    system = top / "opt/airladder/system"
    shutil.rmtree(system, ignore_errors=True)
    system.mkdir(parents=True)
    shutil.copy(ROOT / "firmware/system/seal", system)
    shutil.copytree(ROOT / "firmware/system/seal.d", system / "seal.d")
    (top / "prove").mkdir(exist_ok=True)
    shutil.copy(HERE / "guest/job", top / "prove/job")
    (top / "prove/job").chmod(0o755)
    units = top / "etc/systemd/system"
    (units / "multi-user.target.wants").mkdir(exist_ok=True)
    for unit in ("prove.service", "var-lib-airladder.mount"):
        shutil.copy(HERE / "guest" / unit, units)
        link = units / "multi-user.target.wants" / unit
        link.unlink(missing_ok=True)
        link.symlink_to(f"../{unit}")
    (top / "etc/fstab").write_text(
        "PARTUUID=12345678-01 /boot/firmware vfat defaults 0 2\nPARTUUID=12345678-02 / ext4 defaults,noatime 0 1\n"
    )
    (top / "boot/firmware").mkdir(exist_ok=True)
    (top / "etc/hostname").write_text("box\n")
    # few drivers in place of all, and the initramfs made here, as for an image: emulated, that takes minutes
    (top / "etc/initramfs-tools/conf.d/modules").write_text("MODULES=list\n")
    (top / "etc/initramfs-tools/modules").write_text("virtio_pci\nvirtio_blk\next4\n")
    (top / "boot/firmware/cmdline.txt").write_text("rootwait\n")
    for word in ("close", "open"):
        run("sh", system / "seal", word, "--root", top)
    run("chroot", top, "update-initramfs", "-u", "-k", "all")
    sums = "".join((system / "seal.d" / name).read_text() for name in ("hook", "early"))
    (top / "etc/initramfs-tools/airladder-seal.done").write_text(run("cksum", text=sums))
    (top / "boot/firmware/cmdline.txt").unlink()
    return top


@contextmanager
def mounted(card: Path, number: int, *options: str) -> Iterator[Path]:
    """Partition `number` of the card, mounted on this side; gone again at the end."""
    start, size = partitions(card)[number - 1]
    place = Path(tempfile.mkdtemp())
    words = ",".join((f"loop,offset={start * 512},sizelimit={size * 512}", *options))
    run("mount", "-o", words, card, place)
    try:
        yield place
    finally:
        run("umount", place)
        place.rmdir()


def partitions(card: Path) -> list[tuple[int, int]]:
    """(start, size) in sectors, in the order of the table."""
    table = json.loads(run("sfdisk", "--json", card))["partitiontable"]
    return [(part["start"], part["size"]) for part in table["partitions"]]


def make_card(card: Path, top: Path, size: int, root: int | None = None) -> None:
    """A card of `size` MiB from the tree `top`; the root fills it, or has `root` MiB.

    Much of it lies high up, as on a card that was grown and used: it was put there while the low half was taken.
    """
    card.unlink(missing_ok=True)
    card.touch()
    os.truncate(card, size * MIB)
    length = "" if root is None else f"size={root}MiB,"
    run(
        "sfdisk",
        card,
        text=f"label: dos\nlabel-id: 0x12345678\nstart=4MiB,size=64MiB,type=c\nstart=68MiB,{length}type=83\n",
    )
    (boot, boot_size), (start, sectors) = partitions(card)
    fat, line = card.with_suffix(".fat"), card.with_suffix(".line")
    line.write_text("root=PARTUUID=12345678-02 rootfstype=ext4 fsck.repair=yes rootwait quiet\n")
    run("mkfs.vfat", "-C", fat, str(boot_size // 2))
    run("mcopy", "-i", fat, line, "::cmdline.txt")
    with card.open("r+b") as out:
        out.seek(boot * 512)
        out.write(fat.read_bytes())
    fat.unlink()
    line.unlink()
    run("mkfs.ext4", "-q", "-L", "rootfs", "-E", f"offset={start * 512}", card, f"{sectors // 2}k")
    with mounted(card, 2) as place:
        run("fallocate", "-l", f"{sectors * 512 * 6 // 10}", place / "filler")
        run("cp", "-a", f"{top}/.", place)
        (place / "filler").unlink()
        data = place / "var/lib/airladder"
        (data / "routines").mkdir(parents=True)
        (data / "log.sqlite").write_bytes(os.urandom(3 * MIB))
        (data / "settings.toml").write_text("horn = 'tenor'\n")
        (data / "routines/mine.toml").write_text("# mine\n")


@dataclass(frozen=True)
class Start:
    """What one start said: its serial line, what followed PROVE; seconds in all, and since the word waited for."""

    text: str
    said: tuple[str, ...]
    seconds: float
    since: float

    def of(self, word: str) -> list[str]:
        """What was said after `word`."""
        return [line[len(word) :].strip() for line in self.said if line.startswith(word)]


class Machine:
    """The machine with one card in it."""

    def __init__(self, card: Path, top: Path) -> None:
        self.card = card
        self.boot = {kind: sorted((top / "boot").glob(f"{kind}-*"))[-1] for kind in ("vmlinuz", "initrd.img")}

    def command_line(self) -> str:
        """The first line of cmdline.txt, as the board's firmware reads it."""
        start = partitions(self.card)[0][0]
        return run("mtype", "-i", f"{self.card}@@{start * 512}", "::cmdline.txt").splitlines()[0].strip()

    def start(self, prove: str, cut_at: str = "", after: float = 0.0, until: str = "", limit: float = 600) -> Start:
        """One start. The power goes `after` seconds after `cut_at`, or at `until`; else it ends by itself."""
        said = self.card.with_suffix(".said")
        words = f"{self.command_line()} console=ttyS0 panic=-1 prove={prove}"
        if len(partitions(self.card)) < 3:
            words += " systemd.mask=var-lib-airladder.mount"  # it would be waited for
        boot = ["-kernel", str(self.boot["vmlinuz"]), "-initrd", str(self.boot["initrd.img"]), "-append", words]
        began = time.monotonic()
        with said.open("wb") as out:
            machine = subprocess.Popen(
                [
                    "qemu-system-x86_64",
                    *OPTIONS,
                    *boot,
                    "-drive",
                    f"file={self.card},if=virtio,format=raw,cache=writeback",
                ],
                stdin=subprocess.DEVNULL,
                stdout=out,
                stderr=subprocess.STDOUT,
            )
        heard: float | None = None
        try:
            while machine.poll() is None:
                now = time.monotonic()
                if cut_at and heard is None and cut_at.encode() in said.read_bytes():
                    heard = now
                if heard is not None and (now - heard > after or (until and until.encode() in said.read_bytes())):
                    break
                if now - began > limit:
                    break
                time.sleep(0.02)
        finally:
            machine.kill()
            machine.wait()
        text = said.read_text(errors="replace").replace("\r", "")
        lines = tuple(line.split("PROVE ", 1)[1] for line in text.splitlines() if "PROVE " in line)
        ended = time.monotonic()
        return Start(text, lines, ended - began, ended - heard if heard is not None else 0.0)


def copy(card: Path, to: Path) -> Path:
    """The same card once more, holes kept."""
    run("cp", "--sparse=always", card, to)
    return to


def checksum(card: Path, number: int) -> str:
    """SHA-256 of one partition, bit for bit."""
    start, size = partitions(card)[number - 1]
    loop = run("losetup", "-f", "--show", "-r", "-o", str(start * 512), "--sizelimit", str(size * 512), card).strip()
    try:
        return run("sha256sum", loop).split()[0]
    finally:
        run("losetup", "-d", loop)
