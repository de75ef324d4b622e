"""The claims about the USB drives, in the virtual machine: ``python -m acceptance.kernel.prove FOLDER``."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from acceptance.kernel import computer, exchange, i2c, scsi
from acceptance.kernel.claims import Claims, say
from acceptance.kernel.images import FILES
from airladder.appliance.socket import prepare, remove
from airladder.devices.gadget import CONFIGFS, CONTROLLERS, NAME, Gadget, Held, Lun
from airladder.drive import incoming, outgoing
from airladder.faults import Fault

NOBODY = 65534
ROUTINE = "# an invented routine\n"


def main(folder: Path) -> None:
    """Every claim; the images of `images.make` lie in `folder`."""
    say(f"kernel {os.uname().release}, Python {sys.version.split()[0]}")
    claims = Claims()
    gadget = Gadget()
    out, newer, brought = (folder / name for name in ("out.img", "newer.img", "in.img"))
    with claims.part("the drives are made"):
        opened(claims, gadget)
    with claims.part("the drive that goes out"):
        gadget.put(Lun.OUT, out)
        goes_out(claims, gadget, out)
    with claims.part("the drive that comes in"):
        gadget.put(Lun.IN, brought)
        comes_in(claims, gadget, brought)
    with claims.part("a change of the medium"):
        gadget.put(Lun.OUT, out)
        changed(claims, gadget, newer)
    with claims.part("a computer that forbids it"):
        gadget.put(Lun.IN, brought)
        forbidden(claims, gadget, brought)
    with claims.part("a cable that is pulled"):
        gadget.put(Lun.IN, brought)
        pulled(claims, gadget, brought)
    with claims.part("a computer that sleeps"):
        gadget.put(Lun.OUT, out)
        slept(claims, gadget, newer)
    with claims.part("ends and begins"):
        ended(claims, gadget, out)
    with claims.part("a program that is not root"):
        let(claims, folder)
    with claims.part("who is at the socket"):
        exchange.prove(claims, folder)
    with claims.part("the I2C bus"):
        i2c.prove(claims, Path("/tmp/i2cbus"))
    claims.close()


def opened(claims: Claims, gadget: Gadget) -> None:
    """From nothing to two empty drives."""
    claims.that("before, no computer is attached", gadget.attached, False)
    gadget.open()
    claims.soon("a computer that has set it up is attached", lambda: gadget.attached)
    claims.that("the drives are empty at first", [gadget.holds(lun) for lun in Lun], [False, False])
    claims.that("the computer sees no media", [computer.size(lun) for lun in Lun], [0, 0])
    claims.that("it takes both for removable", [computer.removable(lun) for lun in Lun], [True, True])
    gadget.open()
    claims.that("to open them again is harmless", gadget.attached)


def goes_out(claims: Claims, gadget: Gadget, image: Path) -> None:
    """Read-only, and whole."""
    before = image.read_bytes()
    claims.that("an image that was put in is held", gadget.holds(Lun.OUT))
    claims.soon("the computer finds it", lambda: computer.size(Lun.OUT), len(before))
    claims.that("its name is the outgoing one", computer.label(Lun.OUT), outgoing.LABEL)
    claims.that("the computer takes it for read-only", computer.read_only(Lun.OUT))
    with computer.mounted(Lun.OUT) as files:
        found = {path.relative_to(files).as_posix(): path.read_bytes() for path in files.rglob("*") if path.is_file()}
        claims.that("all files are on it, byte for byte", found == FILES)
        times = {datetime.fromtimestamp(path.stat().st_mtime) for path in files.rglob("*") if path.is_file()}
        claims.that("with the time they were given", times, {datetime(2027, 5, 4, 18, 0)})
    disk = computer.disk(Lun.OUT)
    claims.refused("it cannot be opened for writing", lambda: os.close(os.open(disk, os.O_WRONLY)), OSError)
    claims.refused("it cannot be mounted for writing", lambda: mount_for_writing(Lun.OUT), Refusal)
    answer = scsi.write(disk, 100, bytes(scsi.SECTOR))
    claims.that("a write past the computer's kernel is refused by the drive", answer, scsi.DATA_PROTECT)
    claims.that("and the image is what it was", image.read_bytes() == before)
    read_only = CONFIGFS / NAME / "functions/mass_storage.0/lun.0/ro"
    claims.refused("a drive that holds an image stays read-only", lambda: read_only.write_text("0"), OSError)


class Refusal(OSError):
    """The mount was refused."""


def mount_for_writing(lun: Lun) -> None:
    """Mount it, and complain where that cannot be."""
    try:
        with computer.mounted(lun, write=True) as files:
            (files / "mine.txt").write_text("mine")
    except subprocess.CalledProcessError as error:
        raise Refusal(error.stderr.decode().strip()) from error
    except OSError as error:
        raise Refusal(error) from error


def comes_in(claims: Claims, gadget: Gadget, image: Path) -> None:
    """Writable, and what was written lies in the image."""
    claims.soon("the computer finds it", lambda: computer.size(Lun.IN), image.stat().st_size)
    claims.that("its name is the incoming one", computer.label(Lun.IN), incoming.LABEL)
    claims.that("the computer takes it for writable", computer.read_only(Lun.IN), False)
    claims.that("as it is, it brings nothing", incoming.take(image).routines, ())
    written = image.stat().st_mtime_ns
    with computer.mounted(Lun.IN, write=True) as files:
        (files / "routines" / "mine of today.toml").write_text(ROUTINE)
        os.sync()
        claims.soon("after a sync the image bears a new time", lambda: image.stat().st_mtime_ns > written)
        claims.that("and what was written can be taken in", ROUTINE in dict(incoming.take(image).routines).values())
    claims.that("an eject is done", computer.eject(Lun.IN), 0)
    claims.soon("what was ejected is not held", lambda: gadget.holds(Lun.IN), False)
    claims.that("while the other still is", gadget.holds(Lun.OUT))
    claims.soon("the computer sees no medium", lambda: computer.size(Lun.IN), 0)
    claims.that("the routine can be taken in", incoming.take(image).routines, (("mine of today.toml", ROUTINE),))


def changed(claims: Claims, gadget: Gadget, newer: Path) -> None:
    """Put in the place of the one before, also while no computer forbids it."""
    computer.label(Lun.OUT)  # the computer knows the old one well
    gadget.put(Lun.OUT, newer)
    claims.that("a newer one can be put in its place", gadget.holds(Lun.OUT))

    def names() -> set[str]:
        with computer.mounted(Lun.OUT) as files:
            return {path.name for path in files.iterdir()}

    claims.soon("the computer finds the newer files, with no cable pulled", lambda: "newer.txt" in names())
    claims.that("what was put in later is read-only too", computer.read_only(Lun.OUT))
    gadget.put(Lun.OUT, None)
    claims.that("taken out, it is not held", gadget.holds(Lun.OUT), False)
    claims.soon("and the computer sees no medium", lambda: computer.size(Lun.OUT), 0)
    claims.refused("an image that is not there is refused", lambda: gadget.put(Lun.OUT, Path("/none.img")), Fault)
    gadget.put(Lun.OUT, newer)
    claims.soon("an empty drive can be filled again", lambda: computer.size(Lun.OUT), newer.stat().st_size)


def forbidden(claims: Claims, gadget: Gadget, image: Path) -> None:
    """What the computer has mounted stays in."""
    claims.soon("the computer finds it", lambda: computer.size(Lun.IN), image.stat().st_size)
    with computer.mounted(Lun.IN, write=True):
        claims.refused("what is mounted cannot be taken out", lambda: gadget.put(Lun.IN, None), Held)
        claims.refused("nor can another be put in", lambda: gadget.put(Lun.IN, image), Held)
        claims.that("it is held", gadget.holds(Lun.IN))
    gadget.put(Lun.IN, None)
    claims.that("what is mounted no more can be taken out", gadget.holds(Lun.IN), False)
    gadget.put(Lun.IN, image)
    claims.soon("the computer finds it again", lambda: computer.size(Lun.IN), image.stat().st_size)
    disk = computer.disk(Lun.IN)
    with disk.open("rb"):  # whoever has it open has locked it
        answer = scsi.eject(disk)
    claims.that("the drive itself does not eject what is locked", answer, scsi.REMOVAL_PREVENTED)


def pulled(claims: Claims, gadget: Gadget, image: Path) -> None:
    """A cable pulled while the drive is mounted must not lock it for ever."""
    claims.soon("the computer finds it", lambda: computer.size(Lun.IN), image.stat().st_size)
    with computer.mounted(Lun.IN, write=True) as files:
        (files / "routines" / "in haste.toml").write_text(ROUTINE)
        os.sync()
        claims.refused("while it is mounted it is held", lambda: gadget.put(Lun.IN, None), Held)
        computer.pull()
        claims.soon("once the cable is out it can be taken out", lambda: taken_out(gadget))
    names = [name for name, _ in incoming.take(image).routines]
    claims.that("what was synchronised before can be taken in", "in haste.toml" in names)
    claims.that("a limit of this controller: it never takes its word back", state(), "configured")
    gadget.put(Lun.IN, image)
    computer.plug()
    claims.soon("with the cable in again the computer finds it", lambda: computer.size(Lun.IN), image.stat().st_size)


def slept(claims: Claims, gadget: Gadget, newer: Path) -> None:
    """A computer that sleeps is attached, and a drive can be changed under it when nothing is locked."""
    computer.look(Lun.OUT)
    with computer.asleep():
        claims.soon("the kernel tells of a bus that is suspended", suspended, ["1"])
        claims.that("but not in the controller's word, so a computer that sleeps is attached", gadget.attached)
        gadget.put(Lun.OUT, newer)
        claims.that("a drive that is not locked can be changed", gadget.holds(Lun.OUT))
    claims.soon("awake, the computer finds the newer one", lambda: computer.size(Lun.OUT), newer.stat().st_size)
    claims.soon("and the kernel tells that the bus is awake", suspended, ["0"])


def taken_out(gadget: Gadget) -> bool:
    """Whether it let go."""
    try:
        gadget.put(Lun.IN, None)
    except Held:
        return False
    return True


def state() -> str:
    """The controller's own word."""
    return next(CONTROLLERS.iterdir()).joinpath("state").read_text().strip()


