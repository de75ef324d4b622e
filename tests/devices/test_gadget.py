"""The USB drives, against a folder that keeps the kernel's rules and a computer that is plugged in by the test."""

from __future__ import annotations

import errno
import itertools
from pathlib import Path

import pytest

from airladder.devices.gadget import ANSWER_S, QUIET_S, Gadget, Held, Lun
from airladder.devices.recorded_gadget import CONTROLLER, RecordedGadget
from airladder.faults import Fault


@pytest.fixture
def gadget(tmp_path: Path) -> RecordedGadget:
    return RecordedGadget(tmp_path)


@pytest.fixture
def image(tmp_path: Path) -> Path:
    path = tmp_path / "out.img"
    path.write_bytes(b"an image")
    return path


def tree(folder: Path) -> dict[str, str]:
    """Every file below the gadget, and what it says."""
    return {
        path.relative_to(folder).as_posix(): path.read_text().strip()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.is_symlink()
    }


def test_the_drives_are_made_as_the_kernel_wants_them(gadget: RecordedGadget, tmp_path: Path) -> None:
    """The names and values are those of the kernel's Documentation/usb/gadget_configfs.rst and mass-storage.rst."""
    gadget.open()
    made = tree(tmp_path / "usb_gadget" / "airladder")
    assert made["idVendor"] == "0x1d6b"
    assert made["functions/mass_storage.0/lun.0/ro"] == "1"
    assert made["functions/mass_storage.0/lun.1/ro"] == "0"
    assert {made[f"functions/mass_storage.0/lun.{n}/removable"] for n in (0, 1)} == {"1"}
    assert made["UDC"] == CONTROLLER
    link = tmp_path / "usb_gadget/airladder/configs/c.1/mass_storage.0"
    assert link.resolve() == (tmp_path / "usb_gadget/airladder/functions/mass_storage.0").resolve()


def test_nothing_in_it_tells_one_box_from_another(gadget: RecordedGadget, tmp_path: Path) -> None:
    gadget.open()
    (tmp_path / "other").mkdir()
    other = RecordedGadget(tmp_path / "other")
    other.open()
    assert tree(tmp_path / "usb_gadget") == tree(tmp_path / "other" / "usb_gadget")


def test_what_an_earlier_start_left_is_used(gadget: RecordedGadget, image: Path, tmp_path: Path) -> None:
    gadget.open()
    gadget.put(Lun.OUT, image)
    before = tree(tmp_path / "usb_gadget")
    gadget.open()
    assert tree(tmp_path / "usb_gadget") == before


def test_an_image_is_put_in_taken_out_and_ejected(gadget: RecordedGadget, image: Path) -> None:
    gadget.open()
    assert not gadget.holds(Lun.OUT)
    gadget.put(Lun.OUT, image)
    assert (gadget.holds(Lun.OUT), gadget.image(Lun.OUT), gadget.image(Lun.IN)) == (True, image, None)
    gadget.eject(Lun.OUT)
    assert not gadget.holds(Lun.OUT)
    gadget.put(Lun.OUT, image)
    gadget.put(Lun.OUT, None)
    assert not gadget.holds(Lun.OUT)


def test_a_computer_that_forbids_it_keeps_the_image(gadget: RecordedGadget, image: Path) -> None:
    gadget.open()
    gadget.put(Lun.IN, image)
    gadget.forbids = True
    with pytest.raises(Held, match=r"still has the drive; eject it there first\.$"):
        gadget.put(Lun.IN, None)
    assert gadget.image(Lun.IN) == image


def test_only_a_computer_that_has_set_the_box_up_is_there(gadget: RecordedGadget) -> None:
    gadget.open()
    assert not gadget.attached
    gadget.plug()
    assert gadget.attached
    gadget.sleep()
    assert gadget.attached
    gadget.unplug()
    assert not gadget.attached
    gadget.plug()
    gadget.lose()
    assert not gadget.attached


def test_a_kernel_without_gadgets_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(Fault, match=r"kernel makes no USB drives \(.*usb_gadget is missing\); wanted libcomposite"):
        Gadget(tmp_path / "usb_gadget", tmp_path / "udc").open()


def test_a_socket_that_cannot_be_a_drive_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "usb_gadget").mkdir()
    with pytest.raises(Fault, match=r"no USB socket that can be a drive \(no device controller in"):
        Gadget(tmp_path / "usb_gadget", tmp_path / "udc").open()


def test_a_kernel_that_refuses_is_one_sentence(gadget: RecordedGadget, image: Path) -> None:
    gadget.broken = errno.EROFS
    with pytest.raises(Fault, match=r"cannot be a USB drive now \(as it was told\); all else works"):
        gadget.open()
    gadget.broken = 0
    gadget.open()
    gadget.broken = errno.ENODEV
    with pytest.raises(Fault, match=r"cannot be a USB drive now"):
        gadget.put(Lun.OUT, image)


def test_an_image_that_is_not_there_is_refused(gadget: RecordedGadget, tmp_path: Path) -> None:
    gadget.open()
    with pytest.raises(Fault, match=r"cannot be a USB drive now \(No such file or directory\)"):
        gadget.put(Lun.OUT, tmp_path / "nothing.img")


def test_closing_unbinds_it_and_may_be_done_twice(gadget: RecordedGadget, tmp_path: Path) -> None:
    gadget.open()
    gadget.close()
    assert (tmp_path / "usb_gadget/airladder/UDC").read_text().strip() == ""
    assert not (tmp_path / "usb_gadget/airladder/configs/c.1/mass_storage.0").exists()
    gadget.close()


