"""The chips on the bus that is plugged in, one by one, and what they are told on cue."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from luma.core.interface.serial import i2c
from PIL import Image

from airladder.devices.clock import Clock
from airladder.devices.oled import Oled
from airladder.devices.pins import pin_map
from airladder.devices.recorded_gauge import GaugeChip
from i2cbus import __main__ as program
from i2cbus.ask import ask
from i2cbus.ask import main as ask_main
from i2cbus.bus import Message
from i2cbus.chips import ClockChip, CodecChip, ScreenChip
from i2cbus.control import listen
from i2cplugged import CLOCK, CODEC, ECHO, GAUGE, NOON, SCREEN, STRIPES, Plugged


def test_a_screen_obeys_either_form_of_control_byte() -> None:
    one, two = ScreenChip("ssd1306", lambda: 0.0), ScreenChip("ssd1306", lambda: 0.0)
    one.write(b"\x00\x8d\x14\xaf")
    two.write(b"\x80\x8d\x80\x14\x80\xaf\x80\xb0\x40\x55")
    assert one.brightness == two.brightness > 0
    assert one.read(1) == b"\x00"
    assert ScreenChip("ssd1306", lambda: 0.0).read(2) == b"\x40\x40"


def test_the_clock_tells_the_time_and_takes_another() -> None:
    clock = ClockChip(lambda: NOON)
    clock.write(b"\x00")
    assert clock.read(7).hex() == "56341204060527"  # 12:34:56 on Thursday, 6 May 2027
    assert clock.registers[0x0F] & ClockChip.STOPPED
    clock.write(bytes.fromhex("00 59 58 23 04 31 12 99"))
    clock.write(b"\x0f\x00")
    assert clock.registers[:7].hex() == "59582304311299"  # a Thursday
    assert clock.registers[0x0F] == 0
    clock.write(b"\x12")
    assert clock.read(2)[1] == 0x59  # round to the first


def test_the_clock_goes_on_from_what_it_was_told() -> None:
    passed = timedelta()
    clock = ClockChip(lambda: NOON + passed)
    clock.write(bytes.fromhex("00 00 00 00 01 01 01 30"))
    passed = timedelta(hours=25)
    assert clock.registers[:7].hex() == "00000103020130"  # Wednesday, 2 January 2030, at one


def test_the_codec_takes_registers_of_nine_bits_and_cannot_be_read() -> None:
    codec = CodecChip()
    codec.write(bytes([0x0F << 1 | 1, 0x23]))
    assert codec.registers == {0x0F: 0x123}
    with pytest.raises(OSError, match="Remote"):
        codec.read(1)


def test_pictures_and_state_are_told(plugged: Plugged, tmp_path: Path) -> None:
    del plugged.bus.chips[ECHO]  # which only tests have
    Oled("ssd1306", i2c(port=1, address=SCREEN)).show(STRIPES)
    for name in ("seen.png", "seen.pbm"):
        assert plugged.told(f"picture {tmp_path / name}")["lit"] is True
        with Image.open(tmp_path / name) as seen:
            assert seen.convert("1").tobytes() == STRIPES.tobytes()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["seen.pbm", "seen.png"]
    chips: Any = plugged.told("state")["chips"]
    assert chips["0x3c"] == {"display": "ssd1306", "brightness": 0xCF / 256, "lit_at": 7.5}
    assert chips["0x36"]["alert"] is False
    assert sorted(chips) == ["0x1a", "0x36", "0x3c", "0x68"]


def test_chips_come_go_and_move_on_cue(plugged: Plugged) -> None:
    plugged.told("move display 0x3d")
    assert plugged.bus.chips[0x3D] is plugged.screen
    plugged.told("add display sh1106 0x3c")
    second = plugged.bus.chips[SCREEN]
    assert isinstance(second, ScreenChip)
    assert second.model == "sh1106"
    plugged.told("mute gauge")
    with pytest.raises(OSError, match="Remote I/O error"):
        plugged.bus.transfer([Message(GAUGE, b"\x08")])
    plugged.told("answer 0x36")
    plugged.bus.transfer([Message(GAUGE, b"\x08")])
    plugged.told("remove clock")
    assert CLOCK not in plugged.bus.chips
    plugged.told("register gauge 0x02 0xffff")
    assert plugged.gauge.registers[0x02] == 0xFFFF
    plugged.screen.write(b"\x00\x8d\x14\xaf")
    plugged.told("forget 0x3d")
    assert plugged.screen.brightness == 0


@pytest.mark.parametrize(
    "line",
    ["", "dance", "mute nobody", "remove 0x77", "charge much", "charge", "picture /no/where.png", "forget gauge"],
)
def test_what_it_cannot_do_is_said(plugged: Plugged, line: str) -> None:
    assert plugged.control.told(line)["error"]


def test_the_bus_is_told_things_by_its_socket(
    plugged: Plugged, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    listen(plugged.control, tmp_path / "control")
    assert ask(tmp_path / "control", "charge 3") == {"alert": True}
    assert ask_main([str(tmp_path / "control"), "mute", "gauge"]) == 0
    assert plugged.bus.mute == {GAUGE}
    assert ask_main([str(tmp_path / "control"), "dance"]) == 1
    assert "'dance' is no word of this bus" in capsys.readouterr().err
    assert ask_main([]) == 2


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ([], {SCREEN: ScreenChip, GAUGE: GaugeChip, CODEC: CodecChip, CLOCK: ClockChip}),
        (["--charge", "none", "--display", "none"], {CODEC: CodecChip, CLOCK: ClockChip}),
        (
            ["--display", "sh1106", "--display", "ssd1306@0x3d"],
            {SCREEN: ScreenChip, 0x3D: ScreenChip, GAUGE: GaugeChip, CODEC: CodecChip, CLOCK: ClockChip},
        ),
    ],
)
def test_the_command_puts_the_chips_where_the_pin_map_says(words: list[str], wanted: dict[int, type]) -> None:
    arguments = program._parser().parse_args([*words, "--control", "x"])
    found = program.chips(arguments, Clock())
    assert {address: type(chip) for address, chip in found.items()} == wanted
    assert arguments.bus == pin_map().i2c.bus


def test_a_display_that_nobody_knows_is_refused() -> None:
    arguments = program._parser().parse_args(["--display", "ssd1307", "--control", "x"])
    with pytest.raises(SystemExit, match="'ssd1307' is no display; known: ssd1306, sh1106, none"):
        program.chips(arguments, Clock())
