"""The computer itself, and where its pins are."""

from __future__ import annotations

import re
from importlib.metadata import PackageNotFoundError
from importlib.resources import files
from pathlib import Path

import pytest
from gpiozero.pins.mock import MockFactory

from airladder.devices.pins import pin_map
from airladder.selftest import board
from airladder.selftest.header import HEADER, where
from airladder.selftest.result import Verdict


def test_the_header_is_that_of_gpiozero(factory: MockFactory) -> None:
    pins = factory.board_info.headers["J8"].pins.values()
    theirs = {int(pin.name.removeprefix("GPIO")): pin.number for pin in pins if pin.name.startswith("GPIO")}
    assert {bcm: number for bcm, number in theirs.items() if bcm >= 2} == HEADER


def test_the_header_is_that_of_the_remarks_in_the_pin_map() -> None:
    text = files("airladder.devices").joinpath("pins.toml").read_text("utf-8")
    remarks = re.findall(r"= (\d+) +# (?:header pin )?(\d+)", text)
    assert len(remarks) >= 12
    assert {int(bcm): int(pin) for bcm, pin in remarks}.items() <= HEADER.items()
    assert where(pin_map().buttons[next(iter(pin_map().buttons))]) == "GPIO26, header pin 37"


def board_at(root: Path, model: str = "Raspberry Pi Zero 2 W Rev 1.0") -> Path:
    for name, text in {
        "proc/device-tree/model": f"{model}\0",
        "proc/meminfo": "MemTotal:         437712 kB\nMemFree:  1 kB\nMemAvailable:     301232 kB\n",
        "sys/devices/system/cpu/cpu0/cpufreq/scaling_governor": "ondemand\n",
        "sys/devices/platform/soc/soc:firmware/get_throttled": "0\n",
    }.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text)
    return root


def installed(*missing: str) -> object:
    def version(package: str) -> str:
        if package in missing:
            raise PackageNotFoundError(package)
        return "1.2.3"

    return version


def test_a_board_is_told_with_all_that_runs_on_it(tmp_path: Path) -> None:
    found = board.check(board_at(tmp_path), installed())  # type: ignore[arg-type]
    assert found.verdict is Verdict.OK
    assert found.says.startswith("Raspberry Pi Zero 2 W Rev 1.0, Linux ")
    assert found.figures["memory_mib"] == 427
    assert found.figures["memory_free_mib"] == 294
    assert (found.figures["governor"], found.figures["throttled"], found.figures["numpy"]) == (
        "ondemand",
        "0",
        "1.2.3",
    )
    assert board.is_board(tmp_path)


def test_a_package_that_is_missing_on_the_board_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(board, "ON_BOARD", {"nothing-of-the-kind": "nothing_of_the_kind.at_all"})
    version = installed("nothing-of-the-kind")
    found = board.check(board_at(tmp_path), version)  # type: ignore[arg-type]
    assert found.verdict is Verdict.FAILED
    assert found.says == "Not installed here: nothing-of-the-kind; run firmware/install again."
    other = board.check(tmp_path / "elsewhere", version)  # type: ignore[arg-type]
    assert other.verdict is Verdict.OK  # an ordinary computer may be without


def test_a_module_without_the_papers_of_its_package_is_there_all_the_same(tmp_path: Path) -> None:
    found = board.check(board_at(tmp_path), installed("numpy"))  # type: ignore[arg-type]
    assert found.verdict is Verdict.OK
    assert found.figures["numpy"] == "unknown"


def test_an_ordinary_computer_is_told_as_such(tmp_path: Path) -> None:
    assert "no box" in board.check(tmp_path, installed()).says  # type: ignore[arg-type]
    assert not board.is_board(tmp_path)


def test_the_service_runs_when_its_group_has_processes(tmp_path: Path) -> None:
    assert not board.service_runs(tmp_path)
    procs = tmp_path / "sys/fs/cgroup/system.slice/airladder.service/cgroup.procs"
    procs.parent.mkdir(parents=True)
    procs.write_text("")
    assert not board.service_runs(tmp_path)
    procs.write_text("812\n")
    assert board.service_runs(tmp_path)
