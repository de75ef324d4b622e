"""The computer at the other end of the cable, which is the same kernel: dummy_hcd is a socket for its own gadgets."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from acceptance.kernel.claims import until
from airladder.devices.gadget import Lun

SOCKET = Path("/sys/bus/usb/devices/1-0:1.0/usb1-port1/disable")
_MOUNTED = Path("/tmp/mounted")


def pull() -> None:
    """Pull the cable: the port is without power."""
    SOCKET.write_text("1")
    until(lambda: _disk(Lun.OUT) or _disk(Lun.IN), None)


def plug() -> None:
    """Put the cable in."""
    SOCKET.write_text("0")


def disk(lun: Lun) -> Path:
    """The disk that a drive is to the computer.

    Raises
    ------
    LookupError : when it does not come in time.
    """
    until(lambda: _disk(lun) is not None)
    found = _disk(lun)
    if found is None:
        raise LookupError(f"The computer sees no drive {lun.name}.")
    return found


def look(lun: Lun) -> None:
    """Look for another medium: udev opens a disk so when the kernel tells of one, and there is no udev here."""
    os.close(os.open(disk(lun), os.O_RDONLY | os.O_NONBLOCK))


def size(lun: Lun) -> int:
    """Bytes of the medium, after a look; 0 for none."""
    look(lun)
    return 512 * int((_about(lun) / "size").read_text())


def read_only(lun: Lun) -> bool:
    """Whether the computer takes it for one that cannot be written."""
    return (_about(lun) / "ro").read_text().strip() == "1"


def removable(lun: Lun) -> bool:
    """Whether the computer takes it for one whose medium can be changed."""
    return (_about(lun) / "removable").read_text().strip() == "1"


def label(lun: Lun) -> str:
    """The name of the volume on the first partition, by blkid."""
    words = ["blkid", "-p", "-s", "LABEL", "-o", "value", f"{disk(lun)}1"]
    return subprocess.run(words, capture_output=True, text=True, check=False).stdout.strip()


@contextmanager
def asleep() -> Iterator[None]:
    """Asleep for so long, the cable in: the bus is suspended. What is locked keeps this computer awake."""
    device = Path("/sys/bus/usb/devices/1-1/power")
    disks = [_about(lun) / "device/power" for lun in Lun]
    for power in (*disks, device):
        (power / "autosuspend_delay_ms").write_text("0")
        (power / "control").write_text("auto")
    until(lambda: (device / "runtime_status").read_text().strip(), "suspended")
    try:
        yield
    finally:
        for power in (device, *disks):
            (power / "control").write_text("on")


@contextmanager
def mounted(lun: Lun, *, write: bool = False) -> Iterator[Path]:
    """The files of a drive, mounted by the kernel's vfat for so long."""
    _MOUNTED.mkdir(exist_ok=True)
    look(lun)
    part = Path(f"{disk(lun)}1")
    until(part.is_block_device)
    options = f"{'rw' if write else 'ro'},iocharset=utf8"
    subprocess.run(["mount", "-t", "vfat", "-o", options, part, _MOUNTED], capture_output=True, check=True)
    try:
        yield _MOUNTED
    finally:
        subprocess.run(["umount", _MOUNTED], check=True)


def eject(lun: Lun) -> int:
    """What `eject` of util-linux, or a click on eject, does; its exit code."""
    return subprocess.run(["eject", "--scsi", disk(lun)], capture_output=True, check=False).returncode


def _disk(lun: Lun) -> Path | None:
    for about in Path("/sys/block").glob("sd*"):
        if (about / "device").resolve().name.endswith(f":{lun.value}"):
            return Path("/dev") / about.name
    return None


def _about(lun: Lun) -> Path:
    return Path("/sys/block") / disk(lun).name
