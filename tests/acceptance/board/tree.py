"""The installed box as an image that the virtual board boots: Debian 13, and ``firmware/install --into`` it.

What a board has and this one lacks is added after that, and nothing else: another pin map, a sound card of the
kernel's own making under the codec's name, a USB controller that is its own computer, and the bus of `i2cbus`.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from acceptance.board.wheels import wheels
from board.base import base
from board.machine import TOP

HERE = Path(__file__).parent
BOARD = TOP / "tests/board"
_ACCOUNTS = {
    "passwd": "root:x:0:0:root:/root:/bin/sh\n",
    "group": "root:x:0:\n",
    "machine-id": "0123456789abcdef0123456789abcdef\n",
}

ADDED = {
    "etc/modules-load.d/virtual-board.conf": "snd-aloop\ndummy_hcd\nusb_f_mass_storage\ncuse\n",
    "etc/modprobe.d/virtual-board.conf": "options snd-aloop id=airladder\n",
    # The computer at the other end is this one; but the drive that it sees is no stick that was put into the box.
    "etc/udev/rules.d/70-virtual-board.rules": 'SUBSYSTEM=="block", ENV{ID_BUS}=="usb", ENV{SYSTEMD_WANTS}=""\n',
    # The kernel's name for the device of a bus from user space is that of the bus, not "i2c".
    "etc/systemd/system/airladder.service.d/virtual-board.conf": "[Service]\nDeviceAllow=char-i2c-1 rw\n",
    "etc/systemd/system/virtual-bus.service": """[Unit]
DefaultDependencies=no
After=local-fs.target systemd-modules-load.service
Before=airladder.service airladder-socket.service shutdown.target
Conflicts=shutdown.target
[Service]
Environment=PYTHONPATH=/airladder/firmware:/airladder/tests PYTHONDONTWRITEBYTECODE=1
EnvironmentFile=-/etc/board/bus
ExecStartPre=/bin/mount --bind /job/pins.toml /airladder/hardware/pins.toml
# No computer is at the socket at first.
ExecStartPre=/bin/sh -c 'echo 1 >/sys/bus/usb/devices/1-0:1.0/usb1-port1/disable'
ExecStart=/usr/bin/python3 -m i2cbus --control /run/i2cbus $BUS
ExecStartPost=/bin/sh -c 'while [ ! -e /dev/i2c-1 ]; do sleep 0.1; done; sleep 0.2'
[Install]
WantedBy=multi-user.target
""",
}


def installed(to: Path) -> None:
    """Make the image at `to`; as root, for it is mounted here.

    Raises
    ------
    subprocess.CalledProcessError : when the install fails, or anything round it.
    """
    made, brought = base(), wheels()
    subprocess.run(["cp", "--sparse=always", made.image, to], check=True)
    with _mounted(to) as root, tempfile.TemporaryDirectory() as folder:
        _settle(root)
        compiler = Path(folder, "python3.13")
        _write_compiler(compiler, made.python)
        told = {**os.environ, "PATH": f"{folder}:{os.environ['PATH']}:/usr/sbin"}
        install = ["sh", str(TOP / "firmware/install"), "--into", str(root), "--wheels", str(brought)]
        subprocess.run(install, env=told, check=True)
        _add(root)


def data(to: Path, *, megabytes: int = 64) -> None:
    """An empty data partition."""
    with to.open("wb") as image:
        image.truncate(megabytes << 20)
    subprocess.run(
        ["mkfs.ext4", "-q", "-F", "-L", "airladder", "-O", "^metadata_csum,^metadata_csum_seed", str(to)], check=True
    )


def _settle(root: Path) -> None:
    """What the first start of an unpacked system would do for half a minute, and every later one not."""
    for name, text in _ACCOUNTS.items():
        (root / "etc" / name).write_text(text)
    subprocess.run(["systemd-sysusers", f"--root={root}"], check=True)
    for folder in ("etc", "var"):
        (root / folder / ".updated").touch()  # systemd-update-done.service(8)


@contextmanager
def _mounted(image: Path) -> Iterator[Path]:
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["mount", "-o", "loop", image, folder], check=True)
        try:
            yield Path(folder)
        finally:
            subprocess.run(["umount", folder], check=True)


@contextmanager
def opened(image: Path) -> Iterator[Path]:
    """The files of a data partition, while no machine has it."""
    with _mounted(image) as root:
        yield root


def _write_compiler(to: Path, python: Path) -> None:
    """A command `python3.13`, by which `install` compiles for the board."""
    loader = next((python / "usr/lib64").glob("ld-linux-*.so.*"))
    libraries = next((python / "usr/lib").glob("*-linux-gnu"))
    run = f'exec {loader} --library-path {libraries} {python}/usr/bin/python3.13 "$@"'
    to.write_text(f"#!/bin/sh\nPYTHONHOME={python}/usr {run}\n")
    to.chmod(0o755)


def _add(root: Path) -> None:
    for name, text in ADDED.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text)
    wants = root / "etc/systemd/system/multi-user.target.wants"
    wants.mkdir(exist_ok=True)
    (wants / "virtual-bus.service").symlink_to("../virtual-bus.service")
    shutil.copy(BOARD / "pins.toml", root / "opt/airladder/base/airladder/devices/pins.toml")
