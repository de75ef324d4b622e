"""The drive that comes in: what is on a fresh one, what a computer adds, and what is read of it, beside mtools."""

from __future__ import annotations

import os
import random
import subprocess
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from airladder.drive.geometry import Geometry, partition_table
from airladder.drive.incoming import MOST_RELEASE, blank, take
from airladder.faults import BadInput
from drive.conftest import WRITTEN, Writer
from drive.fatpatch import START, TOOLS, Patch, fsck, mtools


@pytest.fixture
def fresh(tmp_path: Path) -> Path:
    """A fresh drive with two routines, one of which cannot come back under its name."""
    own = tmp_path / "own"
    own.mkdir()
    (own / "five minutes.toml").write_text("version = 1\n")
    (own / "what: ever.toml").write_text("version = 1\n")
    image = tmp_path / "in.img"
    blank(image, {"REFUSED.txt": "Nothing.\n"}, sorted(own.iterdir()), 'horn = "alto"\na4 = 440\n')
    return image


def put_on(image: Path, name: str, content: bytes, when: datetime = WRITTEN) -> None:
    """Write a file as a computer does, by mtools, with its clock at `when`."""
    clock = {**TOOLS, "SOURCE_DATE_EPOCH": str(int((when - datetime(1970, 1, 1)).total_seconds()))}
    call = ["mcopy", "-o", "-i", f"{image}@@{START}", "-", f"::/{name}"]
    subprocess.run(call, env=clock, input=content, check=True, capture_output=True)


def test_a_fresh_drive_has_what_is_in_force_and_is_clean(fresh: Path) -> None:
    assert fsck(fresh).returncode == 0
    assert 'horn = "alto"\r\n' in mtools("mtype", "::/settings/settings.toml", image=fresh).decode()
    assert mtools("mtype", "::/routines/five minutes.toml", image=fresh) == b"version = 1\n"
    assert b"what" not in mtools("mdir", "-b", "::/routines", image=fresh)
    assert b"Nothing.\r\n" in mtools("mtype", "::/REFUSED.txt", image=fresh)
    assert b"AIRL-IN" in mtools("mtype", "::/README.txt", image=fresh)
    assert 16 << 20 < fresh.stat().st_size <= 34 << 20


def test_a_fresh_drive_brings_nothing_so_that_no_sample_undoes_what_was_set_since(fresh: Path) -> None:
    taken = take(fresh)
    assert taken.routines == ()
    assert taken.settings is None
    assert taken.newest is None
    assert taken.refused == ()


def test_what_a_computer_wrote_is_taken_with_its_time(fresh: Path) -> None:
    put_on(fresh, "routines/Längere Töne ♭.TOML", b"version = 1 # new\n")
    put_on(fresh, "settings/settings.toml", b"a4 = 442\r\n", WRITTEN + timedelta(days=1))
    taken = take(fresh)
    assert taken.routines == (("Längere Töne ♭.toml", "version = 1 # new\n"),)
    assert taken.settings == "a4 = 442\r\n"
    assert taken.before == 'horn = "alto"\r\na4 = 440\r\n'
    assert taken.newest == WRITTEN + timedelta(days=1)
    assert taken.refused == ()


def test_a_before_that_a_computer_wrote_is_not_believed(fresh: Path) -> None:
    put_on(fresh, "settings/before.toml", b"a4 = 442\r\n")
    taken = take(fresh)
    assert (taken.settings, taken.before) == (None, None)


def test_a_folder_that_the_computer_left_at_the_top_tells_its_time(fresh: Path) -> None:
    """Windows makes System Volume Information on every drive that it meets, macOS .fseventsd (common practice)."""
    put_on(fresh, "System Volume Information", b"", datetime(2027, 1, 2, 3, 4, 6))
    assert take(fresh).newest == datetime(2027, 1, 2, 3, 4, 6)


def test_a_file_that_keeps_its_old_time_is_dated_by_when_it_was_made_on_the_drive(fresh: Path) -> None:
    """Windows copies the time of the last change and stamps the making: Microsoft, "File Times"."""
    put_on(fresh, "routines/old.toml", b"x = 1")
    patch = Patch.of(fresh)
    at = patch.slot("OLD~1   TOM")
    patch.data[at + 22 : at + 26] = bytes((0, 0, 0x21, 0x30))  # written on 1 January 2004
    assert take(patch.save(fresh)).newest == WRITTEN


