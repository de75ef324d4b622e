"""A file is put in place whole or not at all."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn, TextIO

import pytest

from airladder.faults import LogFault
from airladder.journal.aside import disk_told, put_in_place

LOG = Path("/nowhere/log.sqlite")


def test_the_file_is_there_whole_at_the_end_and_nothing_beside_it(tmp_path: Path) -> None:
    target = tmp_path / "page.html"
    with put_in_place(target, LOG) as out:
        out.write("B♭\r\n")
        assert not target.exists()
    assert target.read_bytes() == "B♭\r\n".encode()
    assert list(tmp_path.iterdir()) == [target]


def fail_after(text: str, out: TextIO) -> NoReturn:
    out.write(text)
    raise LogFault("the log is damaged")


def test_a_failure_half_way_leaves_the_old_file_as_it_was(tmp_path: Path) -> None:
    target = tmp_path / "page.html"
    target.write_text("old")
    with pytest.raises(LogFault, match="damaged"), put_in_place(target, LOG) as out:
        fail_after("new", out)
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(tmp_path / "real")
    with put_in_place(link, LOG) as out:
        out.write("new")
    assert link.is_symlink()
    assert (tmp_path / "real").read_text() == "new"


@pytest.mark.usefixtures("ordinary_user")  # who can do a device no harm
def test_a_device_is_written_into_and_stays_a_device() -> None:
    """Linux, full(4): writing to /dev/full gives ENOSPC."""
    with (
        pytest.raises(LogFault, match="There is no room to write /dev/full; the log itself is whole"),
        put_in_place(Path("/dev/full"), LOG) as out,
    ):
        out.write("new")
    assert Path("/dev/full").is_char_device()


FULL_DISK = """
import sys
from pathlib import Path
from airladder.faults import LogFault
from airladder.journal.aside import put_in_place

disk = Path(sys.argv[1])
(disk / "page.html").write_text("old")
try:
    with put_in_place(disk / "page.html", Path("/nowhere/log.sqlite")) as out:
        out.write("new" * 1_000_000)
except LogFault as fault:
    print(fault)
print([(file.name, file.read_text()) for file in disk.iterdir()])
"""


def test_a_disk_that_really_fills_up_leaves_the_old_file_as_it_was(small_disk: Callable[..., list[str]]) -> None:
    fault, files = small_disk(FULL_DISK, size="1m")
    assert re.fullmatch(r"There is no room to write .*/page\.html; the log itself is whole: make room .*", fault)
    assert files == "[('page.html', 'old')]"


def test_a_folder_in_the_place_of_the_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(LogFault, match="is a folder; name the file to write"), put_in_place(tmp_path, LOG):
        pass


@pytest.mark.parametrize("place", ["/proc/page.html", "/nowhere/page.html", "/dev/null/page.html"])
def test_a_place_where_nothing_can_be_written_is_told(place: str) -> None:
    with (
        pytest.raises(LogFault, match=rf"{place} cannot be written \(.*\); name a file in a folder"),
        put_in_place(Path(place), LOG),
    ):
        pass


@pytest.mark.usefixtures("ordinary_user")
def test_a_folder_that_this_user_may_not_write_in_is_told() -> None:
    with (
        pytest.raises(LogFault, match=r"/page\.html cannot be written \(Permission denied\)"),
        put_in_place(Path("/page.html"), LOG),
    ):
        pass


def test_the_log_itself_is_never_written_over(tmp_path: Path) -> None:
    log = tmp_path / "log.sqlite"
    log.write_text("precious")
    (tmp_path / "link").symlink_to(log)
    for name in ("log.sqlite", "link"):
        with (
            pytest.raises(LogFault, match="is the log itself and is not written over"),
            put_in_place(tmp_path / name, log) as out,
        ):
            out.write("new")
    assert log.read_text() == "precious"


def test_a_reader_of_a_pipe_that_has_gone_is_the_callers_matter() -> None:
    with pytest.raises(BrokenPipeError), disk_told("the standard output"):
        raise BrokenPipeError
