"""What a drive brought is looked at, and what is well is put where the trainer reads it.

Conventions
-----------
A file is put in place whole, after it has reached the disk. The one before stays beside it: ``name.toml.old`` of a
routine, ``settings.old.toml`` of the settings. What is the same already is not written again. Nothing is deleted.
``settings.taken.toml`` is the file that was taken last: a stick that comes back with it every day wishes nothing new,
and does not undo what was set on the box since.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from airladder.drive.bounded import values
from airladder.drive.incoming import Taken
from airladder.drive.merging import changed, merged, without_box_only
from airladder.drive.putting import put
from airladder.faults import BadInput, Fault

Check = Callable[[Path], object]
TakeRelease = Callable[[bytes], str | None]
"""Takes a release; the number of the version, or None when it was passed over. Raises Fault when it is not taken."""


@dataclass(frozen=True)
class Accepted:
    """What became of it.

    Attributes
    ----------
    routines : the names of the files that are new or other than before
    settings : the keys that are set otherwise than before
    refused : a sentence for each thing that was not taken; those of `Taken` first
    release : the version that is to be tried at the next start, or None
    """

    routines: tuple[str, ...] = ()
    settings: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()
    release: str | None = None

    def __bool__(self) -> bool:
        """Whether anything is other than before."""
        return bool(self.routines or self.settings or self.release)


def accept(
    taken: Taken,
    check_routine: Check,
    check_settings: Callable[[str], object],
    routines_folder: Path,
    settings_file: Path,
    in_force: str,
    take_release: TakeRelease,
) -> Accepted:
    """Put in place what is well.

    Parameters
    ----------
    taken : what the drive brought
    check_routine : raises Fault when the routine at a path is faulty; beside it lie all others, old and new
    check_settings : raises Fault when a text is no settings file
    routines_folder : where the player's routines lie; made where it is missing
    settings_file : the settings file; made where it is missing
    in_force : the settings in force as TOML, so that what is the same is not taken for a wish
    take_release : takes another version of the program

    Raises
    ------
    Fault : when the disk does not let us write; what was put in place before that is whole.
    """
    refused = list(taken.refused)
    try:
        routines = _routines(taken, check_routine, routines_folder, refused)
        settings = _settings(taken, check_settings, settings_file, in_force, refused)
    except OSError as error:
        raise Fault(
            f"What the drive brought cannot be kept in {routines_folder} ({error.strerror or error}); make room on"
            " the disk, and plug the drive in again."
        ) from error
    release = _release(taken, take_release, refused)
    return Accepted(routines, settings, tuple(refused), release)


def refusals(accepted: Accepted) -> dict[str, str]:
    """The file for the drive that says what was not taken, by its name; none when all was."""
    if not accepted.refused:
        return {}
    return {"REFUSED.txt": "Not taken from this drive:\n\n" + "\n\n".join(accepted.refused) + "\n"}


def _routines(taken: Taken, check: Check, folder: Path, refused: list[str]) -> tuple[str, ...]:
    new = {name: text.encode() for name, text in taken.routines if not _holds(folder / name, text.encode())}
    with tempfile.TemporaryDirectory(prefix="airladder-") as made:
        trial = Path(made)
        for path in _toml_in(folder):
            (trial / path.name).symlink_to(path.resolve())
        for name, content in new.items():
            (trial / name).unlink(missing_ok=True)
            (trial / name).write_bytes(content)
        well = [name for name in new if _is_well(trial / name, check, refused)]
    for name in well:
        if (folder / name).is_file():
            put(folder / f"{name}.old", (folder / name).read_bytes())
        put(folder / name, new[name])
    return tuple(well)


def _release(taken: Taken, take: TakeRelease, refused: list[str]) -> str | None:
    if taken.release is None:
        return None
    name, content = taken.release
    try:
        return take(content)
    except Fault as fault:
        refused.append(f"{name}: {fault}")
        return None


def _toml_in(folder: Path) -> Iterable[Path]:
    return folder.glob("*.toml") if folder.is_dir() else ()


def _holds(path: Path, content: bytes) -> bool:
    return path.is_file() and path.read_bytes() == content


def _is_well(path: Path, check: Check, refused: list[str]) -> bool:
    try:
        values(path.read_text("utf-8"))
        check(path)
    except Fault as fault:
        refused.append(f"routines/{path.name}: {str(fault).replace(f'{path.parent}/', '')}")
        return False
    return True


def _old_settings(path: Path) -> str:
    if not path.exists():
        return ""
    try:
        text = path.read_text("utf-8")
        values(text)
    except (UnicodeDecodeError, BadInput):
        raise BadInput(f"the settings on the box itself ({path}) are no TOML; mend or remove them first.") from None
    return text


def _settings(
    taken: Taken, check: Callable[[str], object], path: Path, in_force: str, refused: list[str]
) -> tuple[str, ...]:
    target = path.resolve()  # a link stays a link
    dealt_with = _beside(target, "taken")
    if taken.settings is None or _holds(dealt_with, taken.settings.encode()):
        return ()
    try:
        wanted, forbidden = without_box_only(changed(taken.settings, in_force, taken.before))
        refused += [f"settings/settings.toml: {sentence}" for sentence in forbidden]
        if not wanted:
            return ()
        old = _old_settings(path)
        new = merged(old, wanted)
        check(new)
    except Fault as fault:
        refused.append(f"settings/settings.toml: {fault}")
        return ()
    if old:
        put(_beside(target, "old"), old.encode())
    put(target, new.encode())
    put(dealt_with, taken.settings.encode())
    return tuple(wanted)


def _beside(path: Path, what: str) -> Path:
    return path.with_name(f"{path.stem}.{what}{path.suffix}")