def suspended() -> list[str]:
    """What the kernel's composite gadget says of the bus."""
    return [path.read_text().strip() for path in CONTROLLERS.glob("*/device/gadget*/suspended")]


def ended(claims: Claims, gadget: Gadget, image: Path) -> None:
    """Nothing is left, whoever began it."""
    gadget.put(Lun.OUT, image)
    another = Gadget()  # as after a crash: the kernel still has what the process before made
    another.open()
    claims.that("what an earlier start left is used", another.holds(Lun.OUT))
    with computer.mounted(Lun.OUT):  # and locked
        another.close()
    claims.that("closed under a computer that forbids it, nothing is left", (CONFIGFS / NAME).exists(), False)
    claims.refused("closed drives take nothing", lambda: another.put(Lun.OUT, image), Fault)
    another.close()
    claims.that("to close them again is harmless", (CONFIGFS / NAME).exists(), False)
    for made in ("", "strings/0x409", "functions/mass_storage.0"):
        (CONFIGFS / NAME / made).mkdir()
    another.open()
    claims.that("what was half made is made whole", [another.holds(lun) for lun in Lun], [False, False])
    claims.soon("and the computer finds it", lambda: another.attached)
    another.close()


def let(claims: Claims, folder: Path) -> None:
    """What root prepared is shown by a process that is not root: `nobody`, who has no capability."""
    image = folder / "out.img"
    before = as_nobody(lambda: Gadget().open())
    claims.that("unprepared, it is told that it may not", "Permission denied" in before, True)
    owned = prepare("nobody")
    claims.that("root gives it three files", [file.owner() for file in owned], ["nobody"] * 3)
    others = [file for file in (CONFIGFS / NAME).rglob("*") if file.is_file() and file not in owned]
    claims.that("and no other", {file.owner() for file in others}, {"root"})

    def showing() -> None:
        gadget = Gadget()
        gadget.open()
        gadget.put(Lun.OUT, image)
        if not gadget.holds(Lun.OUT):
            raise Fault("it does not hold what was put in")

    claims.that("then it shows the drives and puts an image in", as_nobody(showing), "")
    claims.soon("which the computer finds", lambda: computer.size(Lun.OUT), image.stat().st_size)
    claims.that("it takes it out", as_nobody(lambda: Gadget().put(Lun.OUT, None)), "")
    claims.soon("and the computer sees no medium", lambda: computer.size(Lun.OUT), 0)
    product = CONFIGFS / NAME / "idProduct"
    claims.that("it changes nothing else", "Permission denied" in as_nobody(lambda: product.write_text("1")), True)
    claims.that("it lets go", as_nobody(lambda: Gadget().close()), "")
    claims.that("root's folders stay for the next start", (CONFIGFS / NAME / "UDC").read_text().strip(), "")
    claims.that("the next start shows the drives again", as_nobody(lambda: Gadget().open()), "")
    remove()
    claims.that("root takes them away", (CONFIGFS / NAME).exists(), False)


def as_nobody(do: Callable[[], object]) -> str:
    """Do it in a process that is not root; what it said of it, nothing when it went well."""
    reading, writing = os.pipe()
    if (child := os.fork()) == 0:
        said = ""
        try:
            os.setgroups([])
            os.setgid(NOBODY)
            os.setuid(NOBODY)
            do()
        except (OSError, Fault) as error:
            said = str(error)
        finally:
            os.write(writing, said.encode())
            os._exit(0)
    os.close(writing)
    os.waitpid(child, 0)
    with os.fdopen(reading) as answer:
        return answer.read()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
