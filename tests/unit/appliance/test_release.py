"""A release is an ordinary ZIP file that other programs check too, and anything else is one sentence."""

from __future__ import annotations

import io
import os
import stat
import struct
import subprocess
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airladder import __version__
from airladder.appliance.release import checked, make, packed
from airladder.faults import BadInput
from airladder.journal.steps import shipped
from unit.appliance.smallreleases import files, small, summed, tree


def refused(content: bytes) -> str:
    """The sentence with which it is refused."""
    with pytest.raises(BadInput) as caught:
        checked(content)
    return str(caught.value)


def test_sha256sum_finds_the_release_of_this_program_whole(tmp_path: Path) -> None:
    made = make(tmp_path)
    assert made.name == f"airladder-{__version__}.zip"
    out = tmp_path / "out"
    subprocess.run(["python3", "-m", "zipfile", "-e", str(made), str(out)], check=True)
    done = subprocess.run(["sha256sum", "--strict", "-c", "SHA256SUMS"], cwd=out, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout
    assert "airladder/devices/pins.toml: OK" in done.stdout  # a link in the tree, a file in the release
    assert "__pycache__" not in done.stdout
    said, _ = checked(made.read_bytes())
    assert (said.version, said.log_form) == (__version__, len(shipped()))
    assert set(said.libraries["all"]) >= {"numpy", "aubio", "luma.oled", "gpiozero", "pyalsaaudio"}
    assert "lgpio" in said.libraries["aarch64"]
    assert "pytest" not in said.text()


def test_the_same_tree_gives_the_same_bytes_and_another_one_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    one, other = tree(tmp_path / "one"), tree(tmp_path / "other")
    os.utime(other / "__init__.py", (1, 1))
    (other / "__init__.py").chmod(0o755)
    (other / "__pycache__").mkdir()
    (other / "__pycache__" / "x.pyc").write_bytes(b"x")
    made = make(tmp_path / "a", package=one).read_bytes()
    assert make(tmp_path / "b", package=other).read_bytes() == made
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    dated = make(tmp_path / "c", package=one).read_bytes()
    with zipfile.ZipFile(io.BytesIO(dated)) as source:
        assert {entry.date_time for entry in source.infolist()} == {(2023, 11, 14, 22, 13, 20)}
    assert packed(dict(reversed(files().items()))) == packed(files())
    (other / "__main__.py").write_text("1\n")
    assert make(tmp_path / "d", package=other).read_bytes() != dated


def test_what_somebody_packed_anew_with_folders_and_compressed_is_taken(tmp_path: Path) -> None:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as target:
        target.writestr("airladder/", b"")
        for name, content in summed(files()).items():
            target.writestr(name, content)
    assert checked(made.getvalue()) == checked(small())


def test_a_package_without_a_version_makes_no_release(tmp_path: Path) -> None:
    (tree(tmp_path / "p") / "__init__.py").write_text("")
    with pytest.raises(BadInput, match="its version is 'nothing like it'"):
        make(tmp_path, package=tmp_path / "p")


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "it is no ZIP file; copy the file again, or fetch it anew."),
        (b"MZ and more", "it is no ZIP file; copy the file again, or fetch it anew."),
        (small()[:-1], "it has no end, as if it had been cut off; copy the file again, or fetch it anew."),
        (small()[:1000], "it has no end, as if it had been cut off; copy the file again, or fetch it anew."),
        (small() + b"\0", "it has no end, as if it had been cut off; copy the file again, or fetch it anew."),
        (packed(files()), "it has no SHA256SUMS; wanted a release made by `airladder update make`."),
        (
            packed(summed({"airladder/x.py": b""})),
            "it has no release.toml; wanted a release made by `airladder update make`.",
        ),
    ],
)
def test_what_is_no_release_is_one_sentence(content: bytes, sentence: str) -> None:
    assert refused(content) == sentence


def test_a_release_that_was_cut_off_anywhere_is_refused() -> None:
    whole = small()
    for length in range(len(whole)):
        refused(whole[:length])


def test_a_file_with_another_sum_is_named() -> None:
    inside = summed(files())
    inside["airladder/__main__.py"] += b"#"
    assert "airladder/__main__.py in it has another checksum than its SHA256SUMS says" in refused(packed(inside))


def test_a_file_that_is_not_listed_and_one_that_is_missing_are_named() -> None:
    inside = summed(files())
    assert "airladder/more.py is in it and not listed" in refused(packed({**inside, "airladder/more.py": b""}))
    del inside["airladder/__main__.py"]
    assert "airladder/__main__.py is listed in its SHA256SUMS and is not in it" in refused(packed(inside))


@pytest.mark.parametrize("line", [b"0" * 64 + b" *airladder/__main__.py\n", b"\xff\n", b"\n"])
def test_sums_of_another_form_are_refused(line: bytes) -> None:
    inside = summed(files())
    assert "has a line that is none of sha256sum's" in refused(packed({**inside, "SHA256SUMS": line}))


@pytest.mark.parametrize(
    "name",
    [
        "../airladder/x.py",
        "airladder/../../x.py",
        "/airladder/x.py",
        "airladder//x.py",
        "airladder/./x.py",
        "airladder\\x.py",
        "airladder/.x",
        "airladder/-x",
        "airladder/x y.py",
        "airladder/ä.py",
        "airladder/x\n.py",
        "airladder/" + "x" * 65,
        "airladder/" + "d/" * 9 + "x.py",
        "airladder/__pycache__/x.pyc",
        "setup.py",
        "C:/airladder/x.py",
        "airladder",
    ],
)
def test_names_that_are_none_of_a_release_are_refused(name: str) -> None:
    assert "in it is no name of a release's file" in refused(packed(summed({**files(), name: b""})))


