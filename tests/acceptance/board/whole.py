"""The installed service on a board that has everything: claims, and figures."""

from __future__ import annotations

import json

from acceptance.board.box import SERVICE, Box
from acceptance.kernel.claims import Claims, say
from airladder.drive.outgoing import LABEL
from airladder.practice.presses import Button
from bench.panel_cost import A53_MILLIONS
from board.sounds import PARTIALS

TRIES = 2
COSTLY_S = 10
LOG = "/var/lib/airladder/log.sqlite"
_ASK = "PYTHONPATH=/airladder/firmware:/airladder/tests python3 -m i2cbus.ask /run/i2cbus"
_FIGURES = {
    "units that failed": "systemctl list-units --failed --no-legend --plain",
    "systemd-analyze": "systemd-analyze",
    "the slowest units": "systemd-analyze blame | head -12",
    "the way to the service": f"systemd-analyze critical-chain {SERVICE}",
    "exposure of the live unit": f"systemd-analyze security {SERVICE} | tail -n 1",
    "memory of its cgroup": "cd /sys/fs/cgroup/system.slice/airladder.service; "
    "echo now $(cat memory.current), at most $(cat memory.peak) bytes; grep -E '^(anon|file) ' memory.stat",
    "resident memory of its process": "grep -E '^(VmHWM|VmRSS)' /proc/$(systemctl show -P MainPID airladder)/status",
    "processor time, and since switch-on": f"systemctl show -P CPUUsageNSec {SERVICE}; cat /proc/uptime",
}


def comes_up(box: Box, claims: Claims) -> None:
    """From the switch-on to the first page that wants a press."""
    box.evening.opening()
    claims.that("the first picture is the opening", box.evening.pages[0], "opening")
    box.comes_up(claims, "whole")
    claims.that("it is of the type that says so itself", box.shown("Type"), "notify")
    claims.that("its watchdog is armed", box.shown("WatchdogUSec"), "20s")
    user = box.board.run(f"ps -o user= -p {box.shown('MainPID')}").strip()
    claims.that("it runs as its own user", user, "airladder"[: len(user)])
    lit = json.loads(box.board.run(f"{_ASK} state"))
    at = next(chip["lit_at"] for chip in lit["chips"].values() if "display" in chip)
    began = int(box.shown("ExecMainStartTimestampMonotonic")) / 1e6
    ready = int(box.shown("ActiveEnterTimestampMonotonic")) / 1e6
    say(f"        kernel to the service's start {began:.2f} s, from there to the first picture {at - began:.2f} s,")
    say(f"        and to ready {ready - began:.2f} s; seconds are those of a core that takes 2 ns an instruction,")
    say(f"        of which the service had used {box.million_instructions():.0f} M by now")


def practises(box: Box, claims: Claims) -> None:
    """Reading, a practice, the drive."""
    box.play()
    box.evening.to_today()
    claims.that("presses lead to today's plan", box.evening.pages[-1], "today")
    box.evening.listens(PARTIALS)
    claims.that("the partials of the recording stand on the glass", set(box.evening.partials), set(PARTIALS))
    kept = box.evening.practises(TRIES)
    claims.that("tries are kept in the log on the data partition", kept >= TRIES)
    heard = box.board.run(f"sqlite3 {LOG} 'SELECT DISTINCT partial FROM attempt WHERE partial NOT NULL'").split()
    claims.that("with partials that were played", {int(word) for word in heard} <= set(PARTIALS))
    box.hush()  # the drive is built sooner when there is nothing to hear
    said = box.board.run(f"sh /airladder/tests/board/inside/drive.sh {kept}")
    label, *lines = said.splitlines()
    claims.that("with the cable in, the drive appears by its name", label, LABEL)
    claims.that("the report is on it", "report.html" in lines and "<!doctype html>" in said.lower())
    on_it = next(line for line in lines if line.startswith("tries "))
    claims.that("and every try", int(on_it.removeprefix("tries ")) >= kept)
    box.stays(claims, "whole")


def sets_the_clock(box: Box, claims: Claims) -> None:
    """Told by buttons: the year after this one."""
    before = int(box.board.run("date +%Y"))
    box.evening.to_today()
    box.board.press(Button.UP)
    box.board.press(Button.OK)
    box.board.press(Button.UP)
    for _ in range(5):
        box.board.press(Button.OK)

    def year() -> int:
        return int(box.board.run("sleep 1; date +%Y"))

    claims.soon("the sandbox lets it set the clock", year, before + 1, within=120.0)


def costs(box: Box) -> None:
    """Prints what a second of practising costs: listening, judging, drawing, sending; a saxophone sounds."""
    box.evening.to_today()
    box.board.press(Button.OK)
    box.board.run("while pgrep -f 'drive buil[d]' >/dev/null; do sleep 1; done; sleep 3")
    box.play()
    before = box.million_instructions()
    box.board.run(f"sleep {COSTLY_S}")
    each = (box.million_instructions() - before) / COSTLY_S
    say(f"        a second of practising: {each:.0f} M arm64 instructions, the kernel's for it too; that is")
    for rate in A53_MILLIONS:
        say(
            f"        {100 * each / rate:.0f} % of a core that does {rate:.0f} M a second (assumed); allowed are 25 %"
        )
    box.hush()
    box.evening.to_today()


def figures(box: Box) -> None:
    """Prints them."""
    for name, command in _FIGURES.items():
        say(f"   {name}:")
        for line in box.board.tried(command)[1].splitlines():
            say(f"        {line}")


def is_watched(box: Box, claims: Claims) -> None:
    """A program that stands still is started again."""
    before = box.shown("MainPID")
    box.board.run(f"kill -STOP {before}")

    def again() -> bool:
        box.board.run("sleep 2")
        return int(box.shown("NRestarts")) >= 1

    claims.soon("stopped, it is started again", again, within=600.0)
    journal = box.board.tried(f"journalctl -u {SERVICE} --no-pager | grep -i watchdog | tail -n 1")[1]
    claims.that("by the watchdog", "watchdog" in journal.lower())
    box.comes_up(claims, "after the watchdog")
    claims.that("as a new process", box.shown("MainPID") != before)


def goes_off(box: Box, claims: Claims) -> None:
    """Good night switches the box off."""
    box.evening.to_today()
    box.press_long(Button.BACK)
    for _ in box.machine.lines():
        pass
    claims.that("good night switches it off", "Power down" in box.machine.said[-1])
