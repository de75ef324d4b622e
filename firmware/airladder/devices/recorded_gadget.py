"""A stand-in for the kernel's USB drives, in a folder of its own, with a computer that can be plugged in by a test.

It keeps the rules that the kernel's mass storage keeps (drivers/usb/gadget/function/f_mass_storage.c and
storage_common.c): a new function has its first drive already; an image is opened when it is put in, and one that is
not there is refused; while a computer forbids the removal, the image cannot be changed; a drive that has an image
cannot be made read-only; an ejected drive is empty.
"""

from __future__ import annotations

import errno
import time
from collections.abc import Callable
from pathlib import Path

from airladder.devices.gadget import Gadget, Lun

CONTROLLER = "20980000.usb"
_FUNCTION = "functions/mass_storage.0"


class RecordedGadget(Gadget):
    """Drives in a folder.

    Parameters
    ----------
    folder : empty; what stands for the kernel's files is made in it
    monotonic : the time, s
    pulled : whether the cable is certainly out

    Attributes
    ----------
    forbids : whether the computer forbids the removal of the images
    broken : the error number that every write gives; 0 for none
    seen : the content of each image that was put in, by drive, as it was then
    given : the files that the program's user may write, who is not root then; None: it is root
    """

    def __init__(
        self,
        folder: Path,
        monotonic: Callable[[], float] = time.monotonic,
        pulled: Callable[[], bool] = lambda: False,
    ) -> None:
        super().__init__(folder / "usb_gadget", folder / "udc", monotonic, pulled)
        (folder / "usb_gadget").mkdir()
        (folder / "udc" / CONTROLLER).mkdir(parents=True)
        self._state = folder / "udc" / CONTROLLER / "state"
        self._state.write_text("not attached\n")
        self._suspended = folder / "udc" / CONTROLLER / "device" / "gadget.0" / "suspended"
        self._suspended.parent.mkdir(parents=True)
        self._suspended.write_text("0\n")
        self.forbids = False
        self._answers = False
        self.broken = 0
        self.given: frozenset[Path] | None = None
        self.seen: list[tuple[Lun, bytes | None]] = []

    def plug(self) -> None:
        """A computer is plugged in, and sets the box up."""
        self._state.write_text("configured\n")
        self._suspended.write_text("0\n")
        self._answers = True

    def sleep(self) -> None:
        """The computer lets the bus sleep, with the cable in; it wakes when the box comes anew."""
        self._state.write_text("suspended\n")
        self._suspended.write_text("1\n")

    def fall_quiet(self) -> None:
        """The cable is pulled, and the controller tells only that the bus has gone quiet."""
        self._suspended.write_text("1\n")
        self._answers = False

    def unplug(self) -> None:
        """The cable is pulled."""
        self._let_go()
        self._answers = False

    def _let_go(self) -> None:
        self._state.write_text("not attached\n")
        self._suspended.write_text("0\n")
        self.forbids = False

    def eject(self, lun: Lun) -> None:
        """The computer ejects a drive."""
        self._file(lun).write_text("\n")

    def image(self, lun: Lun) -> Path | None:
        """The image that is in a drive now."""
        name = self._file(lun).read_text().strip()
        return Path(name) if name else None

    def lose(self) -> None:
        """The controller is gone: its driver was taken out."""
        self._state.unlink()

    def _file(self, lun: Lun) -> Path:
        return self._top / f"{_FUNCTION}/lun.{lun.value}/file"

    def _make(self) -> None:
        """As the kernel does when the folder of a gadget is made: the folders in it are there at once."""
        if self.given is not None:
            raise PermissionError(errno.EACCES, "Permission denied")
        for folder in ("strings", "configs", _FUNCTION):
            (self._top / folder).mkdir(parents=True, exist_ok=True)
        if not (self._top / "UDC").exists():
            (self._top / "UDC").write_text("\n")
        for lun in Lun:
            if not (folder_of := self._file(lun).parent).is_dir():
                folder_of.mkdir()
                self._file(lun).write_text("\n")
        super()._make()

    def _unmake(self) -> None:
        if self.given is None:
            super()._unmake()

    def _read(self, name: str) -> str:
        return super()._read(name) if (self._top / name).exists() else ""

    def _write(self, name: str, text: str) -> None:
        if self.broken:
            raise OSError(self.broken, "as it was told")
        if self.given is not None and self._top / name not in self.given:
            raise PermissionError(errno.EACCES, "Permission denied")
        if name.endswith("/file"):
            self._put(Lun(int(name[-len("0/file")])), text)
        if name.endswith("/ro") and self._read(name.replace("/ro", "/file")):
            raise OSError(errno.EBUSY, "Device or resource busy")
        super()._write(name, text)
        if name == "UDC" and text == "":
            self._let_go()
        elif name == "UDC" and self._answers:
            self.plug()

    def _put(self, lun: Lun, image: str) -> None:
        if self.forbids and self._read(f"{_FUNCTION}/lun.{lun.value}/file"):
            raise OSError(errno.EBUSY, "Device or resource busy")
        self.seen.append((lun, Path(image).read_bytes() if image else None))
