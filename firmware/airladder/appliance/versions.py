"""The versions on the box: takes a release, and says which came up. Which one runs is chosen by ``system/start``.

Conventions
-----------
In the store every version is a folder of its number, with ``airladder/`` in it; beside them lie `marks`. Only the
running version, the current one, the one before and that on trial are kept; others go away when the player is told.
A step is one rename; whatever is cut off between two, the launcher finds a version that starts.

On trial a version must not bring the log into a newer form: the one before could not read it any more. Where it
would, it is confirmed before anybody opens the log, since every opening leads it up, and so on less evidence: what
has come up without the log. When a version that was confirmed so fails afterwards, a newer one has to follow; the log
is whole, and ``airladder export --form`` of a version that knows it gives it in an older form.
"""

from __future__ import annotations

import logging
import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from airladder import __version__
from airladder.appliance.marks import BASE, Marks
from airladder.appliance.signing import OWNER_KEY, is_demanded
from airladder.appliance.stated import Stated, check_runs_here
from airladder.faults import BadInput, Fault, LogFault
from airladder.journal.flushing import flush
from airladder.journal.form import form_of
from airladder.journal.steps import shipped
from airladder.places import log_folder

STARTS = "starts"
"""In the service's runtime folder: how often it was started since the switch-on and did not come up (``start``)."""

_ROOM_TIMES = 4
"""So many times its size a release must find free: unpacked and compiled it is three times that, and the log wants
some too."""

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Kept:
    """A version on the box: `name`, a number or ``base``, and what it is there for."""

    name: str
    what: str