def test_where_a_quiet_bus_does_not_answer_no_computer_is_there_any_more(tmp_path: Path) -> None:
    """Some controllers do not tell a box that lives on its own power that the cable is out."""
    now = [0.0]
    gadget = RecordedGadget(tmp_path, lambda: now[0])
    gadget.open()
    gadget.plug()
    assert gadget.attached
    gadget.fall_quiet()
    for now[0] in (1.0, QUIET_S, QUIET_S + 1.0, QUIET_S + ANSWER_S):
        assert gadget.attached
    now[0] = QUIET_S + ANSWER_S + 1.1
    assert not gadget.attached
    assert (tmp_path / "usb_gadget/airladder/UDC").read_text().strip() == CONTROLLER
    assert (tmp_path / "udc" / CONTROLLER / "state").read_text().strip() == "not attached"
    gadget.plug()
    assert gadget.attached


def test_a_computer_that_lets_its_bus_sleep_is_there_and_is_asked_ever_more_seldom(tmp_path: Path) -> None:
    """Seen with Debian's 6.1 as the computer: a drive is mounted, and its bus sleeps all the same."""
    now = [0.0]
    gadget = RecordedGadget(tmp_path, lambda: now[0])
    gadget.open()
    gadget.plug()
    asked = []
    for second in range(200):
        now[0] = float(second)
        gadget.sleep()
        assert gadget.attached
        if (tmp_path / "udc" / CONTROLLER / "state").read_text().strip() == "configured":
            asked.append(second)
    assert [after - before for before, after in itertools.pairwise(asked)] == [
        2 * QUIET_S + 1,
        4 * QUIET_S + 1,
        8 * QUIET_S + 1,
    ]


def test_a_computer_that_did_not_answer_is_asked_as_soon_as_ever_when_it_is_back(tmp_path: Path) -> None:
    now = [0.0]
    gadget = RecordedGadget(tmp_path, lambda: now[0])
    gadget.open()
    for _ in range(3):
        gadget.plug()
        gadget.fall_quiet()
        assert gadget.attached
        now[0] += QUIET_S
        assert gadget.attached
        now[0] += ANSWER_S
        assert not gadget.attached


def test_a_short_quiet_is_none(tmp_path: Path) -> None:
    now = [0.0]
    gadget = RecordedGadget(tmp_path, lambda: now[0])
    gadget.open()
    for now[0] in range(0, 100, 2):
        gadget.fall_quiet() if now[0] % 4 else gadget.plug()
        assert gadget.attached


def test_who_is_not_root_shows_what_root_prepared(gadget: RecordedGadget, image: Path, tmp_path: Path) -> None:
    files = gadget.prepare()
    assert tree(tmp_path / "usb_gadget" / "airladder")["UDC"] == ""  # nobody sees it yet
    before = set(tree(tmp_path / "usb_gadget"))
    gadget.given = frozenset(files)
    gadget.open()
    gadget.put(Lun.OUT, image)
    gadget.plug()
    assert (gadget.attached, gadget.holds(Lun.OUT), gadget.image(Lun.OUT)) == (True, True, image)
    gadget.close()
    assert set(tree(tmp_path / "usb_gadget")) == before  # root's folders stay
    gadget.open()
    assert [gadget.holds(lun) for lun in Lun] == [False, False]


def test_who_is_not_root_and_finds_nothing_prepared_is_told_so(gadget: RecordedGadget) -> None:
    gadget.given = frozenset()
    with pytest.raises(Fault, match=r"cannot be a USB drive now \(Permission denied\); all else works"):
        gadget.open()


def test_to_prepare_again_disturbs_no_computer_that_has_the_drive(gadget: RecordedGadget, image: Path) -> None:
    gadget.prepare()
    gadget.open()
    gadget.put(Lun.OUT, image)
    gadget.plug()
    gadget.prepare()
    assert (gadget.attached, gadget.image(Lun.OUT)) == (True, image)


def test_where_a_line_tells_of_the_cable_nobody_has_to_be_asked(tmp_path: Path) -> None:
    """A controller that says "configured" for ever, with the cable out."""
    out = [False]
    gadget = RecordedGadget(tmp_path, pulled=lambda: out[0])
    gadget.open()
    gadget.plug()
    assert gadget.attached
    out[0] = True
    assert not gadget.attached
    assert (tmp_path / "udc" / CONTROLLER / "state").read_text().strip() == "configured"
    out[0] = False
    assert gadget.attached


def test_a_cable_that_was_out_is_asked_as_soon_as_ever_when_it_is_in_again(tmp_path: Path) -> None:
    now, out = [0.0], [False]
    gadget = RecordedGadget(tmp_path, lambda: now[0], lambda: out[0])
    gadget.open()
    for _ in range(3):
        gadget.plug()
        gadget.fall_quiet()
        assert gadget.attached
        now[0] += QUIET_S
        assert gadget.attached  # and is asked
        out[0] = True
        assert not gadget.attached
        out[0] = False
        assert not gadget.attached  # whoever did not answer has not come back by the cable alone


def test_a_cable_that_was_out_leaves_no_patience_from_before(tmp_path: Path) -> None:
    """A computer that let its bus sleep, and answered; its cable is pulled, and the next one does not answer."""
    now, out = [0.0], [False]
    gadget = RecordedGadget(tmp_path, lambda: now[0], lambda: out[0])
    gadget.open()
    gadget.plug()
    for now[0] in (0.0, QUIET_S, QUIET_S + 1.0):
        gadget.sleep()
        assert gadget.attached  # asked once, it answers: from now on it is asked more seldom
    out[0] = True
    assert not gadget.attached
    out[0] = False
    gadget.plug()
    gadget.fall_quiet()
    assert gadget.attached
    now[0] += QUIET_S
    assert gadget.attached  # and is asked
    now[0] += ANSWER_S
    assert not gadget.attached
