"""What every virtual board boots: Debian 13 for arm64, its own kernel, and our few lines before it.

Nothing is configured and nothing of arm64 is run to make it: mmdebstrap only unpacks, which takes seconds where a
configured system takes ten minutes under emulation. What the tests need of the maintainer scripts' work is done here.
Made once and kept (cachefolder.py); who comes second waits.
"""

from __future__ import annotations

import fcntl
import lzma
import os
import shutil
import subprocess
import tempfile
import zlib
from dataclasses import dataclass
from pathlib import Path

from board import bytecode
from board.packages import add_packages
from cachefolder import CACHE

PACKAGES = (
    "base-files,dash,bash,coreutils,sed,grep,findutils,gzip,tar,hostname,procps,libc-bin,kmod,mount,util-linux,"
    "systemd,systemd-sysv,udev,dbus,dosfstools,mtools,e2fsprogs,eject,alsa-utils,sqlite3,busybox-static,"
    "python3,python3-numpy,python3-aubio,libopenblas0-pthread,python3-pil,python3-cbor2,python3-soundfile,python3-mido,"
    "linux-image-arm64,libpython3-dev,libasound2-dev"
)
TOOLS = {
    "qemu-system-aarch64": "qemu-system-arm",
    "mmdebstrap": "mmdebstrap",
    "fdtput": "device-tree-compiler",
    "aarch64-linux-gnu-gcc": "gcc-aarch64-linux-gnu libc6-dev-arm64-cross",
    "swig": "swig",
    "cpio": "cpio",
    "modprobe": "kmod",
    "mkfs.ext4": "e2fsprogs",
}
"""The commands that this needs, and the packages of Debian that have them."""

REVISION = 0x902120
"""What a Raspberry Pi Zero 2 W calls itself: gpiozero asks for it (its documentation, "New-style revision codes")."""

MACHINE = ("-M", "virt", "-cpu", "cortex-a53", "-m", "512")
"""The board's sort of processor, one core of it, and its memory."""

_MODULES = ("virtio_pci", "virtio_blk", "9pnet_virtio", "9p", "ext4", "overlay")
_NOT_NEEDED = ("usr/include", "usr/share/doc", "usr/share/man", "usr/share/locale", "usr/share/info", "boot")
_LIBRARIES = "usr/lib/aarch64-linux-gnu"
_ACCOUNTS = {
    "passwd": "root:x:0:0:root:/root:/bin/sh\nairladder:x:900:900::/var/lib/airladder:/usr/sbin/nologin\n",
    "group": "root:x:0:\naudio:x:29:airladder\ngpio:x:901:airladder\ni2c:x:902:airladder\nairladder:x:900:\n",
    "hostname": "board\n",
    "machine-id": "",
}


@dataclass(frozen=True)
class Base:
    """The kept files.

    Attributes
    ----------
    image : ext4, labelled ``board``; of it a machine only reads
    kernel, devices : what boots it, and the device tree
    busybox, modules : what the first file system is made of; modules in the order in which they must be loaded
    version : of the kernel
    python : Python of the board's version for this computer, see `bytecode`
    """

    image: Path
    kernel: Path
    devices: Path
    busybox: Path
    modules: tuple[Path, ...]
    version: str
    python: Path


def missing_tools() -> list[str]:
    """The packages of Debian that this computer lacks for it."""
    path = f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin"
    return [package for tool, package in TOOLS.items() if shutil.which(tool, path=path) is None]


