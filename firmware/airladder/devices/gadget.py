"""The USB drives as the kernel makes them: mass storage by configfs.

Tried on Linux 6.1 and 6.12 in a virtual machine (`tests/acceptance/kernel`), where one kernel is both ends of the
cable; untested on hardware.

Two drives are offered: what goes out, which a computer may only read, and what comes in, which it may write. Each is
an image file that nobody else uses meanwhile; the file system that the log lies on is never shown to a computer.

Sources: the kernel's Documentation/usb/gadget_configfs.rst and mass-storage.rst, and
Documentation/ABI/testing/configfs-usb-gadget-mass-storage; drivers/usb/gadget/composite.c for ``suspended``: a box
that lives on its own power is not told by some controllers (dwc2 is one) that the cable is out, only that the bus has
gone quiet; where a line tells of the cable itself (`devices.cable`), that settles it. A computer that is there may
let its bus sleep too, with a drive mounted; so the box asks, by letting go and coming back as if its plug had been
pulled: who does not answer has gone. The numbers are the Linux Foundation's
for such gadgets, as is common practice; who sells boxes needs numbers of their own.

The folders are root's to make (configfs takes no other owner of a new one). On the box root prepares them and gives
the program the few files that it writes (`appliance.socket`); where the program is root, it makes what it needs.
"""

from __future__ import annotations

import errno
import time
from collections.abc import Callable
from contextlib import suppress
from enum import IntEnum
from pathlib import Path

from airladder.faults import Fault

CONFIGFS = Path("/sys/kernel/config/usb_gadget")
CONTROLLERS = Path("/sys/class/udc")
NAME = "airladder"

_ENGLISH = "strings/0x409"
_FUNCTION = "functions/mass_storage.0"
_CONFIG = "configs/c.1"
_ATTRIBUTES = {
    "idVendor": "0x1d6b",
    "idProduct": "0x0104",
    "bcdUSB": "0x0200",
    f"{_ENGLISH}/manufacturer": "Airladder",
    f"{_ENGLISH}/product": "Airladder",
    f"{_ENGLISH}/serialnumber": "0",  # the same in all: nothing here tells one box from another
    f"{_CONFIG}/MaxPower": "250",
}
_ATTACHED = ("configured", "suspended")

QUIET_S = 10.0
"""So long a bus may be quiet before the box asks whether a computer is there; after an answer, twice as long."""

ANSWER_S = 5.0
"""So long a computer has to find the box anew; one that sleeps deeper finds it when it wakes."""


class Lun(IntEnum):
    """The drives by their numbers."""

    OUT = 0
    IN = 1


def _file(lun: Lun) -> str:
    return f"{_FUNCTION}/lun.{lun.value}/file"


class Held(Fault):
    """The computer has the drive and does not let it go now."""


