"""firmware/install puts its files into a root, takes up where it was cut off, and takes them away again."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

from install.conftest import CMDLINE, CONFIG, ROOT, VERSION, Install, listing

OPT = Path("opt/airladder")
BASE_PACKAGE = "airladder/devices/pins.toml"


def test_a_second_install_changes_nothing(install: Install, tree: Path, wheels: Path) -> None:
    before = listing(tree)
    install("--into", tree, "--wheels", wheels)
    assert listing(tree) == before


def test_the_program_lies_there_whole_with_the_pin_map_and_its_bytecode(whole: Path) -> None:
    base = whole / OPT / "base"
    assert base.is_symlink()
    assert (base / BASE_PACKAGE).read_bytes() == (ROOT / "hardware/pins.toml").read_bytes()
    assert not (base / BASE_PACKAGE).is_symlink()
    sources = [path for path in base.rglob("*.py") if path.parent.name != "__pycache__"]
    compiled = {path.name.split(".")[0] for path in base.rglob("*.pyc")}
    assert {path.stem for path in sources} == compiled


def test_the_bytecode_needs_no_clock_and_tells_where_the_program_will_lie(whole: Path) -> None:
    compiled = next((whole / OPT / "base").glob("airladder/__pycache__/faults.*.pyc")).read_bytes()
    assert int.from_bytes(compiled[4:8], "little") == 0b01  # by its content, and unchecked (PEP 552)
    assert b"/opt/airladder/base-" in compiled
    assert str(whole).encode() not in compiled


def test_the_python_finds_the_libraries_of_the_wheels(whole: Path) -> None:
    python = whole / OPT / "python"
    assert (python / "bin/python").readlink() == Path("/usr/bin/python3")
    assert "include-system-site-packages = false" in (python / "pyvenv.cfg").read_text()
    packages = python / "lib" / VERSION / "site-packages"
    words = subprocess.run(
        [sys.executable, "-c", "import invented; print(invented.WORD)"],
        env={"PYTHONPATH": str(packages)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert words.stdout == "invented\n"


def test_the_user_is_in_the_groups_of_its_devices_and_owns_the_data(whole: Path) -> None:
    passwd = dict(line.split(":", 1) for line in (whole / "etc/passwd").read_text().splitlines())
    number = int(passwd["airladder"].split(":")[1])
    assert passwd["airladder"].endswith(":/usr/sbin/nologin")
    groups = {line.split(":")[0] for line in (whole / "etc/group").read_text().splitlines() if "airladder" in line}
    assert groups == {"airladder", "audio", "gpio", "i2c"}
    data = (whole / "var/lib/airladder").stat()
    assert (data.st_uid, f"{data.st_mode & 0o777:o}") == (number, "755")


def test_all_that_is_listed_is_there(whole: Path) -> None:
    """By this list it is taken away again."""
    lines = [line.split(" ", 1) for line in (whole / OPT / "places").read_text().splitlines()]
    assert {kind for kind, _ in lines} == {"file", "unit", "mask", "on", "folder"}
    assert [where for _, where in lines if not (whole / where.lstrip("/")).is_symlink()
            and not (whole / where.lstrip("/")).exists()] == []  # fmt: skip
    masked = [where for kind, where in lines if kind == "mask"]
    assert {(whole / where.lstrip("/")).readlink() for where in masked} == {Path("/dev/null")}


def test_it_is_taken_away_but_for_what_was_practised(install: Install, tree: Path, bare: Path) -> None:
    (tree / "var/lib/airladder/log.sqlite").write_text("a log")
    install("--into", tree, "--remove")
    left = set(listing(tree).items() ^ listing(bare).items())
    assert {name for name, _ in left} == {
        "etc/passwd", "etc/group", "etc/shadow", "etc/gshadow",
        "opt", "var", "var/lib", "var/lib/airladder", "var/lib/airladder/log.sqlite",
    }  # fmt: skip
    assert (tree / "etc/asound.conf").read_text() == "# the owner's\n"
    assert (tree / "var/lib/airladder/log.sqlite").read_text() == "a log"
    install("--into", tree, "--remove")  # once more is harmless


def test_a_new_install_takes_what_was_practised_up_again(install: Install, tree: Path, wheels: Path) -> None:
    before = listing(tree)
    install("--into", tree, "--remove")
    install("--into", tree, "--wheels", wheels)
    assert listing(tree) == before


def test_what_a_cut_left_half_made_is_made_anew(install: Install, tree: Path, wheels: Path) -> None:
    before = listing(tree)
    opt = tree / OPT
    for name in ("base", "python", "system"):
        (opt / f"{name}-half").mkdir()
        (opt / f"{name}-half/torn").write_text("torn")
        whole = opt / (opt / name).readlink()
        (opt / name).unlink()
        shutil.rmtree(whole)
    for torn in ("etc/asound.conf.new", "opt/airladder/places.both", "opt/airladder/start.new"):
        (tree / torn).write_text("torn")
    (tree / "etc/asound.conf").write_text("torn")
    (tree / OPT / "start").unlink()
    install("--into", tree, "--wheels", wheels)
    assert listing(tree) == before


def test_a_file_that_this_version_has_no_more_goes(install: Install, tree: Path, wheels: Path) -> None:
    before = listing(tree)
    gone = tree / "etc/udev/rules.d/50-of-an-older-one.rules"
    gone.write_text("")
    with (tree / OPT / "places").open("a") as places:
        places.write("file /etc/udev/rules.d/50-of-an-older-one.rules\n")
    install("--into", tree, "--wheels", wheels)
    assert listing(tree) == before


def test_a_newer_program_takes_the_place_of_the_older_one_and_of_nothing_else(
    install: Install, checkout: Path, tree: Path, wheels: Path, tmp_path: Path
) -> None:
    newer = tmp_path / "newer"
    shutil.copytree(checkout, newer, symlinks=True)
    (newer / "firmware/airladder/faults.py").write_text("# newer\n")
    older = (tree / OPT / "base").readlink()
    python = (tree / OPT / "python").readlink()
    install("--into", tree, "--wheels", wheels, of=newer)
    assert (tree / OPT / "base").readlink() != older
    assert not (tree / OPT / older).exists()
    assert (tree / OPT / "base/airladder/faults.py").read_text() == "# newer\n"
    assert (tree / OPT / "python").readlink() == python


def test_what_the_owner_had_in_the_boot_configuration_stays(install: Install, tree: Path, wheels: Path) -> None:
    boot = tree / "boot/firmware"
    assert (boot / "config.txt").read_text().startswith(CONFIG)
    assert (boot / "config.txt.before-airladder").read_text() == CONFIG
    with (boot / "config.txt").open("a") as config:
        config.write("theirs=2\n")
    (boot / "cmdline.txt").write_text((boot / "cmdline.txt").read_text().rstrip("\n") + " theirs=2\n")
    install("--into", tree, "--wheels", wheels)
    assert (boot / "config.txt").read_text().count("# >>> airladder") == 1
    install("--into", tree, "--remove")
    assert (boot / "config.txt").read_text() == CONFIG + "theirs=2\n"
    assert (boot / "cmdline.txt").read_text().split() == [*CMDLINE.split(), "theirs=2"]
    assert sorted(path.name for path in boot.rglob("*")) == ["cmdline.txt", "config.txt", "overlays"]


def test_a_word_of_the_owners_is_not_taken_away_with_ours(
    install: Install, bare: Path, wheels: Path, tmp_path: Path
) -> None:
    root = tmp_path / "root"
    shutil.copytree(bare, root, symlinks=True)
    cmdline = root / "boot/firmware/cmdline.txt"
    cmdline.write_text("root=PARTUUID=0000-02 quiet rootwait\n")
    install("--into", root, "--wheels", wheels)
    assert cmdline.read_text().split() == ["root=PARTUUID=0000-02", "quiet", "rootwait", "loglevel=3", "logo.nologo"]
    install("--into", root, "--remove")
    assert cmdline.read_text().split() == ["root=PARTUUID=0000-02", "quiet", "rootwait"]
