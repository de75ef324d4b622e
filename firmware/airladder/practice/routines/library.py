"""Where routines lie, and by which names they are found: the player's own folder first, then the shipped ones.

A routine is called by the name of its file, ``five-minutes.toml`` by "five minutes"; capitals, hyphens and
underscores make no difference. No path is made out of a name: it is looked for among the files that are there.
"""

from __future__ import annotations

from pathlib import Path

from airladder.faults import BadInput, did_you_mean

SHIPPED = Path(__file__).with_name("shipped")
"""The folder of the routines that come with the program."""

MOST_FILES = 500
"""Of a folder no more routines than this are looked at."""


def called(path: Path) -> str:
    """By which name a file is found."""
    return _plain(path.stem)


def files_in(folder: Path | None) -> dict[str, Path]:
    """The routines of a player's folder and the shipped ones, by name, in order; the player's own win.

    Raises
    ------
    BadInput : when there is a folder that cannot be looked into; one that is not there is an empty one.
    """
    found = _listed(SHIPPED)
    if folder is not None:
        found |= _listed(folder)
    return dict(sorted(found.items()))


def path_of(name: str, folder: Path | None) -> Path:
    """The file of the routine called so; BadInput with the nearest name when there is none."""
    known = files_in(folder)
    if _plain(name) not in known:
        raise BadInput(f"'{name}' is no routine that we know{did_you_mean(name, known)}")
    return known[_plain(name)]


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def _listed(folder: Path) -> dict[str, Path]:
    if not folder.exists():
        return {}
    try:
        paths = sorted(path for path in folder.iterdir() if path.suffix == ".toml" and path.is_file())
    except OSError as error:
        raise BadInput(f"The folder {folder} cannot be looked into ({error.strerror}); name another.") from None
    return {called(path): path for path in reversed(paths[:MOST_FILES])}
