"""What is handed over and what is taken in: the drive's images and a stick's folder, made from the log and back.

Conventions
-----------
Beside the log lies a folder for this alone. It may be taken away at any time: all in it is made again.
What makes and reads drives and the report is imported where it is used: a tenth of what the box would import at its
start, and it listens before any of it is needed.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from airladder import __version__
from airladder.app.damage import look_through
from airladder.app.moments import tell
from airladder.app.planning import setting_of
from airladder.config import Settings, checked, load, shown
from airladder.devices.clock import Clock
from airladder.faults import BadInput
from airladder.journal.log import Log, Reader
from airladder.pages.date import FIRST_YEAR, LAST_YEAR
from airladder.places import settings_path
from airladder.practice.routines.reading import read

if TYPE_CHECKING:
    from airladder.drive.incoming import Taken
    from airladder.drive.intake import Accepted
    from airladder.drive.outgoing import Staged

TakeRelease = Callable[[bytes, bool], str | None]
"""Takes a release, and whether to take again what was taken before; otherwise as `intake.TakeRelease`."""


def no_releases(content: bytes, again: bool) -> None:
    """Where the program was not installed as a box, there is no launcher that could try another version.

    Raises
    ------
    BadInput : if somebody wishes it.
    """
    if again:
        raise BadInput("another version is taken by the box only; put it on the drive of the box.")


@dataclass(frozen=True)
class Handover:
    """Both ways of one log.

    Attributes
    ----------
    log : what is handed over
    settings_file : where settings that come in are kept; None: the usual place
    take_release : takes another version of the program
    """

    log: Path
    settings_file: Path | None = None
    take_release: TakeRelease = no_releases

    @property
    def folder(self) -> Path:
        """Where images and what goes into them are made."""
        return self.log.with_name(f"{self.log.stem}-drive")

    @property
    def out_image(self) -> Path:
        """The drive that goes out."""
        return self.folder / "out.img"

    @property
    def in_image(self) -> Path:
        """The drive that comes in."""
        return self.folder / "in.img"

    @property
    def staged(self) -> Path:
        """The files of the drive that goes out."""
        return self.folder / "out"

    @property
    def clips(self) -> Path:
        """Where clips of tones lie, if there are any."""
        return clips_of(self.log)

    def build(self, out: Path | None = None) -> Path:
        """Make the drive that goes out, of the newest log; where it lies.

        Raises
        ------
        Fault : when it cannot be made; an old one is as it was.
        """
        from airladder.drive import image, outgoing

        out = out or self.out_image
        staged = self.gather()
        if staged or not out.exists():
            image.build(self.staged, out, outgoing.LABEL, staged.when.replace(tzinfo=None))
        return out

    def gather(self) -> Staged:
        """Gather what goes out in `staged`; a log that is not there yet is begun, so that there is one to hand over.

        Raises
        ------
        Fault : when it cannot be gathered.
        """
        from airladder.drive import outgoing
        from airladder.report.page import report

        self.folder.mkdir(parents=True, exist_ok=True)
        if not self.log.exists():
            Log(self.log).close()
        look_through(self.log)
        with Reader(self.log) as reader:
            return outgoing.stage(
                reader,
                self.staged,
                lambda log, path: report(log, path, digest_of(self.log)),
                version=__version__,
                clips=self.clips,
                about=about_of(self.log),
            )

    def blank(self, accepted: Accepted | None = None) -> Path:
        """Make a fresh drive for what comes in, with what is in force and a word on what was refused; where it lies.

        Raises
        ------
        Fault : when it cannot be made; an old one is as it was.
        """
        from airladder.drive import incoming, intake, merging

        self.folder.mkdir(parents=True, exist_ok=True)
        settings = self._settings()
        notes = {} if accepted is None else intake.refusals(accepted)
        routines = sorted(settings.routines.glob("*.toml")) if settings.routines.is_dir() else []
        incoming.blank(self.in_image, notes, routines, merging.for_the_drive(shown(settings)))
        return self.in_image

    def take(self, drive: Path | None = None) -> tuple[Accepted, datetime | None]:
        """Take in what a drive image brings, that which comes in by itself unless told otherwise.

        Returns
        -------
        What became of it, and the newest time that a computer left on it, by its own wall clock.

        Raises
        ------
        Fault : when it is no drive, or cannot be kept.
        """
        from airladder.drive import incoming

        taken = incoming.take(drive or self.in_image)
        return self._accept(taken, again=True), taken.newest

    def exchange(self, mounted: Path) -> Accepted:
        """Copy to a stick what goes out, and take in what its folder brings.

        Raises
        ------
        Fault : when the stick cannot be written, or what it brings cannot be kept.
        """
        from airladder.drive import incoming, stick

        accepted = self._accept(incoming.take_folder(mounted, stick.FOLDER), again=False)
        self.gather()
        stick.copy_to(self.staged, mounted)
        return accepted

    def _accept(self, taken: Taken, *, again: bool) -> Accepted:
        """A stick comes back with the same release every day; a drive is made anew, and what is on it is a wish."""
        from airladder.drive import intake

        settings = self._settings()
        setting = setting_of(settings, ())
        return intake.accept(
            taken,
            lambda path: read(path, setting),
            lambda text: checked(tomllib.loads(text), "The settings file"),
            settings.routines,
            self.settings_file or settings_path(),
            shown(settings),
            lambda content: self.take_release(content, again),
        )

    def _settings(self) -> Settings:
        return load(self.settings_file)


def digest_of(log: Path) -> Path:
    """Where the report remembers what it summed up of a log."""
    return log.with_name(f"digest.{log.name}")


def about_of(log: Path) -> Path:
    """Where the box writes how it is itself."""
    return log.with_name("box.txt")


def clips_of(log: Path) -> Path:
    """Where the clips of a log lie."""
    return log.with_name(f"{log.stem}-clips")


def told(accepted: Accepted) -> Iterator[str]:
    """What became of it, a sentence each: what came in first, then what was refused."""
    if accepted.routines:
        names = ", ".join(name.removesuffix(".toml") for name in accepted.routines)
        yield f"{'A routine came' if len(accepted.routines) == 1 else 'Routines came'} in: {names}."
    if accepted.settings:
        yield f"Set anew from the drive: {', '.join(accepted.settings)}."
    if accepted.release:
        yield f"Version {accepted.release} came in; it runs from the next start."
    yield from accepted.refused


def heed_time(newest: datetime | None, clock: Clock, log: Path) -> None:
    """Where nobody keeps the date, take it from the newest time that a computer left on a drive, if it can be.

    Raises
    ------
    Fault : when the log cannot take it; the clock goes by it all the same.
    """
    if newest is not None and not clock.kept and FIRST_YEAR <= newest.year <= LAST_YEAR:
        tell(clock, log, newest.astimezone(), "computer")
