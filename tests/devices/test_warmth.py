"""How the board fares, from files as the kernel has them."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airladder.devices.warmth import Warmth, warmth


class Board:
    """The kernel's folders, made below a folder of the test."""

    def __init__(self, folder: Path) -> None:
        self.zones, self.sensors, self.firmware = folder / "thermal", folder / "hwmon", folder / "get_throttled"

    def zone(self, number: int, kind: str, temp: str) -> None:
        """A thermal zone."""
        self._write(self.zones / f"thermal_zone{number}", type=kind, temp=temp)

    def sensor(self, number: int, name: str, **files: str) -> None:
        """A hardware monitor."""
        self._write(self.sensors / f"hwmon{number}", name=name, **files)

    def _write(self, folder: Path, **files: str) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in files.items():
            (folder / name).write_text(f"{text}\n")

    def look(self) -> Warmth:
        """How it fares."""
        return warmth(self.zones, self.sensors, self.firmware)


@pytest.fixture
def board(tmp_path: Path) -> Board:
    return Board(tmp_path)


def test_a_computer_that_tells_nothing_has_nothing(board: Board) -> None:
    assert board.look() == Warmth(None, None, None)


def test_this_computer_can_be_asked() -> None:
    assert isinstance(warmth(), Warmth)


def test_a_board_tells_all(board: Board) -> None:
    board.zone(0, "cpu-thermal", "54768")
    board.sensor(0, "cpu_thermal", temp1_input="54768")
    board.sensor(1, "rpi_volt", in0_lcrit_alarm="1")
    board.firmware.write_text("50005\n")
    assert board.look() == Warmth(54.768, low_supply=True, slowed=True)


def test_only_the_processor_counts_and_its_warmest_part(board: Board) -> None:
    board.zone(0, "acpitz", "99000")
    board.zone(1, "cpu-thermal", "41000")
    board.zone(2, "cpu-thermal", "43500")
    board.zone(10, "battery", "90000")
    assert board.look().celsius == 43.5


@pytest.mark.parametrize("temp", ["", "N/A", "-274000", "500000", "\u00e9"])
def test_a_temperature_that_cannot_be_is_none(board: Board, temp: str) -> None:
    board.zone(0, "cpu-thermal", temp)
    assert board.look().celsius is None


def test_a_sensor_that_has_no_answer_is_none(board: Board) -> None:
    board.zone(0, "cpu-thermal", "1")
    (board.zones / "thermal_zone0" / "temp").unlink()
    (board.zones / "thermal_zone0" / "temp").mkdir()
    assert board.look().celsius is None


@pytest.mark.parametrize(("alarm", "wanted"), [("0", False), ("1", True), ("", None)])
def test_the_alarm_of_the_supply(board: Board, alarm: str, wanted: bool | None) -> None:
    board.sensor(0, "other", in0_lcrit_alarm="1")
    board.sensor(3, "rpi_volt", in0_lcrit_alarm=alarm)
    assert board.look() == Warmth(None, wanted, None)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.integers(0, 0xFFFFF))
def test_the_bits_of_the_firmware_count_as_they_are_now(board: Board, bits: int) -> None:
    board.firmware.write_text(f"{bits:x}\n")
    assert board.look() == Warmth(None, low_supply=bits & 1 == 1, slowed=bits & 0xE != 0)


def test_either_of_two_may_say_that_the_supply_is_too_low(board: Board) -> None:
    board.sensor(0, "rpi_volt", in0_lcrit_alarm="0")
    board.firmware.write_text("1\n")
    assert board.look().low_supply is True
    board.firmware.write_text("10000\n")
    assert board.look().low_supply is False
