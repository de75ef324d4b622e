"""Drives that were spoilt by hand: whatever stands in them, reading ends soon and says a sentence or nothing."""

from __future__ import annotations

import random
import resource
import time
from pathlib import Path

import pytest

from airladder.drive.incoming import Taken, take
from airladder.faults import BadInput
from drive.conftest import Writer, written_drive
from drive.fatpatch import Patch, fsck

GOOD = b"# a routine\n" * 1500  # 18 kB: several clusters
FILES = {"routines/aaaa.toml": GOOD, "routines/bbbb.toml": GOOD[:-1], "settings/settings.toml": b"a4 = 442\n"}


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A drive with two routines and settings."""
    return written_drive(tmp_path_factory.mktemp("whole"), FILES).read_bytes()


@pytest.fixture
def spoilt(whole: bytes) -> Patch:
    """The same, to be spoilt."""
    return Patch(bytearray(whole))


def read(patch: Patch, tmp_path: Path) -> Taken:
    """What is taken of it; within a second."""
    image = patch.save(tmp_path / "spoilt.img")
    begun = time.process_time()
    try:
        return take(image)
    finally:
        assert time.process_time() - begun < 1.0


def names(taken: Taken) -> list[str]:
    return [name for name, _ in taken.routines]


def test_untouched_it_is_taken_whole(spoilt: Patch, tmp_path: Path) -> None:
    taken = read(spoilt, tmp_path)
    assert names(taken) == ["aaaa.toml", "bbbb.toml"]
    assert taken.settings == "a4 = 442\n"


def test_a_file_whose_clusters_run_in_a_circle_is_refused_and_the_others_are_taken(
    spoilt: Patch, tmp_path: Path
) -> None:
    first = spoilt.first("AAAA")
    spoilt.set_next(first + 1, first)
    taken = read(spoilt, tmp_path)
    assert fsck(tmp_path / "spoilt.img").returncode != 0
    assert names(taken) == ["bbbb.toml"]
    assert taken.refused == (
        "routines/aaaa.toml: its clusters run in a circle or are another file's too; copy it again and eject.",
    )


def test_a_file_that_is_its_own_next_cluster_is_refused(spoilt: Patch, tmp_path: Path) -> None:
    first = spoilt.first("BBBB")
    spoilt.set_next(first, first)
    assert names(read(spoilt, tmp_path)) == ["aaaa.toml"]


def test_two_files_on_the_same_clusters_are_one_file(spoilt: Patch, tmp_path: Path) -> None:
    spoilt.set_first("BBBB", spoilt.first("AAAA"))
    taken = read(spoilt, tmp_path)
    assert names(taken) == ["aaaa.toml"]
    assert "another file's too" in taken.refused[0]


@pytest.mark.parametrize("size", [0xFFFFFFFF, 0x80000000, 65537])
def test_a_size_that_cannot_be_is_refused_before_anything_is_read(spoilt: Patch, tmp_path: Path, size: int) -> None:
    spoilt.set_size("AAAA", size)
    assert read(spoilt, tmp_path).refused == (
        "routines/aaaa.toml: it is larger than 64 KiB; wanted a page or two of text.",
    )


def test_a_size_beyond_its_clusters_is_refused(spoilt: Patch, tmp_path: Path) -> None:
    spoilt.set_size("AAAA", 65536)
    assert "it ends before its size" in read(spoilt, tmp_path).refused[0]


@pytest.mark.parametrize("number", [0, 1, 0x3FFF, 0xFFF7, 0xFFFE])
def test_a_first_cluster_that_is_none_is_refused(spoilt: Patch, tmp_path: Path, number: int) -> None:
    spoilt.set_first("AAAA", number)
    taken = read(spoilt, tmp_path)
    assert names(taken) == ["bbbb.toml"]
    assert len(taken.refused) == 1


@pytest.mark.parametrize("number", [0, 1])
def test_settings_that_begin_before_the_first_cluster_are_not_made_of_the_tables(
    spoilt: Patch, tmp_path: Path, number: int
) -> None:
    spoilt.data[spoilt.place(number) : spoilt.place(number) + 9] = b"a4 = 431\n"
    spoilt.set_first("SETTIN~1TOM", number)
    taken = read(spoilt, tmp_path)
    assert taken.settings is None
    assert "lead out of the drive" in taken.refused[-1]


@pytest.mark.parametrize("link", [0, 1, 0xFFF7, 0xFFF0])
def test_a_chain_that_leads_nowhere_is_refused(spoilt: Patch, tmp_path: Path, link: int) -> None:
    spoilt.set_next(spoilt.first("AAAA") + 1, link)
    assert names(read(spoilt, tmp_path)) == ["bbbb.toml"]


def test_a_folder_that_runs_in_a_circle_is_told_and_the_settings_are_still_taken(
    spoilt: Patch, tmp_path: Path
) -> None:
    first = spoilt.first("ROUTINES")
    spoilt.set_next(first, first)
    end = spoilt.place(first) + 5 * 32  # no end in sight: fill the rest of the cluster with deleted files
    for at in range(end, spoilt.place(first) + spoilt.cluster, 32):
        spoilt.data[at] = 0xE5
    taken = read(spoilt, tmp_path)
    assert taken.settings == "a4 = 442\n"
    assert taken.refused[0].startswith("routines: its clusters run in a circle")


def test_a_folder_that_is_the_root_or_itself_is_no_way_round(spoilt: Patch, tmp_path: Path) -> None:
    spoilt.set_first("ROUTINES", 0)
    assert read(spoilt, tmp_path).routines == ()


def test_a_folder_as_large_as_the_drive_is_read_no_further_than_its_bound(spoilt: Patch, tmp_path: Path) -> None:
    """All free clusters in one chain, full of files: over half a million of them."""
    first, count = spoilt.first("ROUTINES"), (len(spoilt.data) - spoilt.heap) // spoilt.cluster
    slot = b"X       TXT\x20" + bytes(14) + b"\xff\xff" + bytes(4)
    for number in range(100, count):
        spoilt.set_next(number, number + 1)
        spoilt.data[spoilt.place(number) : spoilt.place(number + 1)] = slot * (spoilt.cluster // 32)
    spoilt.set_next(first, 100)
    at = spoilt.place(first)
    for slot_at in range(at, at + spoilt.cluster, 32):
        if not spoilt.data[slot_at]:
            spoilt.data[slot_at : slot_at + 32] = slot
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    taken = read(spoilt, tmp_path)
    assert len(taken.refused) == 21
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 60_000  # KiB; the image itself is saved once


def test_what_stands_behind_thousands_of_deleted_files_is_not_looked_at(spoilt: Patch, tmp_path: Path) -> None:
    first, count = spoilt.first("ROUTINES"), (len(spoilt.data) - spoilt.heap) // spoilt.cluster
    at = spoilt.place(first)
    for slot in range(at, at + spoilt.cluster, 32):
        if not spoilt.data[slot]:
            spoilt.data[slot] = 0xE5
    spoilt.set_next(first, 100)
    for number in range(100, count):
        spoilt.set_next(number, number + 1)
        spoilt.data[spoilt.place(number) : spoilt.place(number + 1)] = b"\xe5" * spoilt.cluster
    near, far = spoilt.place(200), spoilt.place(count - 1)
    spoilt.data[near : near + 32] = b"NEAR    TXT\x20" + bytes(20)
    spoilt.data[far : far + 32] = b"FAR     TXT\x20" + bytes(20)
    (sentence,) = read(spoilt, tmp_path).refused
    assert sentence.startswith("routines/NEAR.TXT")


ESCAPES = [
    "..\\..\\etc\\x.toml", "../../etc/x.toml", "/etc/x.toml", "C:\\x.toml", "a/b.toml", "x\x01\x1b[31m.toml",
    "x\u202egol.toml", "x\ud800.toml", "a?b.toml", "CON.toml", "lpt¹.toml", " x.toml", "..toml",
    "x\n\n.toml", "x" * 41 + ".toml", "x\u2028.toml", "nul .toml",
]  # fmt: skip


@pytest.mark.parametrize("name", ESCAPES)
def test_a_name_that_should_not_be_is_refused_and_told_on_one_line(
    written: Writer, tmp_path: Path, name: str
) -> None:
    image = written({"routines/" + "r" * 200 + ".toml": b"x = 1"})
    patch = Patch.of(image)
    patch.rename("RRRRRR~1TOM", name)
    taken = read(patch, tmp_path)
    assert taken.routines == ()
    assert len(taken.refused) == (not name.startswith("."))  # what begins so is passed over in silence
    assert all(sentence.isprintable() and len(sentence) < 200 for sentence in taken.refused)


def test_a_name_with_a_null_in_it_ends_there(written: Writer, tmp_path: Path) -> None:
    patch = Patch.of(written({"routines/" + "r" * 60 + ".toml": b"x = 1"}))
    patch.rename("RRRRRR~1TOM", "x\0y.toml")
    assert read(patch, tmp_path).refused == ("routines/x: it is no routine; wanted a name that ends in .toml.",)


def test_a_long_name_that_belongs_to_another_file_is_not_believed(written: Writer, tmp_path: Path) -> None:
    """Its checksum is that of another short name; so does FAT tell what an old program moved."""
    patch = Patch.of(written({"routines/" + "r" * 20 + ".toml": b"x = 1"}))
    at = patch.slot("RRRRRR~1TOM")
    patch.data[at : at + 11] = b"OTHER   TOM"
    assert read(patch, tmp_path).refused[0].startswith("routines/OTHER.TOM:")


def test_names_composed_and_decomposed_are_one_name(written: Writer) -> None:
    taken = take(written({"routines/\u00e4.toml": b"x", "routines/a\u0308.toml": b"y"}))
    assert names(taken) == ["\u00e4.toml"]
    assert "there is another of that name" in taken.refused[0]


BOOT = [  # form, place in the boot sector, values; by the table in Microsoft's paper
    ("<H", 11, (0, 1, 511, 513, 256, 8192, 65535)),  # bytes a sector
    ("<B", 13, (0, 3, 128, 255)),  # sectors a cluster
    ("<H", 14, (0, 65535)),  # reserved
    ("<B", 16, (0, 3, 255)),  # tables
    ("<H", 17, (0, 1, 65535)),  # slots in the root
    ("<H", 19, (1, 65535)),  # sectors
    ("<H", 22, (0, 1, 65535)),  # sectors a table
    ("<I", 32, (0, 0xFFFFFFFF)),  # sectors
    ("<I", 44, (0, 0xFFFFFFFF)),  # the root's first cluster on FAT32
]


@pytest.mark.parametrize(
    ("form", "at", "value"), [(form, at, value) for form, at, values in BOOT for value in values]
)
def test_wrong_numbers_in_the_boot_sector_end_in_a_sentence_or_in_files(
    spoilt: Patch, tmp_path: Path, form: str, at: int, value: int
) -> None:
    spoilt.set_field(form, at, value)
    try:
        taken = read(spoilt, tmp_path)
    except BadInput as fault:
        assert str(fault).startswith("The drive ")  # noqa: PT017 -- either is right
    else:
        assert set(names(taken)) <= {"aaaa.toml", "bbbb.toml"}


@pytest.mark.parametrize("start", [0, 1, 0xFFFFFFFF, 70000])
def test_a_partition_that_begins_nowhere_is_a_sentence(spoilt: Patch, tmp_path: Path, start: int) -> None:
    spoilt.data[454:458] = start.to_bytes(4, "little")
    with pytest.raises(BadInput, match="The drive "):
        read(spoilt, tmp_path)


@pytest.mark.parametrize("share", [0.02, 0.032, 0.0335, 0.034])
def test_a_drive_that_was_cut_off_ends_in_a_sentence_or_in_whole_files(
    spoilt: Patch, tmp_path: Path, share: float
) -> None:
    spoilt.data = spoilt.data[: int(len(spoilt.data) * share)]
    try:
        taken = read(spoilt, tmp_path)
    except BadInput as fault:
        assert "drive" in str(fault)  # noqa: PT017 -- either is right
    else:
        assert all(text.encode() in (GOOD, GOOD[:-1]) for _, text in taken.routines)


def test_bytes_changed_at_random_raise_nothing_but_a_fault(spoilt: Patch, tmp_path: Path) -> None:
    """600 drives, each with 1 to 200 bytes changed where the tables, folders and files are."""
    whole = bytes(spoilt.data)
    draw = random.Random(6)
    spots = [
        *range(446, 512),
        *range(1 << 20, (1 << 20) + 512),
        *range(spoilt.table, spoilt.table + 100),
        *range(spoilt.root, spoilt.root + 256),
        *range(spoilt.heap, spoilt.heap + 30 * spoilt.cluster),
    ]
    folder = spoilt.place(spoilt.first("ROUTINES"))
    spots += [*range(folder, folder + 400)] * 20
    image = spoilt.save(tmp_path / "spoilt.img")
    as_ever = take(image)
    ended = {"as ever": 0, "otherwise": 0, "no drive": 0}
    begun = time.process_time()
    with image.open("r+b") as file:
        for _ in range(600):
            places = draw.sample(spots, draw.choice((1, 2, 5, 20, 200)))
            for at in places:
                file.seek(at)
                file.write(bytes([draw.randrange(256)]))
            file.flush()
            try:
                ended["as ever" if take(image) == as_ever else "otherwise"] += 1
            except BadInput:
                ended["no drive"] += 1
            for at in places:
                file.seek(at)
                file.write(whole[at : at + 1])
    assert time.process_time() - begun < 60.0
    assert ended["otherwise"] > 100  # the bytes that were changed do matter
    assert ended["no drive"] > 0
