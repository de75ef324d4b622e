"""The drive's image and the socket."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from airladder.drive import image
from airladder.drive.geometry import BEFORE
from airladder.faults import Fault
from airladder.selftest.drives import check_image, check_socket
from airladder.selftest.result import Result, Verdict
from jig import Diary


def test_a_drive_is_built_and_clean_and_nothing_is_left(tmp_path: Path) -> None:
    found = check_image(tmp_path, Diary())
    assert found.verdict is Verdict.OK
    assert found.figures["size_mib"] == 17
    assert list(tmp_path.iterdir()) == []


def test_a_drive_that_the_disk_has_spoilt_fails(tmp_path: Path) -> None:
    def spoilt(files: Path, made: Path, label: str, when: datetime) -> None:
        image.build(files, made, label, when)
        with made.open("r+b") as file:
            file.seek(BEFORE + 4 * 512)  # within the first file allocation table
            file.write(b"\x55" * 512)

    found = check_image(tmp_path, Diary(), spoilt)
    assert found.verdict is Verdict.FAILED
    assert "fsck.vfat" in found.says


def test_a_tool_that_is_missing_and_a_disk_that_takes_nothing_fail(tmp_path: Path) -> None:
    def missing(files: Path, made: Path, label: str, when: datetime) -> None:
        raise Fault("The drive needs mkfs.vfat, which is not on this computer; install dosfstools.")

    def full(files: Path, made: Path, label: str, when: datetime) -> None:
        raise OSError(28, "No space left on device")

    assert check_image(tmp_path, Diary(), missing).says.startswith("The drive needs mkfs.vfat")
    found = check_image(tmp_path, Diary(), full)
    assert found.says == f"No drive can be built in {tmp_path} (No space left on device)."
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_not_made(tmp_path: Path) -> None:
    assert check_image(tmp_path / "nowhere", Diary()).verdict is Verdict.NOT_THERE
    assert list(tmp_path.iterdir()) == []


def socket(folder: Path, *, state: str | None, bound: str | None) -> Result:
    """As the kernel shows it: a controller with a state, a gadget bound to one."""
    controllers, gadgets = folder / "udc", folder / "usb_gadget"
    if state is not None:
        (controllers / "20980000.usb").mkdir(parents=True)
        (controllers / "20980000.usb" / "state").write_text(f"{state}\n")
    if bound is not None:
        (gadgets / "airladder").mkdir(parents=True)
        (gadgets / "airladder" / "UDC").write_text(f"{bound}\n")
    return check_socket(on_board=True, controllers=controllers, configfs=gadgets)


@pytest.mark.parametrize(
    ("state", "bound", "verdict", "told"),
    [
        ("configured", "20980000.usb", Verdict.OK, "a computer is attached"),
        ("not attached", "20980000.usb", Verdict.OK, "no computer is attached"),
        ("not attached", "", Verdict.OK, "no computer is attached"),
        ("not attached", "other.usb", Verdict.FAILED, "bound to other.usb"),
        ("not attached", None, Verdict.NOT_THERE, "sudo airladder socket prepare"),
        (None, None, Verdict.NOT_THERE, "dtoverlay=dwc2,dr_mode=peripheral"),
    ],
)
def test_the_socket_is_told_as_the_kernel_shows_it(
    tmp_path: Path, state: str | None, bound: str | None, verdict: Verdict, told: str
) -> None:
    found = socket(tmp_path, state=state, bound=bound)
    assert found.verdict is verdict
    assert told in found.says
