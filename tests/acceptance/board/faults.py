"""The installed service on a board that lacks something: it comes up, says so, and practises if it can."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from acceptance.board import tree
from acceptance.board.box import Box
from acceptance.kernel.claims import Claims

_ASK = "PYTHONPATH=/airladder/firmware:/airladder/tests python3 -m i2cbus.ask /run/i2cbus"
_NO_CARD = "sed -i /snd-aloop/d /etc/modules-load.d/virtual-board.conf"
_HOG = """cat >/etc/systemd/system/hog.service <<'UNIT'
[Unit]
DefaultDependencies=no
Before=airladder.service
After=systemd-udevd.service local-fs.target
[Service]
Type=exec
WorkingDirectory=/run
ExecStart=/usr/bin/python3 /etc/board/hog.py
UNIT
mkdir -p /etc/board
cat >/etc/board/hog.py <<'PYTHON'
import lgpio, time
lgpio.gpio_claim_input(lgpio.gpiochip_open(0), 7)
time.sleep(1e6)
PYTHON
mkdir -p /etc/systemd/system/multi-user.target.wants
ln -s ../hog.service /etc/systemd/system/multi-user.target.wants/hog.service"""


def _as_it_is(folder: Path) -> None:
    """An empty data partition."""


@dataclass(frozen=True)
class Fault:
    """What is wrong, what the box says of it, and what comes after.

    Attributes
    ----------
    words : that a sentence of the box must have
    bus, before, qemu : as in `box.switched_on`
    prepare : done to the mounted data partition
    data : whether there is one
    after : further claims
    listens : whether the fundamental must then be read from the glass
    """

    name: str
    words: tuple[str, ...] = ()
    bus: str = ""
    before: str = ""
    qemu: tuple[str, ...] = ()
    prepare: Callable[[Path], None] = _as_it_is
    data: bool = True
    after: Callable[[Box, Claims], None] | None = None
    listens: bool = True


def _card_comes(box: Box, claims: Claims) -> None:
    box.board.run("modprobe snd-aloop")


def _screen_comes(box: Box, claims: Claims) -> None:
    box.board.run(f"{_ASK} add display ssd1306 0x3c")
    box.board.see(lambda picture: picture.getbbox() is not None)
    claims.that("no display: one that is put in is lit", True)


def _bus_hangs(box: Box, claims: Claims) -> None:
    box.board.run(f"{_ASK} hang 2")
    box.board.run("sleep 40")
    box.stays(claims, "a bus that hangs")
    box.board.run(f"{_ASK} hang 0")


def _hog_goes(box: Box, claims: Claims) -> None:
    box.board.run("systemctl stop hog; sleep 15")


def _full(folder: Path) -> None:
    with (folder / "filler").open("wb") as file:
        try:
            while True:
                file.write(bytes(1 << 20))
                file.flush()
        except OSError:
            pass


def _from_the_future(folder: Path) -> None:
    (folder / "settings.toml").write_text('form = 99\nfingering = "Bb3"\nholograms = true\n')


def _broken(folder: Path) -> None:
    (folder / "settings.toml").write_text('fingering = "Bb3\n[[[')


FAULTS = (
    Fault("no microphone, which comes later", ("microphone",), before=_NO_CARD, after=_card_comes),
    Fault("no display, which comes later", ("screen",), bus="--display none", after=_screen_comes),
    Fault("a bus that hangs", after=_bus_hangs),
    Fault("a pin that another program has", ("GPIO7",), before=_HOG, after=_hog_goes),
    Fault("no data partition", ("kept",), data=False),
    Fault("a full data partition", ("full",), prepare=_full),
    Fault("the clock in 1970", qemu=("-rtc", "base=1970-01-02T03:04:05")),
    Fault("the clock in 2099", qemu=("-rtc", "base=2099-05-06T07:08:09")),
    Fault("settings from the future", ("holograms",), prepare=_from_the_future),
    Fault("settings that are no TOML", ("settings",), prepare=_broken),
)


def tried(fault: Fault, switched_on: Callable[..., object], work: Path, claims: Claims) -> None:
    """Switch a box on that has it."""
    disks: list[str] = []
    if fault.data:
        partition = work / "data.ext4"
        tree.data(partition)
        with tree.opened(partition) as folder:
            fault.prepare(folder)
        disks.append(f"{partition},cache=unsafe")
    box: Box
    with switched_on(disks=disks, bus=fault.bus, before=fault.before, words=fault.qemu) as box:  # type: ignore[attr-defined]
        box.comes_up(claims, fault.name)
        if fault.words:
            box.says(claims, fault.name, *fault.words)
        if fault.after:
            fault.after(box, claims)
        if fault.listens:
            box.play()
            box.evening.to_today()
            box.evening.listens([1])
            claims.that(f"{fault.name}: it hears and shows", 1 in box.evening.partials)
        box.stays(claims, fault.name)