def test_names_that_differ_in_capitals_alone_and_files_that_are_folders_are_refused() -> None:
    assert "is in it twice" in refused(packed(summed({**files(), "airladder/X.PY": b"", "airladder/X.Py": b""})))
    assert "'airladder/__main__.py' in it is a file and a folder" in refused(
        packed(summed({**files(), "airladder/__main__.py/x": b""}))
    )


def entry(name: str, content: bytes, **more: int) -> bytes:
    """A release with one more file, whose entry is as it should not be."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as target:
        for plain, what in summed({**files(), name: content}).items():
            info = zipfile.ZipInfo(plain)
            info.compress_type = zipfile.ZIP_DEFLATED
            if plain == name:
                for key, value in more.items():
                    setattr(info, key, value)
            target.writestr(info, what)
    return made.getvalue()


def test_links_devices_and_what_is_packed_in_other_ways_are_refused() -> None:
    for kind in (stat.S_IFLNK, stat.S_IFCHR, stat.S_IFIFO, stat.S_IFDIR):
        said = refused(entry("airladder/link.py", b"/etc/passwd", external_attr=(kind | 0o777) << 16))
        assert said == "airladder/link.py in it is a link or no ordinary file; pack the files themselves."
    whole = bytearray(small())
    listed = whole.rindex(b"PK\x01\x02")
    whole[listed + 8] |= 1  # of the last file: a password is wanted
    assert refused(bytes(whole)).startswith("it is damaged (")


def test_what_would_unpack_to_too_much_is_refused_before_it_is_unpacked() -> None:
    bomb = entry("airladder/bomb.py", bytes(5 << 20))
    assert len(bomb) < 100_000
    assert "airladder/bomb.py in it would unpack to more than a release may have (4 MiB a file" in refused(bomb)
    many = packed({**files(), **{f"airladder/{n}.py": bytes(4 << 20) for n in range(6)}})
    assert "24 MiB together" in refused(many)


def test_a_file_that_unpacks_to_more_than_it_says_is_refused() -> None:
    whole = bytearray(entry("airladder/bomb.py", bytes(5 << 20)))
    at = 0
    while (at := whole.find(b"PK\x01\x02", at)) >= 0:
        if whole[at + 46 :].startswith(b"airladder/bomb.py"):
            struct.pack_into("<I", whole, at + 24, 100)  # the unpacked size, as the list says it
        at += 4
    assert refused(bytes(whole)).startswith("it is damaged (")


def test_a_list_of_very_many_files_is_not_read() -> None:
    assert "it lists more than 2000 files" in refused(packed({f"airladder/{n}.py": b"" for n in range(2001)}))
    whole = bytearray(small())
    struct.pack_into("<I", whole, len(whole) - 10, 600 << 10)  # the size of the list, as the end says it
    assert "it lists more than 2000 files" in refused(bytes(whole))


def test_a_release_that_says_another_version_than_its_program_is_refused() -> None:
    inside = files()
    inside["airladder/__init__.py"] = b'__version__ = "0.3.0"\n'
    assert "says version 0.2.0 with log form 4, and the program in it 0.3.0 with 4" in refused(packed(summed(inside)))
    del inside["airladder/journal/schema/0004_x.sql"]
    assert "and the program in it 0.3.0 with 3" in refused(packed(summed(inside)))


WHOLE = small()
RIGHT = checked(WHOLE)


@pytest.mark.parametrize("bit", [0, 3, 7])
def test_any_byte_changed_is_refused_or_changes_nothing(bit: int) -> None:
    """Every byte of the file: times and modes may change, nothing else may."""
    ended = {"refused": 0, "the same": 0}
    for at in range(len(WHOLE)):
        spoilt = bytearray(WHOLE)
        spoilt[at] ^= 1 << bit
        try:
            assert checked(bytes(spoilt)) == RIGHT
            ended["the same"] += 1
        except BadInput:
            ended["refused"] += 1
    assert ended["refused"] > ended["the same"] > 0


@given(st.lists(st.tuples(st.integers(0, len(WHOLE) - 1), st.integers(0, 255)), max_size=30))
def test_bytes_changed_anywhere_end_in_a_sentence_or_in_the_same(changes: list[tuple[int, int]]) -> None:
    spoilt = bytearray(WHOLE)
    for at, value in changes:
        spoilt[at] = value
    try:
        assert checked(bytes(spoilt)) == RIGHT
    except BadInput as fault:
        assert "\n" not in str(fault)  # noqa: PT017 -- either is right


@given(st.text(min_size=1, max_size=40).filter(lambda name: "\0" not in name))
def test_no_name_leads_outside(name: str) -> None:
    """Any text behind ``airladder/``: what is taken is a plain path below the folder it is written into."""
    try:
        _, taken = checked(packed(summed({**files(), f"airladder/{name}": b""})))
    except (BadInput, UnicodeEncodeError):
        return
    for each in taken:
        inside = (Path("/store/new") / each).parts
        assert inside[:3] == ("/", "store", "new")
        assert not {".", ".."} & set(inside)
        assert os.path.normpath(f"/store/new/{each}") == f"/store/new/{each}"