def test_what_computers_leave_by_the_way_is_passed_over_in_silence(fresh: Path) -> None:
    for name in ("._five minutes.toml", ".DS_Store", "desktop.ini", "Thumbs.db", "~$x.toml"):
        put_on(fresh, f"routines/{name}", b"\0\1")
    put_on(fresh, "settings/notes.txt", b"mine")
    put_on(fresh, "virus.exe", b"MZ")
    assert (take(fresh).routines, take(fresh).refused) == ((), ())


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("routines/notes.txt", b"x", "routines/notes.txt: it is no routine; wanted a name that ends in .toml."),
        (
            "routines/big.toml",
            bytes(65537),
            "routines/big.toml: it is larger than 64 KiB; wanted a page or two of text.",
        ),
        ("routines/latin.toml", b"\xe4", "it is no text in UTF-8; save it as plain text in UTF-8."),
        ("routines/com1.x.toml", b"x", "its name is that of a device on some computers; choose another."),
        ("settings/settings.toml", bytes(70000), "settings/settings.toml: it is larger than 64 KiB"),
    ],
)
def test_what_is_not_taken_is_told_in_a_sentence(written: Writer, name: str, content: bytes, sentence: str) -> None:
    taken = take(written({name: content}))
    assert (taken.routines, taken.settings) == ((), None)
    assert len(taken.refused) == 1
    assert sentence in taken.refused[0]


def test_a_routine_of_exactly_64_kib_is_taken_and_one_in_a_folder_deeper_is_not(written: Writer) -> None:
    taken = take(written({"routines/full.toml": b"#" * 65536, "routines/deeper/x.toml": b"x", "x.toml": b"y"}))
    assert [name for name, _ in taken.routines] == ["full.toml"]
    assert taken.refused == ()


def test_the_hundred_and_first_routine_and_the_second_mebibyte_are_refused(written: Writer) -> None:
    many = take(written({f"routines/{n:03}.toml": b"x" for n in range(103)}))
    assert len(many.routines) == 100
    assert len(many.refused) == 3
    assert "there are 100 routines before it already" in many.refused[0]


def test_all_routines_together_may_not_be_large(written: Writer) -> None:
    much = take(written({f"routines/{n:03}.toml": b"#" * 65536 for n in range(20)}))
    assert len(much.routines) == 16
    assert "more than 1024 KiB" in much.refused[0]


def test_thousands_of_wrong_files_make_twenty_sentences(written: Writer) -> None:
    taken = take(written({f"routines/{n:04}.txt": b"" for n in range(3000)}))
    assert len(taken.refused) == 21
    assert taken.refused[-1] == "1980 more files were not taken."  # of the first 2000 that are looked at


def test_a_tree_of_any_depth_costs_nothing(written: Writer) -> None:
    taken = take(written({"/".join(["routines", *["d"] * 60, "x.toml"]): b"x", "routines/y.toml": b"y"}))
    assert taken.routines == (("y.toml", "y"),)


SIZES = {"12": {1: 1, 4: 4, 8: 8}, "16": {1: 16, 4: 40, 8: 64}, "32": {1: 40, 2: 70}}
"""Sectors a cluster, and MiB of the volume with which mkfs.vfat is content."""


