"""A virtual board: arm64 Debian under qemu, running a job of ours and telling what it says line by line.

    with Machine("echo hello; python3 -c 'import airladder'", lent=OURS) as machine:
        machine.until("hello")
        code = machine.wait()

The job is a shell script. It runs as root with nothing else beside it, or, with `systemd`, as a service of a whole
system. What it says on its standard output and error comes out here. The root is new at every start.

Conventions
-----------
Paths that are lent are read-only inside. Disks are ``/dev/vdb`` and on, in their order. Buttons are lines of qemu's
PL061, as `pins.toml` says, and high while they are let go. Sources: qemu's documentation, "QTest Device Emulation
Testing Framework" (set_irq_in), "QEMU QMP Reference Manual" (qom-list), hw/gpio/pl061.c.
"""

from __future__ import annotations

import queue
import re
import shutil
import subprocess
import tempfile
import threading
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from types import TracebackType

from airladder.devices.pins import pin_map
from airladder.practice.presses import Button
from board.base import MACHINE, Base, base
from board.bytecode import compile_all
from board.wires import Qmp, Qtest, Talk

HERE = Path(__file__).parent
TOP = HERE.parents[1]
OURS: Mapping[str, Path] = {"/airladder/firmware": TOP / "firmware", "/airladder/hardware": TOP / "hardware"}
"""This checkout's program, to be lent."""

TESTS: Mapping[str, Path] = {"/airladder/tests": TOP / "tests"}

ENDED = "board: the job ended with "
_START = f"""
export PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin HOME=/root LC_ALL=C.UTF-8 OPENBLAS_NUM_THREADS=1
export PYTHONDONTWRITEBYTECODE=1 PYTHONUNBUFFERED=1 PYTHONPATH=/airladder/firmware:/airladder/tests
[ ! -d /airladder/hardware ] || mount --bind /job/pins.toml /airladder/hardware/pins.toml
sh /job/job
echo "{ENDED}$?"
"""
_UNIT = """[Unit]
Description=The job of the test
SuccessAction=poweroff
FailureAction=poweroff
[Service]
ExecStart=/bin/sh /job/start
StandardOutput=file:/dev/ttyAMA0
StandardError=file:/dev/ttyAMA0
"""
_WORDS = "console=ttyAMA0 quiet loglevel=3 panic=-1 systemd.mask=serial-getty@ttyAMA0.service systemd.show_status=0"
_COLOURS = re.compile(r"\x1b\[[0-9;?!]*[A-Za-z]|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)?|[\r\x07]")


