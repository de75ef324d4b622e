"""The units: systemd finds nothing wrong, the service may do little, and nothing waits for what may be missing."""

from __future__ import annotations

import configparser
import re
import subprocess
from pathlib import Path

import pytest

from install.conftest import ROOT, VERSION

SYSTEM = ROOT / "firmware/system"
UNITS = sorted(path.name for path in (SYSTEM / "units").iterdir())
MOST_EXPOSED = 2.0
"""Of ten, as systemd-analyze(1) counts."""


class Options(dict[str, list[str]]):
    """The lines of one section."""

    def one(self, key: str) -> str:
        """The only value of an option."""
        (value,) = self[key]
        return value


def section(unit: str, name: str) -> Options:
    """Of a unit's file."""
    options, here = Options(), ""
    for line in (SYSTEM / "units" / unit).read_text().splitlines():
        if line.startswith("["):
            here = line.strip("[]")
        elif here == name and line and not line.startswith("#"):
            key, _, value = line.partition("=")
            options.setdefault(key, []).append(value)
    return options


@pytest.fixture
def complete(tree: Path) -> Path:
    """The root with stand-ins for the programs that units name."""
    for name in (
        "usr/bin/systemctl",
        f"usr/bin/{VERSION}",
        *(f"bin/{n}" for n in ("mkdir", "mount", "umount", "rmdir")),
    ):
        (tree / name).parent.mkdir(exist_ok=True)
        (tree / name).write_text("#!/bin/sh\n")
        (tree / name).chmod(0o755)
    (tree / "bin/chown").write_text("#!/bin/sh\n")
    (tree / "bin/chown").chmod(0o755)
    python = tree / "opt/airladder/python/bin/python"
    python.unlink()  # it leads out of this root
    python.write_text("#!/bin/sh\n")
    python.chmod(0o755)
    units = tree / "etc/systemd/system"
    for name in ("sysinit.target", "basic.target"):
        (units / name).write_text("[Unit]\nDescription=a stand-in\n")
    return tree


def verified(root: Path) -> str:
    """What systemd says of the units."""
    units = [name.replace("@.", "@sda1.") for name in UNITS]
    words = ["systemd-analyze", f"--root={root}", "--man=no", "verify", *units]
    done = subprocess.run(words, capture_output=True, text=True, check=False, cwd=root / "etc/systemd/system")
    return "\n".join(line for line in done.stderr.splitlines() if "airladder" in line)


def test_systemd_finds_nothing_wrong(complete: Path) -> None:
    assert verified(complete) == ""


def test_a_wrong_word_in_a_unit_is_found(complete: Path) -> None:
    service = complete / "etc/systemd/system/airladder.service"
    service.write_text(service.read_text().replace("WatchdogSec=20", "WatchdogSecs=20"))
    assert "WatchdogSecs" in verified(complete)


def exposure(root: Path) -> float:
    """How much the service could do, of ten."""
    words = ["systemd-analyze", "--no-pager", f"--root={root}", "security", "--offline=true", "airladder.service"]
    said = subprocess.run(words, capture_output=True, text=True, check=True).stdout
    found = re.search(r"exposure level for airladder.service: ([\d.]+)", said)
    assert found is not None, said
    return float(found[1])


def test_the_service_may_do_little(complete: Path) -> None:
    assert exposure(complete) < MOST_EXPOSED
    service = complete / "etc/systemd/system/airladder.service"
    service.write_text(
        service.read_text().replace("CapabilityBoundingSet=CAP_SYS_TIME\n", "").replace("NoNewPriv", "#")
    )
    assert exposure(complete) > MOST_EXPOSED


def test_the_service_is_started_again_for_ever_and_watched() -> None:
    service = section("airladder.service", "Service")
    assert service.one("Restart") == "always"
    assert section("airladder.service", "Unit").one("StartLimitIntervalSec") == "0"
    assert service.one("Type") == "notify"
    assert service.one("WatchdogSec") == "20"
    assert service.one("ExecStart") == "/opt/airladder/start"


def test_the_service_may_set_the_clock_and_nothing_else_that_is_roots() -> None:
    service = section("airladder.service", "Service")
    assert service["AmbientCapabilities"] == service["CapabilityBoundingSet"] == ["CAP_SYS_TIME"]
    assert "ProtectClock" not in service
    # The last line wins: what sets the clock is among the privileged calls.
    assert service["SystemCallFilter"] == ["@system-service", "~@privileged @keyring @memlock", "@clock"]


def test_the_service_has_its_devices_and_no_others() -> None:
    service = section("airladder.service", "Service")
    assert service.one("DevicePolicy") == "closed"
    assert set(service["DeviceAllow"]) == {f"char-{kind} rw" for kind in ("alsa", "i2c", "gpiochip", "rtc")}


@pytest.mark.parametrize("unit", UNITS)
def test_no_unit_waits_for_a_network_or_needs_what_may_be_missing(unit: str) -> None:
    options = section(unit, "Unit")
    assert not {"Requires", "Requisite"} & options.keys()
    assert "network" not in " ".join(word for words in options.values() for word in words)


def test_a_missing_data_partition_is_waited_for_but_not_for_long() -> None:
    drop_in = next((SYSTEM / "files/etc/systemd/system").glob("dev-disk*/airladder.conf"))
    parser = configparser.ConfigParser()
    parser.read(drop_in)
    assert 20 <= parser.getint("Unit", "JobRunningTimeoutSec") <= 30  # slow is not missing
    where = section("var-lib-airladder.mount", "Mount").one("What")
    escaped = where.lstrip("/").replace("-", "\\x2d").replace("/", "-")
    assert drop_in.parent.name == f"{escaped}.device.d"


def test_the_hardwares_watchdog_is_asked_for_no_more_than_it_can() -> None:
    """2 ** 20 counts of 65,536 a second are just below 16 s (the kernel's drivers/watchdog/bcm2835_wdt.c)."""
    text = (SYSTEM / "files/etc/systemd/system.conf.d/airladder.conf").read_text()
    seconds = re.search(r"^RuntimeWatchdogSec=(\d+)$", text, re.MULTILINE)
    assert seconds is not None
    assert 5 <= int(seconds[1]) <= 15


def test_what_is_masked_has_a_reason() -> None:
    lines = [line for line in (SYSTEM / "masked").read_text().splitlines() if not line.startswith("#")]
    assert all(re.fullmatch(r"\S+\.(service|timer) +# .+", line) for line in lines)
    assert not any("airladder" in line or line.startswith("ssh") for line in lines)