class Gadget:
    """The two drives.

    Parameters
    ----------
    configfs : where the kernel's gadgets are made
    controllers : where its USB device controllers are listed
    monotonic : the time, s
    pulled : whether the cable is certainly out (`devices.cable`); never, where no line tells

    Raises
    ------
    Fault : from any method, when the kernel has no gadget or refuses.
    """

    def __init__(
        self,
        configfs: Path = CONFIGFS,
        controllers: Path = CONTROLLERS,
        monotonic: Callable[[], float] = time.monotonic,
        pulled: Callable[[], bool] = lambda: False,
    ) -> None:
        self._top = configfs / NAME
        self._controllers, self._monotonic, self._pulled = controllers, monotonic, pulled
        self._controller = ""
        self._quiet_since: float | None = None
        self._asked_at: float | None = None
        self._patience_s = QUIET_S

    def prepare(self) -> tuple[Path, ...]:
        """Make the drives, empty, and show them to nobody yet; the files that are written from then on.

        Raises
        ------
        Fault : when the kernel has no gadgets, or refuses.
        """
        self._must_be_known()
        try:
            self._make()
        except OSError as error:
            raise self._fault(error) from error
        return tuple(self._top / name for name in ("UDC", *(_file(lun) for lun in Lun)))

    def open(self) -> None:
        """Show the drives, empty, to whatever computer is there; what an earlier start left is used."""
        self._must_be_known()
        self._controller = self._first_controller()
        if not self._is_prepared():
            self.prepare()
        try:
            if self._read("UDC") == "":
                for lun in Lun:
                    self._write(_file(lun), "")
            if self._read("UDC") != self._controller:
                self._write("UDC", self._controller)
        except OSError as error:
            raise self._fault(error) from error

    def put(self, lun: Lun, image: Path | None) -> None:
        """Put an image into a drive in the place of the one before; None: take it out.

        Raises
        ------
        Held : when the computer does not let the one before go.
        """
        try:
            self._write(_file(lun), "" if image is None else str(image.resolve()))
        except OSError as error:
            if error.errno == errno.EBUSY:
                raise Held("The computer still has the drive; eject it there first.") from error
            raise self._fault(error) from error

    def holds(self, lun: Lun) -> bool:
        """Whether an image is in the drive: a computer that ejects it takes it out."""
        try:
            return self._read(_file(lun)) != ""
        except OSError as error:
            raise self._fault(error) from error

    @property
    def attached(self) -> bool:
        """Whether a computer has set the box up as a drive: a charger never does.

        Where the bus has been quiet for long, the computer is asked; until it had time to answer it is there.
        """
        if self._pulled():
            self._quiet_since, self._asked_at, self._patience_s = None, None, QUIET_S
            return False
        try:
            if (self._controllers / self._controller / "state").read_text().strip() in _ATTACHED:
                if self._quiet_seconds() >= self._patience_s:
                    self._ask()
                return True
        except OSError:  # the controller itself has gone, and the computer with it
            return False
        self._quiet_since = None
        if self._asked_at is not None and self._monotonic() - self._asked_at < ANSWER_S:
            return True
        self._asked_at, self._patience_s = None, QUIET_S
        return False

    def _ask(self) -> None:
        self._quiet_since, self._asked_at = None, self._monotonic()
        self._patience_s *= 2.0
        self._write("UDC", "")
        self._write("UDC", self._controller)

    def _quiet_seconds(self) -> float:
        marks = (self._controllers / self._controller).glob("device/gadget*/suspended")
        if all(mark.read_text().strip() != "1" for mark in marks):
            self._quiet_since = None
            return 0.0
        if self._quiet_since is None:
            self._quiet_since = self._monotonic()
        return self._monotonic() - self._quiet_since

    def close(self) -> None:
        """Take the drives away, as far as they are ours to take; harmless when they are gone already."""
        if not self._top.is_dir():
            return
        with suppress(OSError):
            self._write("UDC", "")
        self._unmake()

    def _unmake(self) -> None:
        with suppress(OSError):
            self._link.unlink()
        for folder in (_CONFIG, f"{_FUNCTION}/lun.1", _FUNCTION, _ENGLISH, "."):
            with suppress(OSError):
                (self._top / folder).rmdir()

    def _must_be_known(self) -> None:
        if not self._top.parent.is_dir():
            raise Fault(
                f"This computer's kernel makes no USB drives ({self._top.parent} is missing); wanted libcomposite and"
                " configfs. All else works; the log can be had with: airladder drive build."
            )

    def _first_controller(self) -> str:
        names = sorted(path.name for path in self._controllers.iterdir()) if self._controllers.is_dir() else []
        if not names:
            raise Fault(
                "This computer has no USB socket that can be a drive (no device controller in"
                f" {self._controllers}); all else works."
            )
        return names[0]

    @property
    def _link(self) -> Path:
        """What is made last."""
        return self._top / _CONFIG / "mass_storage.0"

    def _is_prepared(self) -> bool:
        return self._link.is_symlink()

    def _make(self) -> None:
        for folder in (".", _ENGLISH, _CONFIG, _FUNCTION, f"{_FUNCTION}/lun.{Lun.IN.value}"):
            (self._top / folder).mkdir(exist_ok=True)
        if self._read("UDC") == "":  # what is shown to a computer cannot be changed
            for name, value in _ATTRIBUTES.items():
                self._write(name, value)
            for lun in Lun:
                self._set_up(lun)
        with suppress(FileExistsError):
            self._link.symlink_to(self._top / _FUNCTION)

    def _set_up(self, lun: Lun) -> None:
        """Only an empty drive can be made read-only."""
        folder = f"{_FUNCTION}/lun.{lun.value}"
        self._write(_file(lun), "")
        self._write(f"{folder}/removable", "1")
        self._write(f"{folder}/ro", "1" if lun is Lun.OUT else "0")

    def _read(self, name: str) -> str:
        return (self._top / name).read_text().strip()

    def _write(self, name: str, text: str) -> None:
        (self._top / name).write_text(f"{text}\n")

    def _fault(self, error: OSError) -> Fault:
        return Fault(
            f"The box cannot be a USB drive now ({error.strerror or error}); all else works, and it is tried again at"
            " the next start."
        )