class Machine:
    """A virtual board; started by `start`, or by entering it.

    Parameters
    ----------
    job : the script, or where it lies; ``/dev/vport0p1`` gives it what `tell` says
    disks : images or NBD addresses, each with qemu's options for a drive after a comma, such as ``x.img,cache=none``
    lent : folders of this computer by their paths inside
    systemd : whether the whole system is started, with the job as a service of it
    image : another root file system (ext4, labelled ``board``) than the base's
    words : further words for qemu
    boot : further words for the kernel
    before : shell that is run in the root before anything else is, with nothing mounted but the root
    longest : s; after so long the machine is killed, and `wait` says so
    """

    def __init__(
        self,
        job: str | Path,
        *,
        disks: Sequence[str] = (),
        lent: Mapping[str, Path] | None = None,
        systemd: bool = False,
        image: Path | None = None,
        words: Sequence[str] = (),
        boot: str = "",
        before: str = "",
        longest: float = 300.0,
    ) -> None:
        self._job = job.read_text() if isinstance(job, Path) else job
        self._disks, self._lent, self._systemd = disks, dict(lent or {}), systemd
        self._image, self._more, self._boot, self._longest = image, words, boot, longest
        self._before = before
        self._lines: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        self._pins = pin_map((HERE / "pins.toml").read_text()).buttons
        self._process: subprocess.Popen[bytes] | None = None
        self._outlived = False
        self._wires: list[Talk] = []
        self.said: list[str] = []

    def __enter__(self) -> Machine:
        return self.start()

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.kill()

    def start(self) -> Machine:
        """Boot; returns when the machine runs, before the kernel has said anything.

        Raises
        ------
        RuntimeError : when the base cannot be made, or qemu does not start; the text says why.
        """
        made = base()
        for folder in self._lent.values():
            if folder == OURS["/airladder/firmware"]:
                compile_all(made.python, folder / "airladder")
        self.folder = Path(tempfile.mkdtemp(prefix="board-"))
        lends = self._job_folder()
        self._process = subprocess.Popen(
            self._command(made, lends), stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
        )
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()
        self._timer = threading.Timer(self._longest, self._outlive)
        self._timer.daemon = True
        self._timer.start()
        try:
            self.qmp = Qmp(self.folder / "qmp")
            self._qtest, self._talk = Qtest(self.folder / "qtest"), Talk(self.folder / "talk")
            self._wires += [self.qmp, self._qtest, self._talk]
        except OSError as error:
            self.kill()
            raise RuntimeError(f"qemu did not start ({error}): {' '.join(self.said)}") from error
        self._gpio = self.qmp.path_of("pl061")
        for button in self._pins:
            self.release(button)
        self.qmp.ask("cont")
        return self

    def lines(self) -> Iterator[str]:
        """What comes out, until the machine is off."""
        while (line := self._lines.get()) is not None:
            self.said.append(line)
            yield line
        self._lines.put(None)

    def until(self, beginning: str) -> str:
        """The next line that begins so.

        Raises
        ------
        RuntimeError : when the machine is off before it comes; the text has its last words.
        """
        for line in self.lines():
            if line.startswith(beginning):
                return line
        raise RuntimeError(f"'{beginning}' did not come. {self._last_words()}")

    def press(self, button: Button) -> None:
        """Hold it from now on: the contact goes to ground."""
        self._qtest.set_line(self._gpio, self._pins[button], 0)

    def release(self, button: Button) -> None:
        """Let it go."""
        self._qtest.set_line(self._gpio, self._pins[button], 1)

    def tell(self, line: str) -> None:
        """Give the job a line to read from ``/dev/vport0p1``."""
        self._talk.say(line)

    def kill(self) -> None:
        """Cut the power: nothing is flushed, nothing said. Harmless when it is off."""
        if self._process is None:
            return
        self._timer.cancel()
        self._process.kill()
        self._process.wait()
        self._reader.join()
        for wire in self._wires:
            wire.close()
        self._wires.clear()
        shutil.rmtree(self.folder, ignore_errors=True)

    def wait(self) -> int:
        """Wait until the machine is off; the job's exit code.

        Raises
        ------
        RuntimeError : when it went off before the job had ended; the text has its last words.
        """
        code = self.until(ENDED).removeprefix(ENDED)
        for _ in self.lines():
            pass
        self.kill()
        return int(code)

    def _job_folder(self) -> list[tuple[str, str, Path]]:
        """Writes it; and (tag, path inside, path here) of all that is lent."""
        (self.folder / "job").mkdir()
        job = self.folder / "job"
        lends = [(f"lent{n}", inside, here) for n, (inside, here) in enumerate(self._lent.items())]
        (job / "lent").write_text("".join(f"{tag} {inside}\n" for tag, inside, _ in lends))
        (job / "how").write_text(f"SYSTEMD={'yes' if self._systemd else 'no'}\n")
        (job / "job").write_text(self._job)
        (job / "before").write_text(self._before)
        (job / "start").write_text(_START)
        (job / "board-job.service").write_text(_UNIT)
        shutil.copy(HERE / "pins.toml", job)
        return [*lends, ("job", "/job", job)]

    def _command(self, made: Base, lends: Sequence[tuple[str, str, Path]]) -> list[str]:
        words = ["qemu-system-aarch64", *MACHINE, "-accel", "tcg,thread=single", "-smp", "1", "-S", "-no-reboot"]
        words += ["-display", "none", "-nodefaults", "-serial", "stdio", "-monitor", "none"]
        for name in ("qmp", "qtest"):
            words += [f"-{name}", f"unix:{self.folder / name},server=on,wait=off"]
        words += ["-qtest-log", "none", "-device", "virtio-serial-pci"]
        words += ["-chardev", f"socket,id=talk,path={self.folder / 'talk'},server=on,wait=off"]
        words += ["-device", "virtserialport,chardev=talk"]
        words += ["-kernel", str(made.kernel), "-dtb", str(made.devices), "-initrd", str(self._first(made))]
        words += ["-append", f"{_WORDS} {self._boot}"]
        words += ["-drive", f"file={self._image or made.image},format=raw,if=virtio,readonly=on"]
        for disk in self._disks:
            words += ["-drive", f"if=virtio,format=raw,file={disk}"]
        for tag, _, here in lends:
            lent = f"local,path={here},mount_tag={tag},security_model=none,multidevs=remap,readonly=on"
            words += ["-virtfs", lent]
        return [*words, *self._more]

    def _first(self, made: Base) -> Path:
        """The first file system: enough to find the rest."""
        first = self.folder / "first"
        (first / "bin").mkdir(parents=True)
        (first / "modules").mkdir()
        shutil.copy(made.busybox, first / "bin/busybox")
        shutil.copy(HERE / "init", first / "init")
        (first / "init").chmod(0o755)
        for module in made.modules:
            shutil.copy(module, first / "modules")
        (first / "modules/order").write_text("".join(f"{module.name}\n" for module in made.modules))
        names = "\n".join(str(path.relative_to(first)) for path in sorted(first.rglob("*")))
        packed = self.folder / "first.cpio"
        with packed.open("wb") as out:
            words = ["cpio", "--quiet", "-o", "-H", "newc"]
            subprocess.run(words, cwd=first, input=names.encode(), stdout=out, check=True)
        return packed

    def _read(self) -> None:
        assert self._process is not None
        assert self._process.stdout is not None
        with self._process.stdout:
            for raw in self._process.stdout:
                if line := _COLOURS.sub("", raw.decode(errors="replace")).strip("\n"):
                    self._lines.put(line)
        self._lines.put(None)

    def _outlive(self) -> None:
        assert self._process is not None
        self._outlived = True
        self._process.kill()

    def _last_words(self) -> str:
        why = f"It was killed after {self._longest:.0f} s" if self._outlived else "The machine is off"
        return "\n".join([f"{why}; its last words:", *self.said[-30:]])
