"""The box on the bare virtual board: arm64, Debian 13's kernel, real threads, and devices that kernels make.

One machine is started for all of these; it runs the box's own command, with a recorded saxophone at its microphone,
and somebody reads its glass and presses its buttons. Where it breaks off, all that was to come after it fails. Time
inside is counted in instructions, so nothing depends on how fast this computer is, and no claim is one about time.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from airladder.drive.outgoing import LABEL
from board.driven import EVERYTHING, STEADY, Board
from board.evening import Evening
from board.machine import Machine
from board.sounds import PARTIALS, write

HERE = Path(__file__).parents[2] / "board"
LONGEST_S = 1500.0  # on a very busy computer; a minute and a half on one of two cores that has nothing else to do
TRIES = 2

LIBRARIES = ("numpy", "aubio", "alsaaudio", "lgpio", "PIL", "sqlite3")
"""Those of which a part is machine code; that of Python's own is there because the log is."""
PLACES = "XDG_DATA_HOME=/var/lib XDG_CONFIG_HOME=/var/lib"
BOX = f"{PLACES} python3 -m airladder box >/run/box.log 2>&1 & echo $! >/run/box.pid"
PLAY = "while aplay -q -D hw:airladder,1,0 /sounds/horn.wav; do :; done >/run/play.log 2>&1 & echo $! >/run/play.pid"
END = "kill $(cat /run/box.pid); while [ -e /proc/$(cat /run/box.pid) ]; do sleep 0.2; done"

Said = dict[str, str]


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Said]:
    """What was seen, by what it is about; what was not reached is missing, and `broke off` says why."""
    sounds = tmp_path_factory.mktemp("sounds")
    write(sounds / "horn.wav")
    said: Said = {}
    with Machine(
        HERE / "bare.sh", lent={**EVERYTHING, "/sounds": sounds}, words=STEADY, longest=LONGEST_S
    ) as machine:
        try:
            machine.until("ready")
            board = Board(machine)
            lived(board, Evening(board), said)
            machine.tell("end")
            said["code"] = str(machine.wait())
        except (RuntimeError, AssertionError) as error:
            said["broke off"] = str(error)
        yield said


def lived(board: Board, evening: Evening, said: Said) -> None:
    """A first evening with the box."""
    board.run("mkdir -p /var/lib/airladder; echo 'fingering = \"Bb3\"' >/var/lib/airladder/settings.toml")
    board.run(BOX)
    evening.opening()
    said["opening"] = " ".join(evening.pages)
    board.run(PLAY)
    evening.to_today()
    said["today"] = " ".join(evening.pages)
    said["libraries"] = board.run("grep -o '/usr/[^ ]*[.]so[^ ]*' /proc/$(cat /run/box.pid)/maps | sort -u")
    evening.listens(PARTIALS)
    said["partials"] = " ".join(map(str, evening.partials))
    said["kept"] = str(evening.practises(TRIES))
    said["pages"] = " ".join(evening.pages)
    said["heard"] = board.run(
        "sqlite3 /var/lib/airladder/log.sqlite 'SELECT DISTINCT partial FROM attempt ORDER BY 1'"
    )
    board.run("kill $(cat /run/play.pid); pkill aplay")  # the drive is built sooner when there is nothing to hear
    said["drive"] = board.run(f"sh /airladder/tests/board/inside/drive.sh {said['kept']}")
    said["ended"] = board.run(f"{END}; cat /run/box.log")


def found(said: Said, about: str) -> str:
    """What was seen of it."""
    assert about in said, f"this was not reached: {said.get('broke off')}"
    return said[about]


def test_the_libraries_that_are_machine_code_are_loaded_on_arm64(said: Said) -> None:
    loaded = found(said, "libraries")
    assert {name for name in LIBRARIES if name in loaded} == set(LIBRARIES)
    assert "aarch64-linux-gnu" in loaded


def test_the_first_picture_reaches_the_glass_through_the_kernels_i2c(said: Said) -> None:
    assert found(said, "opening").startswith("opening")


def test_buttons_on_a_real_gpiochip_lead_through_the_first_run_to_todays_plan(said: Said) -> None:
    pages = found(said, "today").split()
    assert pages[-1] == "today"
    assert {"cautions", "level"} <= set(pages)


def test_the_partials_of_a_recorded_saxophone_are_read_from_the_sound_card_by_name(said: Said) -> None:
    assert set(map(int, found(said, "partials").split())) == set(PARTIALS)


def test_tries_of_a_practice_are_kept_with_what_was_heard(said: Said) -> None:
    assert int(found(said, "kept")) >= TRIES
    assert {int(word) for word in found(said, "heard").split()} <= set(PARTIALS)


def test_the_drive_appears_as_a_disk_and_holds_the_report_and_every_kept_try(said: Said) -> None:
    label, *lines = found(said, "drive").splitlines()
    assert label == LABEL
    assert "report.html" in lines
    assert int(next(line for line in lines if line.startswith("tries ")).split()[1]) >= int(said["kept"])
    assert "<!doctype html>" in said["drive"].lower()


def test_it_ends_when_it_is_told_to_and_the_machine_goes_off(said: Said) -> None:
    assert "Traceback" not in found(said, "ended")
    assert found(said, "code") == "0"
