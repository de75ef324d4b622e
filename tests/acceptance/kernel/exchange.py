"""Who is at the socket: app.exchanging and app.handover on the kernel's own drives, with an invented log."""

from __future__ import annotations

import os
from pathlib import Path

import tenyears
from acceptance.kernel import computer
from acceptance.kernel.claims import Claims, until
from airladder.app.exchanging import Exchange, News
from airladder.app.handover import Handover
from airladder.devices.gadget import CONFIGFS, CONTROLLERS, NAME, Gadget, Lun
from airladder.pages.events import Brought, Computer

ROUTINE = """\
# An invented routine.
version = 1
name = "brought"
about = "Two partials."
minutes = 1

[[step]]
exercise = "rising"
partials = "2-3"
"""


class Cable:
    """Pulls and plugs the cable, and plays the word of the controller: dummy_udc never takes `configured` back."""

    def __init__(self, folder: Path) -> None:
        self.controllers = folder / "controllers"
        name = next(CONTROLLERS.iterdir()).name
        self._state = self.controllers / name / "state"
        self._state.parent.mkdir(parents=True)
        self._state.write_text("not attached\n")

    def plug(self) -> None:
        """In, and the computer sets the box up."""
        computer.plug()
        for lun in Lun:
            computer.disk(lun)
        self._state.write_text("configured\n")

    def pull(self) -> None:
        """Out."""
        computer.pull()
        self._state.write_text("not attached\n")


def prove(claims: Claims, folder: Path) -> None:
    """The claims; `folder` is on a disk of the machine's own."""
    cable = Cable(folder)
    cable.pull()
    settings = folder / "settings.toml"
    settings.write_text(f'log_folder = "{folder}"\n')
    work = Handover(folder / "log.sqlite", settings)
    news: list[News] = []
    gadget = Gadget(controllers=cable.controllers)
    exchange = Exchange(gadget, work, news.append)
    gadget.open()
    try:
        work.build()
        exchange.built()
        exchange.look()
        first_time(claims, gadget, exchange, cable, news)
        ejected(claims, gadget, exchange, folder, news)
        cable.pull()
        exchange.look()
        claims.that("when the cable is out both are offered again", [gadget.holds(lun) for lun in Lun], [True, True])
        newer(claims, exchange, cable, work)
        in_haste(claims, gadget, exchange, cable, folder)
    finally:
        gadget.close()
    claims.that("closed, nothing is left of it", (CONFIGFS / NAME).exists(), False)


def first_time(claims: Claims, gadget: Gadget, exchange: Exchange, cable: Cable, news: list[News]) -> None:
    """Plugged in, and looked at."""
    claims.that("with no computer there both are offered", [gadget.holds(lun) for lun in Lun], [True, True])
    news.clear()
    cable.plug()
    exchange.look()
    claims.that("that a computer came is told", news, [Computer(True)])
    with computer.mounted(Lun.OUT) as files:
        names = {path.name for path in files.iterdir()}
    claims.that("the log and the report are on the one", names >= {"README.txt", "report.html", "log.sqlite"})
    with computer.mounted(Lun.IN, write=True) as files:
        (files / "routines" / "brought.toml").write_text(ROUTINE)
        os.sync()
        exchange.look()
        claims.that("what is written on the other is not taken in while it is mounted", news, [Computer(True)])


def ejected(claims: Claims, gadget: Gadget, exchange: Exchange, folder: Path, news: list[News]) -> None:
    """Written, and ejected as one should."""
    claims.that("both can be ejected", [computer.eject(lun) for lun in Lun], [0, 0])
    until(lambda: [gadget.holds(lun) for lun in Lun], [False, False])
    exchange.look()
    claims.that("then what was brought is told", news[1:], [Brought(("A routine came in: brought.",))])
    claims.that("and kept", (folder / "routines" / "brought.toml").read_text(), ROUTINE)
    exchange.look()
    claims.that("nothing comes back while the cable is in", [gadget.holds(lun) for lun in Lun], [False, False])


def newer(claims: Claims, exchange: Exchange, cable: Cable, work: Handover) -> None:
    """A newer drive waits until the computer has let go of the one before."""
    cable.plug()
    exchange.look()

    def names() -> set[str]:
        with computer.mounted(Lun.OUT) as files:
            return {path.name for path in files.iterdir()}

    before = names()
    with computer.mounted(Lun.OUT):
        played = work.folder / "played.sqlite"
        tenyears.make(played, days=3, tries=20)
        played.replace(work.log)
        work.build()
        exchange.built()
        exchange.look()
    claims.that("a newer drive is not put under a computer", names(), before)
    cable.pull()
    exchange.look()
    cable.plug()
    exchange.look()
    claims.that("after the cable was out it is there", names() - before, {"tries", "sessions"})


def in_haste(claims: Claims, gadget: Gadget, exchange: Exchange, cable: Cable, folder: Path) -> None:
    """Written, and the cable pulled without an eject."""
    with computer.mounted(Lun.IN, write=True) as files:
        (files / "routines" / "in haste.toml").write_text(ROUTINE.replace("brought", "in haste"))
        os.sync()
        exchange.look()
        cable.pull()
        exchange.look()
    kept = folder / "routines"
    claims.that("what was written in haste is kept", {path.name for path in kept.iterdir()} >= {"in haste.toml"})
    claims.that("and both are offered again", [gadget.holds(lun) for lun in Lun], [True, True])
