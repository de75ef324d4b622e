"""What goes out by USB: the image of a drive is built and found clean; and the socket that shows it to a computer."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from airladder.devices.clock import Clock
from airladder.devices.gadget import CONFIGFS, CONTROLLERS, NAME
from airladder.drive import image, outgoing
from airladder.drive.geometry import BEFORE
from airladder.drive.tools import run
from airladder.faults import Fault
from airladder.journal.log import Log
from airladder.selftest.keeping import set_aside, trial_head, trial_tries
from airladder.selftest.result import Result, failed, not_there, well

Build = Callable[[Path, Path, str, datetime], None]

_ATTACHED = ("configured", "suspended")


def check_image(folder: Path, clock: Clock, build: Build = image.build) -> Result:
    """Build the drive of a small log, and have fsck.vfat look at what lies in the image.

    Parameters
    ----------
    folder : on the disk of the log; all is made in a folder of its own there, which is taken away again
    clock : the time
    build : makes the image of a folder
    """
    if not folder.is_dir():
        return not_there(f"There is no folder {folder} yet, where drives are to be built.")
    begun = clock.monotonic()
    try:
        with set_aside(folder) as aside:
            size = _built(aside, clock, build)
    except Fault as fault:
        return failed(str(fault))
    except OSError as error:
        return failed(f"No drive can be built in {folder} ({error.strerror}).")
    took = clock.monotonic() - begun
    mib = size // (1024 * 1024)
    return well(
        f"A drive of {mib} MiB was built in {took:.1f} s, and fsck.vfat finds it clean.",
        size_mib=mib,
        built_s=round(took, 2),
    )


def _built(aside: Path, clock: Clock, build: Build) -> int:
    files, made, volume = aside / "files", aside / "out.img", aside / "volume"
    files.mkdir()
    log = Log(files / "log.sqlite")
    try:
        log.begin(trial_head(clock), trial_tries(1)[0])
    finally:
        log.close()
    when = clock.wall().replace(tzinfo=None)
    build(files, made, outgoing.LABEL, when)
    with made.open("rb") as whole, volume.open("wb") as part:
        whole.seek(BEFORE)  # fsck.vfat wants the volume alone, without the partition table
        while block := whole.read(1024 * 1024):
            part.write(block)
    run(["fsck.vfat", "-n", str(volume)], when)
    return made.stat().st_size


def check_socket(*, on_board: bool, controllers: Path = CONTROLLERS, configfs: Path = CONFIGFS) -> Result:
    """Look at what the kernel has for being a drive, without changing it.

    Parameters
    ----------
    on_board : whether this computer is a box
    controllers, configfs : where the kernel lists its device controllers, and where gadgets are made
    """
    names = sorted(path.name for path in controllers.iterdir()) if controllers.is_dir() else []
    gadget = configfs / NAME
    prepared = gadget.is_dir()
    state = _text(controllers / names[0] / "state") if names else ""
    figures = {"controllers": names, "prepared": prepared, "state": state or None}
    if not names:
        advice = "; wanted dtoverlay=dwc2,dr_mode=peripheral in the boot configuration" if on_board else ""
        return not_there(f"No USB socket here can be a drive{advice}; the log goes out on a stick, too.", **figures)
    if not prepared:
        return not_there(
            f"The socket {names[0]} can be a drive, but none is prepared: `sudo airladder socket prepare --owner"
            " airladder`.",
            **figures,
        )
    if _text(gadget / "UDC") not in ("", names[0]):
        return failed(f"The drives are bound to {_text(gadget / 'UDC')}, which is not there any more.", **figures)
    there = "a computer is attached" if state in _ATTACHED else "no computer is attached"
    return well(f"The socket {names[0]} is prepared; {there}.", **figures)


def _text(path: Path) -> str:
    try:
        return path.read_text().strip()
    except OSError:
        return ""