def base() -> Base:
    """The base, made where it is not kept yet: about a minute, and 300 MB from Debian's archive.

    Raises
    ------
    RuntimeError : when tools are missing, or one of them fails; the text says which.
    """
    kept = CACHE / f"board-{zlib.crc32((PACKAGES + Path(__file__).read_text()).encode()):08x}"
    CACHE.mkdir(parents=True, exist_ok=True)
    with (CACHE / "board.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not kept.exists():
            _make(kept)
    modules = tuple(kept / "modules" / name for name in (kept / "modules/order").read_text().split())
    version = (kept / "version").read_text()
    return Base(
        image=kept / "root.ext4",
        kernel=kept / "kernel",
        devices=kept / "board.dtb",
        busybox=kept / "busybox",
        modules=modules,
        version=version,
        python=kept / "python",
    )


def _make(kept: Path) -> None:
    if missing := missing_tools():
        raise RuntimeError(f"The virtual board needs Debian's {', '.join(missing)}; run: sh firmware/setup test")
    with tempfile.TemporaryDirectory(dir=CACHE, prefix="making-board-") as folder:
        work, root, making = Path(folder), Path(folder, "root"), Path(folder, "made")
        (work / "sources").mkdir()
        making.mkdir()
        unpack(root, f"--include={PACKAGES}", "--arch=arm64")
        unpack(making / "python", f"--include={bytecode.PACKAGES}")
        add_packages(root, work / "sources")
        version = next((root / "boot").glob("vmlinuz-*")).name.removeprefix("vmlinuz-")
        shutil.copy(root / f"boot/vmlinuz-{version}", making / "kernel")
        shutil.copy(root / "usr/bin/busybox", making / "busybox")
        (making / "version").write_text(version)
        _settle(root, version)
        bytecode.compile_all(making / "python", root / "usr")
        _take_modules(root, version, making / "modules")
        _describe_devices(making / "board.dtb")
        with (making / "root.ext4").open("wb") as image:
            image.truncate(1 << 30)
        _run("mkfs.ext4", "-q", "-L", "board", "-d", root, making / "root.ext4")
        for older in CACHE.glob("board-????????"):
            shutil.rmtree(older)
        making.rename(kept)


def unpack(root: Path, *words: str) -> None:
    """Unpack Debian 13 into `root`; with the words of mmdebstrap."""
    hook = "--hook-dir=/usr/share/mmdebstrap/hooks/merged-usr"
    _run("mmdebstrap", "--quiet", "--variant=extract", hook, *words, "trixie", root)


def _settle(root: Path, version: str) -> None:
    """What maintainer scripts would have done, as far as it is missed."""
    for name, text in _ACCOUNTS.items():
        (root / "etc" / name).write_text(text)
    for library in ("libblas.so.3", "liblapack.so.3", "libopenblas.so.0"):  # alternatives, to Debian
        (root / _LIBRARIES / library).symlink_to(f"openblas-pthread/{library}")
    (root / _LIBRARIES / "libsndfile.so").symlink_to("libsndfile.so.1")  # found without the loader's cache, so
    for name in _NOT_NEEDED:
        shutil.rmtree(root / name)
    _run("depmod", "-b", root, version)


def _take_modules(root: Path, version: str, to: Path) -> None:
    to.mkdir()
    words = ("modprobe", "-d", root, "-S", version, "-a", "--show-depends", *_MODULES)
    loads = [line.split()[1] for line in _run(*words).splitlines() if line.startswith("insmod")]
    names = []
    for path in map(Path, dict.fromkeys(loads)):
        content = path.read_bytes()
        names.append(path.name.removesuffix(".xz"))
        (to / names[-1]).write_bytes(lzma.decompress(content) if path.suffix == ".xz" else content)
    (to / "order").write_text("\n".join(names) + "\n")


def _describe_devices(to: Path) -> None:
    """qemu's own device tree, in which the machine says that it is a Zero 2 W, as gpiozero wants to know."""
    machine, *rest = MACHINE[1:]
    _run("qemu-system-aarch64", "-M", f"{machine},dumpdtb={to}", *rest, "-display", "none", "-nodefaults")
    _run("fdtput", "-c", to, "/system")
    _run("fdtput", "-t", "x", to, "/system", "linux,revision", f"{REVISION:x}")


def _run(*words: str | Path) -> str:
    path = {**os.environ, "PATH": f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin"}
    done = subprocess.run([str(word) for word in words], capture_output=True, text=True, check=False, env=path)
    if done.returncode:
        raise RuntimeError(f"{words[0]} failed with {done.returncode}: {done.stderr[-2000:]}")
    return done.stdout
