"""The USB socket is prepared by root for a user who is not."""

from __future__ import annotations

import errno
import getpass
import os
from pathlib import Path

import pytest

from airladder.appliance.socket import prepare, remove
from airladder.devices.gadget import Lun
from airladder.devices.recorded_gadget import RecordedGadget
from airladder.faults import BadInput, Fault


class Owners:
    """Remembers who was given what; refuses when it is told to."""

    def __init__(self, refuses: bool = False) -> None:
        self.given: dict[Path, tuple[int, int]] = {}
        self._refuses = refuses

    def __call__(self, file: Path, user: int, group: int) -> None:
        """As os.chown."""
        if self._refuses:
            raise PermissionError(errno.EPERM, "Operation not permitted")
        assert file.is_file()
        self.given[file] = (user, group)


@pytest.fixture
def gadget(tmp_path: Path) -> RecordedGadget:
    return RecordedGadget(tmp_path)


def test_the_user_is_given_what_the_program_writes_and_nothing_more(gadget: RecordedGadget, tmp_path: Path) -> None:
    owners = Owners()
    prepare(getpass.getuser(), gadget, owners)
    gadget.given = frozenset(owners.given)  # from here on a write elsewhere is refused
    image = tmp_path / "out.img"
    image.touch()
    gadget.open()
    gadget.put(Lun.OUT, image)
    gadget.put(Lun.OUT, None)
    gadget.put(Lun.IN, image)
    gadget.close()
    top = tmp_path / "usb_gadget/airladder"
    luns = [top / f"functions/mass_storage.0/lun.{lun.value}/file" for lun in Lun]
    assert owners.given == dict.fromkeys((top / "UDC", *luns), (os.getuid(), os.getgid()))


def test_what_was_prepared_is_taken_away_by_root(gadget: RecordedGadget, tmp_path: Path) -> None:
    prepare(getpass.getuser(), gadget, Owners())
    link = tmp_path / "usb_gadget/airladder/configs/c.1/mass_storage.0"
    assert link.is_symlink()
    remove(gadget)
    assert not link.is_symlink()
    remove(gadget)


def test_a_user_that_is_not_there_is_one_sentence(gadget: RecordedGadget, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"^There is no user 'nobody at all' here; wanted is the one that"):
        prepare("nobody at all", gadget, Owners())
    assert not (tmp_path / "usb_gadget/airladder").exists()


def test_who_is_not_root_is_told_to_be(gadget: RecordedGadget) -> None:
    with pytest.raises(Fault, match=r"UDC cannot be given to \S+ \(Operation not permitted\); run this as root\.$"):
        prepare(getpass.getuser(), gadget, Owners(refuses=True))
