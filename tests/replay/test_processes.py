"""The program as a process of its own: its exit code, its signals, its terminal, and a disk that is full."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import struct
import subprocess
import sys
import termios
from pathlib import Path

import pytest

from airladder.app.in_terminal import KEYS_HELP
from airladder.cli import main
from airladder.journal.log import Reader

Said = pytest.CaptureFixture[str]


def test_a_full_disk_is_said_by_an_export(climb: Path, capsys: Said) -> None:
    main(["play", "partials rising", str(climb), "--at-once"])
    capsys.readouterr()
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "airladder", "export"],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            env=os.environ,
            check=False,
        )
    assert done.returncode == 4
    assert len(done.stderr.strip().splitlines()) == 1


def test_whoever_stops_reading_is_no_fault(climb: Path) -> None:
    command = f"{sys.executable} -m airladder listen {climb} --json | head -n 1"
    done = subprocess.run(command, shell=True, capture_output=True, text=True, env=os.environ, check=False)
    assert len(done.stdout.splitlines()) == 1
    assert done.stderr == ""


def test_without_a_sound_card_practice_waits_and_says_so(home: Path) -> None:
    """No devices at all: ALSA's configuration is empty. The player gives up after a second (SIGTERM)."""
    (home / "asound.conf").write_text("")
    words = [sys.executable, "-m", "airladder", "practice", "alsa:nosuch"]
    environment = {**os.environ, "ALSA_CONFIG_PATH": str(home / "asound.conf")}
    with subprocess.Popen(
        words, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment
    ) as waiting:
        assert waiting.stdout is not None
        assert waiting.stderr is not None
        assert waiting.stdout.readline().startswith("there is no microphone alsa:nosuch: plug it in")
        waiting.terminate()
        assert "nothing was sounded" in waiting.stdout.read()
        assert waiting.stderr.read() == ""
    assert waiting.returncode == 0


@pytest.mark.parametrize(
    ("command", "last"), [("practice", b"report: "), ("listen", "\u2518".encode())], ids=["practice", "listen"]
)
def test_in_a_terminal_keys_are_buttons_and_the_panel_is_drawn_in_place(
    climb: Path, command: str, last: bytes
) -> None:
    """On a real pseudo-terminal of 80 columns: the panel in its frame, `q` leaves, the terminal is left as it was."""
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    before = termios.tcgetattr(slave)
    words = [sys.executable, "-m", "airladder", command, str(climb)]
    environment = {**os.environ, "PYTHONUTF8": "1"}
    with subprocess.Popen(words, stdin=slave, stdout=slave, stderr=slave, env=environment) as session:
        seen = b""
        while b"\x1b[18F" not in seen:  # the second picture: it is being redrawn in place
            seen += os.read(master, 4096)
        os.write(master, b"q")
        while last not in seen:
            seen += os.read(master, 4096)
        assert session.wait(5) in (0, 1)  # 1: listening was left before the first tone had ended
    assert termios.tcgetattr(slave) == before
    os.close(master)
    os.close(slave)
    text = seen.decode("utf-8", errors="replace")
    assert (KEYS_HELP in text) == (command == "practice")
    assert "\u250c" + 64 * "\u2500" + "\u2510" in text


def test_a_disk_that_is_full_loses_no_earlier_session_and_says_what_could_not_be_kept(
    climb: Path, home: Path
) -> None:
    """No file may grow beyond 32 kB (RLIMIT_FSIZE): SQLite can open the log, but soon finds no room for new tries."""
    log = home / "log.sqlite"
    play = ["play", "partials rising", "demo", "--at-once", "--log", str(log)]
    assert main(play) == 0
    script = (
        "import resource, sys; from airladder.cli import main;"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (32768, 32768)); sys.exit(main(sys.argv[1:]))"
    )
    words = [sys.executable, "-c", script, *play]
    done = subprocess.run(
        words, capture_output=True, text=True, env=os.environ, stdin=subprocess.DEVNULL, check=False
    )
    assert done.returncode == 4
    unkept = re.search(r"^(\d) tr(?:y|ies) of this session could not be kept\.", done.stdout, re.MULTILINE)
    assert unkept is not None
    assert "Traceback" not in done.stderr
    with Reader(log) as reader:
        assert sum(session.tries for session in reader.sessions()) == 16 - int(unkept.group(1))