class Versions:
    """The store, as the running version sees it.

    Parameters
    ----------
    store : its folder; ``versions`` beside the log unless told otherwise; made when there is something to put in it
    log : the log of the box
    running : the number of the version that runs
    runtime : the runtime folder of the service; that which systemd names, if it does, unless told otherwise
    key : where the owner's key lies, if there is one
    runs_here : raises BadInput when this box has not what a release needs
    """

    def __init__(
        self,
        store: Path | None = None,
        log: Path | None = None,
        *,
        running: str = __version__,
        runtime: Path | None = None,
        key: Path = OWNER_KEY,
        runs_here: Callable[[Stated], None] = check_runs_here,
    ) -> None:
        self._store, self._log = store or log_folder() / "versions", log or log_folder() / "log.sqlite"
        named = os.environ.get("RUNTIME_DIRECTORY")
        self._runtime = runtime or (Path(named) if named else None)
        self._running, self._key, self._runs_here = running, key, runs_here
        self._marks = Marks(self._store)

    @property
    def on_trial(self) -> bool:
        """Whether the running version has to come up yet."""
        return self._marks.version("trial") == self._running

    @property
    def leads_the_log_up(self) -> bool:
        """Whether opening the log, even to read, would bring it into a form that an older version cannot read.

        A log of which nobody can tell the form counts as such.
        """
        try:
            form = form_of(self._log)
        except LogFault:
            return True
        return form is not None and form < len(shipped())

    def take(self, content: bytes, *, again: bool = True) -> str | None:
        """Take a release; it is tried from the next start.

        Parameters
        ----------
        content : the file
        again : whether to take what was taken before, or runs already, as a wish; else it is passed over

        Returns
        -------
        Its number, or None when it was passed over.

        Raises
        ------
        BadInput : when it is no release for this box.
        Fault : when it cannot be kept; what ran before runs on.
        """
        import hashlib  # late, with what looks into releases: no start needs them, and they take a while

        from airladder.appliance.release import checked

        digest = hashlib.sha256(content).hexdigest()
        if not again and self._marks.text("taken") == digest:
            return None
        said, files = checked(content, self._key if is_demanded(self._key) else None)
        if said.version == self._running:
            if again:
                raise BadInput(f"version {said.version} runs already; there is nothing to do.")
            return None
        self._runs_here(said)
        self._check_form(said)
        with self._keeping():
            self._store.mkdir(parents=True, exist_ok=True)
            self._tidy()
            self._check_room(files)
            self._put_in_place(said.version, files)
            self._marks.put("trial", f"{said.version} 0")
            self._marks.drop("refused", "failed", "confirmed")
        with suppress(OSError):  # if it is not noted, a stick that comes back is taken once more
            self._marks.put("taken", digest)
            self._tidy()
        return said.version

    def take_file(self, path: Path) -> str | None:
        """The same from a file.

        Raises
        ------
        BadInput, Fault : as `take`, with the name of the file.
        """
        from airladder.drive.incoming import MOST_RELEASE, check_release_size

        try:
            with path.open("rb") as file:
                content = file.read(MOST_RELEASE + 1)
        except OSError as error:
            raise BadInput(f"{path} cannot be read ({error.strerror}); name another file.") from None
        try:
            check_release_size(len(content))
            return self.take(content)
        except BadInput as fault:
            raise BadInput(f"{path}: {fault}") from None

    def confirm(self) -> None:
        """The running version has come up; harmless when it was known before.

        Where that cannot be written down, only the program's log says so, and it is on trial still.
        """
        try:
            if self._runtime is not None:
                (self._runtime / STARTS).unlink(missing_ok=True)
            if self.on_trial:
                self._confirm()
        except OSError as error:
            logger.warning("That version %s came up cannot be written down (%s).", self._running, error)

    def _confirm(self) -> None:
        old = self._marks.version("current") or BASE
        if old != self._running:
            self._marks.put("before", old)
            self._marks.put("current", self._running)
        self._marks.drop("refused", "failed")
        self._marks.turn("trial", "confirmed")

    def news(self) -> str:
        """What the player is to be told of an update: once, if the disk lets us note that. Empty when nothing."""
        if refused := self._marks.version("refused"):
            with suppress(OSError):
                self._tidy()
                self._marks.turn("refused", "failed")
            return f"Version {refused} did not come up; {self._running} runs again."
        if confirmed := self._marks.version("confirmed"):
            with suppress(OSError):
                self._tidy()
                self._marks.drop("confirmed")
            return f"Version {confirmed} runs now."
        return ""

    def kept(self) -> tuple[Kept, ...]:
        """The versions on the box, that which runs first; and the last one that did not come up."""
        told = [Kept(self._running, "runs")]
        for mark, what in (("trial", "to be tried"), ("current", "came up"), ("before", "the one before")):
            name = self._marks.version(mark)
            if name and name not in {kept.name for kept in told} and (name == BASE or (self._store / name).is_dir()):
                told.append(Kept(name, what))
        failed = self._marks.version("refused") or self._marks.version("failed")
        return (*told, *([Kept(failed, "did not come up")] if failed else []))

    def _check_form(self, said: Stated) -> None:
        try:
            form = form_of(self._log)
        except LogFault:
            return  # a log in trouble keeps nobody from a version that may mend it
        if form is not None and said.log_form < form:
            raise BadInput(
                f"version {said.version} reads the log up to form {said.log_form}, and the log on this box has form"
                f" {form}; take a newer version."
            )

    def _check_room(self, files: dict[str, bytes]) -> None:
        wanted = _ROOM_TIMES * sum(map(len, files.values()))
        free = shutil.disk_usage(self._store).free
        if free < wanted:
            raise BadInput(f"it needs {_mib(wanted)} MiB free on the box, and {_mib(free)} are; make room there.")

    def _put_in_place(self, name: str, files: dict[str, bytes]) -> None:
        """Its folder is there whole, or not at all for a moment where there was one of that name."""
        from airladder.appliance.unpacking import unpack

        new, place, old = self._store / f".{name}.new", self._store / name, self._store / f".{name}.old"
        try:
            unpack(files, new, place)
            if place.exists():
                shutil.rmtree(old, ignore_errors=True)
                place.rename(old)
            new.rename(place)
            flush(self._store)
        finally:
            shutil.rmtree(new, ignore_errors=True)

    def _tidy(self) -> None:
        """Remove what is not kept; what cannot be removed now is removed the next time."""
        kept = {self._running, *map(self._marks.version, ("trial", "current", "before"))}
        for path in self._store.iterdir():
            if path.is_dir() and not path.is_symlink() and path.name not in kept:
                shutil.rmtree(path, ignore_errors=True)

    @contextmanager
    def _keeping(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            if isinstance(error, Fault):
                raise
            why = error.strerror or str(error)
            raise Fault(f"{self._store} cannot be written ({why}); make room on the box, and try again.") from error


def _mib(size: int) -> int:
    return -(-size >> 20)
