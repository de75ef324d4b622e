"""The small writable drive: what is put on it for the player, and what is taken from it when the computer let go.

Conventions
-----------
Only files directly in ``routines`` that end in ``.toml``, ``settings/settings.toml``, and one release at the top,
``airladder-VERSION.zip``, are ever looked at, and of the first two only what a computer wrote: a sample that nobody
touched must not undo what was set on the box since. Every file
that is not taken is told in one sentence that begins with its name. Whether it makes sense is for `intake`.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from importlib import resources
from pathlib import Path

from airladder.drive import image as images
from airladder.drive.found import Found, Place, folder_at, image_at
from airladder.drive.geometry import MIB
from airladder.drive.names import is_by_the_way, routine_file, told
from airladder.faults import BadInput

LABEL = "AIRL-IN"
SIZE = 32 * MIB
"""Of the volume, bytes: FAT16 (FAT32 would want 40 MiB), three times what routines and a release can have."""

UNTOUCHED = datetime(1980, 1, 1)
"""The time of everything on a fresh drive, the earliest that FAT knows: what is later was written by a computer."""

_DAY_AFTER = UNTOUCHED + timedelta(days=1)  # a zone's offset must not make a fresh drive look written

MOST_BYTES = 64 * 1024
MOST_ROUTINES = 100
MOST_TOGETHER = 1024 * 1024
"""Of one file, and of all routines together, bytes: a routine is a page or two of text."""

MOST_RELEASE = 8 * MIB
"""Of a release, bytes; one has 2 MiB. It is held in memory."""

MOST_TOLD = 20

_SETTINGS, _BEFORE = "settings.toml", "before.toml"
_README = resources.files(__package__) / "incoming.txt"


@dataclass(frozen=True)
class Taken:
    """What a drive brought.

    Attributes
    ----------
    routines : file name fit for our disk, and text, by name
    settings : the text of the settings file, or None
    before : the text of the settings file when the drive was made, from which the player began; or None
    newest : the newest time that a computer left there, by its wall clock without an offset: it is later than that,
        if that computer's clock was right; None when nothing was written
    refused : a sentence for each file that was not taken
    release : name as it may stand in a sentence, and content, of a file that may be another version of the program
    """

    routines: tuple[tuple[str, str], ...] = ()
    settings: str | None = None
    newest: datetime | None = None
    refused: tuple[str, ...] = ()
    before: str | None = None
    release: tuple[str, bytes] | None = None


def blank(image: Path, notes: Mapping[str, str], routines: Iterable[Path], settings: str) -> None:
    """Make a fresh drive, with what is in force now to begin from.

    Parameters
    ----------
    image : where it is to lie
    notes : texts for the top by file name, such as REFUSED.txt
    routines : the player's own, to be found in ``routines``
    settings : the text of ``settings/settings.toml``, and of ``before.toml`` beside it

    Raises
    ------
    Fault : when it cannot be made; an old one is then as it was.
    """
    with tempfile.TemporaryDirectory(prefix="airladder-") as made:
        top = Path(made)
        (top / "routines").mkdir()
        (top / "settings").mkdir()
        for name, text in {"README.txt": _README.read_text("utf-8"), **notes}.items():
            (top / name).write_text(text, "utf-8", newline="\r\n")
        for path in _fit_to_show(routines):
            (top / "routines" / path.name).write_bytes(path.read_bytes())
        for name in (_SETTINGS, _BEFORE):
            (top / "settings" / name).write_text(settings, "utf-8", newline="\r\n")
        images.build(top, image, LABEL, UNTOUCHED, least=SIZE)


def _fit_to_show(routines: Iterable[Path]) -> list[Path]:
    """Those that would be taken again, were they changed; the newest, where there are very many."""
    fit = [path for path in routines if path.is_file() and path.stat().st_size <= MOST_BYTES and _is_fit(path.name)]
    return sorted(fit, key=lambda path: path.stat().st_mtime, reverse=True)[:MOST_ROUTINES]


def _is_fit(name: str) -> bool:
    try:
        return routine_file(name) == name
    except BadInput:
        return False


def take(image: Path) -> Taken:
    """What the drive image at `image` brings; the image is only read, whatever is wrong with it.

    Raises
    ------
    BadInput : when it is no FAT drive at all.
    """
    with image_at(image) as place:
        return _taken(place)


def take_folder(folder: Path, *below: str) -> Taken:
    """The same from a folder that is mounted, such as ``AIRLADDER`` on a stick; nothing when it is not there.

    Raises
    ------
    BadInput : when there is no folder at `folder`.
    """
    with folder_at(folder, *below) as place:
        return Taken() if place is None else _taken(place)


def _taken(place: Place) -> Taken:
    gathered = _Gathered()
    for folder, one in (("routines", gathered.routine), ("settings", gathered.settings_file)):
        try:
            for found in place.files(folder):
                if max(found.times, default=datetime.max) > _DAY_AFTER:
                    gathered.heed(found.times)
                    one(found)
                elif folder == "settings":
                    gathered.sample(found)
        except BadInput as fault:
            gathered.refused.append(f"{folder}: {fault}")
    try:
        gathered.releases([found for found in place.top() if _may_be_release(found.name)])
    except BadInput as fault:
        gathered.refused.append(str(fault))
    try:
        gathered.heed(place.times())
    except BadInput as fault:
        gathered.refused.append(str(fault))
    return gathered.all()


@dataclass
class _Gathered:
    """What has come together so far."""

    routines: dict[str, str] = field(default_factory=dict)
    settings: str | None = None
    before: str | None = None
    newest: datetime = UNTOUCHED
    refused: list[str] = field(default_factory=list)
    release: tuple[str, bytes] | None = None
    together: int = 0

    def heed(self, times: Iterable[datetime]) -> None:
        """Look at when something was written."""
        for time in times:
            self.newest = max(self.newest, time)

    def routine(self, found: Found) -> None:
        """Take a file of the folder ``routines``, or say why not."""
        if is_by_the_way(found.name):
            return
        try:
            name = routine_file(found.name)
            if name.casefold() in {known.casefold() for known in self.routines}:
                raise BadInput("there is another of that name; keep one of them.")
            if len(self.routines) >= MOST_ROUTINES:
                raise BadInput(f"there are {MOST_ROUTINES} routines before it already; take some away.")
            _check_size(found)
            if self.together + found.size > MOST_TOGETHER:
                raise BadInput(f"all routines together have more than {MOST_TOGETHER // 1024} KiB; take some away.")
            text = _text(found)
        except BadInput as fault:
            self.refused.append(f"routines/{told(found.name)}: {fault}")
        else:
            self.together += found.size
            self.routines[name] = text

    def settings_file(self, found: Found) -> None:
        """Take the settings file, or say why not; nothing else of that folder is looked at."""
        if found.name.casefold() != _SETTINGS:
            return
        try:
            _check_size(found)
            self.settings = _text(found)
        except BadInput as fault:
            self.refused.append(f"settings/{_SETTINGS}: {fault}")

    def sample(self, found: Found) -> None:
        """Look at a file of the folder ``settings`` that nobody touched; one that cannot be read is not missed."""
        if found.name.casefold() == _BEFORE and found.size <= MOST_BYTES:
            with suppress(BadInput):
                self.before = _text(found)

    def releases(self, several: list[Found]) -> None:
        """Take the release, or say why not; of several nobody knows which is meant."""
        for found in several:
            try:
                if len(several) > 1:
                    raise BadInput(f"there are {len(several)} releases; leave only the one that is wanted.")
                check_release_size(found.size)
                self.release = told(found.name), found.read()
            except BadInput as fault:
                self.refused.append(f"{told(found.name)}: {fault}")

    def all(self) -> Taken:
        """Everything, in order."""
        sentences = self.refused[:MOST_TOLD]
        if len(self.refused) > MOST_TOLD:
            sentences.append(f"{len(self.refused) - MOST_TOLD} more files were not taken.")
        return Taken(
            tuple(sorted(self.routines.items())),
            self.settings,
            self.newest if self.newest > _DAY_AFTER else None,
            tuple(sentences),
            self.before,
            self.release,
        )


def _may_be_release(name: str) -> bool:
    return name.casefold().startswith("airladder-") and name.casefold().endswith(".zip")


def check_release_size(size: int) -> None:
    """Check the size of a file that is to be a release, in bytes.

    Raises
    ------
    BadInput : when it is too large to be looked at.
    """
    if size > MOST_RELEASE:
        raise BadInput(f"it is larger than {MOST_RELEASE // MIB} MiB; wanted a release of this program.")


def _check_size(found: Found) -> None:
    if found.size > MOST_BYTES:
        raise BadInput(f"it is larger than {MOST_BYTES // 1024} KiB; wanted a page or two of text.")


def _text(found: Found) -> str:
    try:
        return found.read().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput("it is no text in UTF-8; save it as plain text in UTF-8.") from None
