"""`seal` on a prepared tree: the kernel's words, the files it puts; and what its generator makes of those words."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

SYSTEM = Path(__file__).resolve().parents[2] / "firmware/system"
LINE = "console=tty1 root=PARTUUID=12345678-02 rootfstype=ext4 fsck.repair=yes rootwait quiet"


def seal(tree: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """One run of seal on `tree`."""
    command = ["sh", str(SYSTEM / "seal"), *words, "--root", str(tree)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def make(tree: Path, line: str = LINE) -> Path:
    """A tree with a cmdline.txt of `line`; the file's path."""
    file = tree / "boot/firmware/cmdline.txt"
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(f"{line}\n")
    return file


def words(file: Path) -> list[str]:
    """The words of cmdline.txt, which must be one line."""
    text = file.read_text()
    assert text.endswith("\n")
    assert text.count("\n") == 1
    return text.split()


def test_closing_adds_the_words_and_keeps_all_others_in_their_order(tmp_path: Path) -> None:
    file = make(tmp_path)
    assert seal(tmp_path, "close").returncode == 0
    assert words(file) == [*LINE.split(), "ro", "rootflags=noload", "fsck.mode=skip"]


def test_opening_takes_away_what_closing_added(tmp_path: Path) -> None:
    file = make(tmp_path)
    seal(tmp_path, "close")
    assert seal(tmp_path, "open").returncode == 0
    assert words(file) == LINE.split()


def test_the_file_never_becomes_shorter_so_that_a_cut_leaves_a_whole_line(tmp_path: Path) -> None:
    file = make(tmp_path)
    sizes = [len(file.read_bytes())]
    for word in ("close", "open", "close", "open"):
        seal(tmp_path, word)
        sizes.append(len(file.read_bytes()))
    assert sizes == sorted(sizes)
    assert file.stat().st_size < 512


def test_closing_twice_is_closing_once(tmp_path: Path) -> None:
    file = make(tmp_path)
    seal(tmp_path, "close")
    once = file.read_bytes()
    again = seal(tmp_path, "close")
    assert again.returncode == 0
    assert "already" in again.stdout
    assert file.read_bytes() == once


def test_other_flags_of_the_root_stay(tmp_path: Path) -> None:
    file = make(tmp_path, "root=/dev/x rootflags=data=journal,commit=60 rw quiet")
    seal(tmp_path, "close")
    assert "rootflags=data=journal,commit=60,noload" in words(file)
    assert "rw" not in words(file)
    seal(tmp_path, "open")
    assert words(file) == ["root=/dev/x", "quiet", "rootflags=data=journal,commit=60"]


@settings(deadline=None, max_examples=6)
@given(st.lists(st.from_regex(r"[a-z][a-z0-9.=*?-]{0,12}", fullmatch=True), max_size=6))
def test_strange_words_come_through_as_they_are(tmp_path_factory: pytest.TempPathFactory, strange: list[str]) -> None:
    ours = ("ro", "rw", "airladder.room")
    strange = [w for w in strange if w not in ours and not w.startswith(("rootflags=", "fsck.mode="))]
    tree = tmp_path_factory.mktemp("tree")
    file = make(tree, " ".join(["root=/dev/x", *strange]))
    seal(tree, "close")
    seal(tree, "open")
    assert words(file) == ["root=/dev/x", *strange]


def test_a_word_with_a_star_is_no_file_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = make(tmp_path, "root=/dev/x some*")
    (tmp_path / "something").touch()
    monkeypatch.chdir(tmp_path)
    seal(tmp_path, "close")
    assert words(file)[:2] == ["root=/dev/x", "some*"]


def test_closing_puts_what_acts_at_a_start(tmp_path: Path) -> None:
    make(tmp_path)
    said = seal(tmp_path, "close").stdout
    assert "update-initramfs" in said
    etc = tmp_path / "etc"
    for path in ("systemd/system-generators/airladder-sealed", "initramfs-tools/hooks/airladder-seal"):
        assert (etc / path).stat().st_mode & 0o111
    assert (etc / "initramfs-tools/scripts/local-premount/airladder-seal").stat().st_mode & 0o111
    assert (etc / "systemd/system/multi-user.target.wants/airladder-room.service").resolve().is_file()
    assert not (etc / "rpi").exists()