@pytest.mark.parametrize("kind", ["12", "16", "32"])
@pytest.mark.parametrize("with_table", [True, False])
def test_a_drive_that_was_formatted_anew_is_read_as_mtools_reads_it(
    tmp_path: Path, kind: str, with_table: bool
) -> None:
    """Random files on FAT12, FAT16 and FAT32 by mkfs.vfat, clusters of several sizes, behind a table and bare."""
    draw = random.Random(int(kind))
    for per_cluster, mib in SIZES[kind].items():
        image = tmp_path / f"{per_cluster}.img"
        with image.open("wb") as file:
            file.truncate(mib << 20)
        words = ["/usr/sbin/mkfs.vfat", "-F", kind, "-s", str(per_cluster), "--mbr=n", str(image)]
        subprocess.run(words, env=TOOLS, check=True, capture_output=True)
        folder = tmp_path / str(per_cluster)
        folder.mkdir()
        for number in range(40):
            name = f"{draw.choice('aZÄ♭')}{number}{'x ' * draw.randrange(15)}.toml"
            (folder / name).write_text(draw.randbytes(draw.randrange(3000)).hex())
        subprocess.run(["mmd", "-i", str(image), "::/ROUTINES"], env=TOOLS, check=True)
        names = map(str, folder.iterdir())
        subprocess.run(["mcopy", "-i", str(image), *names, "::/routines"], env=TOOLS, check=True)
        if with_table:
            table = partition_table(Geometry(32 if kind == "32" else 16, 512, mib << 20), 1)
            image.write_bytes(table + bytes(START - 512) + image.read_bytes())
        taken = take(image)
        assert dict(taken.routines) == {path.name: path.read_text() for path in folder.iterdir()}
        assert taken.refused == ()


def test_a_short_name_in_small_letters_is_read_as_windows_and_linux_write_it(written: Writer) -> None:
    image = written({"routines/A.TXT": b"x"})
    patch = Patch.of(image)
    patch.data[patch.slot("A       TXT") + 12] = 0x18
    assert take(patch.save(image)).refused[0].startswith("routines/a.txt:")


@pytest.mark.parametrize("content", [b"", b"x" * 511, b"\0" * 4096, os.urandom(100_000), b"\x1f\x8b" + b"\0" * 600])
def test_what_is_no_drive_is_a_sentence(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "in.img").write_bytes(content)
    with pytest.raises(BadInput, match="The drive "):
        take(tmp_path / "in.img")


def test_a_drive_that_is_not_there_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"cannot be read \(No such file or directory\)"):
        take(tmp_path / "in.img")


RELEASE = bytes(range(256)) * 8192  # 2 MiB


def test_a_release_at_the_top_is_taken_whole(fresh: Path, written: Writer) -> None:
    put_on(fresh, "AIRLADDER-0.2.0 (1).ZIP", RELEASE)
    put_on(fresh, "._airladder-0.2.0.zip", b"by the way")
    assert take(fresh).release == ("AIRLADDER-0.2.0 (1).ZIP", RELEASE)
    assert take(fresh).refused == ()
    assert take(written({"routines/airladder-0.2.0.zip": b"x", "airladder.zip": b"x"})).release is None


def test_a_release_as_large_as_may_be_fits_beside_all_else_and_a_larger_one_is_refused(fresh: Path) -> None:
    put_on(fresh, "airladder-9.zip", bytes(MOST_RELEASE))
    taken = take(fresh)
    assert taken.release == ("airladder-9.zip", bytes(MOST_RELEASE))
    put_on(fresh, "airladder-9.zip", bytes(MOST_RELEASE + 1))
    assert take(fresh).release is None
    assert take(fresh).refused == ("airladder-9.zip: it is larger than 8 MiB; wanted a release of this program.",)


def test_of_two_releases_none_is_taken(written: Writer) -> None:
    taken = take(written({"airladder-0.2.0.zip": b"x", "airladder-0.3.0.zip": b"y", "routines/x.toml": b"z"}))
    assert taken.release is None
    assert taken.routines == (("x.toml", "z"),)
    assert taken.refused == tuple(
        f"airladder-0.{n}.0.zip: there are 2 releases; leave only the one that is wanted." for n in (2, 3)
    )


def test_a_release_whose_clusters_run_in_a_circle_is_refused_and_the_rest_is_taken(written: Writer) -> None:
    image = written({"airladder-2.zip": RELEASE, "routines/x.toml": b"z"})
    patch = Patch.of(image)
    first = patch.first("AIRLAD")
    patch.set_next(first + 3, first)
    taken = take(patch.save(image))
    assert (taken.release, taken.routines) == (None, (("x.toml", "z"),))
    assert taken.refused == (
        "airladder-2.zip: its clusters run in a circle or are another file's too; copy it again and eject.",
    )
