"""Players for the tests of routine files: a horn, a fingering, a reach, and files of their own."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import pytest

from airladder.faults import BadInput
from airladder.music.fingerings import fingering_named, fingerings_of
from airladder.music.horns import HORNS
from airladder.music.series import Series
from airladder.practice.routines.reading import read
from airladder.practice.setting import Setting

Write = Callable[..., Path]

HEAD = 'version = 1\nname = "mine"\nabout = "Something of my own."\n'


def player(horn: str = "alto", fingering: str = "Bb3", *, reach: int = 4, day: int = 1) -> Setting:
    """A player who has come equally far on all fingerings."""
    series = Series(HORNS[horn], fingering_named(HORNS[horn], fingering))
    reaches: Mapping[str, int] = dict.fromkeys(fingerings_of(HORNS[horn]), reach)
    return Setting(series, reach=reaches, day=day)


def all_tubes(*, long: bool) -> Iterator[tuple[str, str]]:
    """Each horn with each of its long, or short, fingerings."""
    for name, horn in HORNS.items():
        yield from ((name, str(one)) for one in fingerings_of(horn).values() if one.long == long)


def faults_of(path: Path, setting: Setting | None = None, *, folder: Path | None = None) -> list[str]:
    """The lines of the sentence with which a file is refused, without the name of its folder."""
    with pytest.raises(BadInput) as caught:
        read(path, setting or player(), folder=folder)
    return [line.strip().replace(f"{path.parent}/", "") for line in str(caught.value).splitlines()]