def test_where_rpi_swap_is_it_gets_no_file_on_the_root(tmp_path: Path) -> None:
    make(tmp_path)
    (tmp_path / "etc/rpi").mkdir(parents=True)
    (tmp_path / "etc/rpi/swap.conf").write_text("[Main]\n")
    seal(tmp_path, "close")
    assert "Mechanism=zram" in (tmp_path / "etc/rpi/swap.conf.d/airladder.conf").read_text().splitlines()


@pytest.mark.parametrize(
    ("given_words", "code", "said"),
    [
        (("shut",), 2, "there is no 'shut'"),
        (("open", "close"), 2, "one word at a time"),
        (("open", "--close"), 2, "--close goes with room"),
        (("open",), 3, "cmdline.txt"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(
    tmp_path: Path, given_words: tuple[str, ...], code: int, said: str
) -> None:
    done = seal(tmp_path, *given_words)
    assert done.returncode == code
    assert said in done.stderr
    assert done.stderr.count("\n") == 1


def generated(tmp_path: Path, line: str) -> Path:
    """The folder `generator.early` after the generator has run with the kernel's words `line`."""
    (tmp_path / "cmdline").write_text(f"{line}\n")
    script = tmp_path / "generator"
    shutil.copy(SYSTEM / "seal.d/generator", script)
    script.write_text(script.read_text().replace("/proc/cmdline", str(tmp_path / "cmdline")))
    early = tmp_path / "early"
    early.mkdir(exist_ok=True)
    subprocess.run(["sh", str(script), str(tmp_path), str(early), str(tmp_path)], check=True)
    return early


def test_an_open_root_has_nothing_generated(tmp_path: Path) -> None:
    assert not list(generated(tmp_path, f"{LINE} ro").iterdir())


def test_a_closed_root_is_not_remounted_and_has_its_folders_in_memory(tmp_path: Path) -> None:
    early = generated(tmp_path, f"{LINE} ro rootflags=data=ordered,noload fsck.mode=skip")
    assert (early / "systemd-remount-fs.service").readlink() == Path("/dev/null")
    for unit, path in (("tmp", "/tmp"), ("var-log", "/var/log"), ("var-tmp", "/var/tmp")):
        assert f"Where={path}\n" in (early / f"{unit}.mount").read_text()
        assert (early / "local-fs.target.wants" / f"{unit}.mount").resolve() == (early / f"{unit}.mount").resolve()
    assert "Options=ro\n" in (early / "boot-firmware.mount.d/airladder-sealed.conf").read_text()


def files_of(tree: Path) -> set[str]:
    """All files and links of a tree."""
    return {str(path.relative_to(tree)) for path in tree.rglob("*") if path.is_file() or path.is_symlink()}


def test_what_was_put_on_an_open_root_can_be_taken_away_and_nothing_else(tmp_path: Path) -> None:
    file = make(tmp_path)
    (tmp_path / "etc/rpi").mkdir(parents=True)
    (tmp_path / "etc/rpi/swap.conf").write_text("[Main]\n")
    before = files_of(tmp_path)
    seal(tmp_path, "close")
    assert len(files_of(tmp_path) - before) >= 5
    refused = seal(tmp_path, "remove")
    assert refused.returncode == 3
    assert "open it first" in refused.stderr
    seal(tmp_path, "open")
    assert seal(tmp_path, "remove").returncode == 0
    assert files_of(tmp_path) == before
    assert words(file) == LINE.split()
    assert seal(tmp_path, "remove").returncode == 0


def test_the_data_partition_is_made_the_same_way_at_once_and_at_a_start_and_without_what_a_cut_could_tear() -> None:
    made = [
        re.search(r"-L airladder -m 1 (-O \S+)", (SYSTEM / "seal.d" / name).read_text()) for name in ("room", "early")
    ]
    assert [found and found[1] for found in made] == ["-O ^metadata_csum,^metadata_csum_seed"] * 2
