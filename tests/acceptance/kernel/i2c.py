"""The claims about the I2C bus that is plugged in (`i2cbus`): our own drivers use it as they use the board's."""

from __future__ import annotations

import fcntl
import os
import struct
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from PIL import Image, ImageDraw
from smbus2 import SMBus, i2c_msg

from acceptance.kernel.claims import Claims, say, until
from airladder.devices.gauge import open_gauge
from airladder.devices.oled import Oled, open_oled
from i2cbus.ask import ask

BUS = 1
DEVICE = Path(f"/dev/i2c-{BUS}")
SCREEN, OTHER, GAUGE, CODEC, CLOCK = 0x3C, 0x3D, 0x36, 0x1A, 0x68
I2C_SLAVE = 0x0703
FULL_PICTURES = 20


def prove(claims: Claims, folder: Path) -> None:
    """All of them; pictures are written into the folder."""
    pictures = [_picture(number) for number in range(3)]
    for model in ("ssd1306", "sh1106"):
        with plugged_in(folder, "--display", model):
            with _oled(model) as display:
                shown(claims, folder, model, display, pictures)
            if model == "sh1106":
                wrong_model(claims, folder, pictures[0])
    with plugged_in(folder):
        spoken_to(claims)
        gauged(claims, folder)
        faulty(claims, folder, pictures)
    claims.soon("the bus goes with its process", DEVICE.exists, False)
    with plugged_in(folder, "--display", f"ssd1306@{SCREEN:#x}", "--display", f"sh1106@{OTHER:#x}"):
        two_screens(claims, folder, pictures[0])
    with plugged_in(folder, "--display", "none", "--charge", "none"):
        bare(claims, pictures[0])


@contextmanager
def plugged_in(folder: Path, *words: str) -> Iterator[None]:
    """A bus, as long as the block lasts."""
    program = subprocess.Popen([sys.executable, "-m", "i2cbus", "--bus", str(BUS), "--control", str(folder), *words])
    try:
        if not until(DEVICE.exists):
            raise OSError(f"{DEVICE} does not come")
        yield
    finally:
        program.kill()
        program.wait()


@contextmanager
def _oled(model: str) -> Iterator[Oled]:
    display = open_oled(model, BUS, SCREEN)
    try:
        yield display
    finally:
        display.close()


def _picture(number: int) -> Image.Image:
    picture = Image.new("1", (128, 64))
    draw = ImageDraw.Draw(picture)
    draw.rectangle((0, 0, 127, 63), outline=1)
    draw.line((0, 63, 40 + 30 * number, 0), fill=1, width=3)
    draw.text((60, 30), f"rung {number}", fill=1)
    return picture


def _seen(folder: Path, who: str = "display") -> bytes:
    ask(folder, f"picture {folder}/seen.png {who}")
    with Image.open(folder / "seen.png") as seen:
        return seen.tobytes()


def shown(claims: Claims, folder: Path, model: str, display: Oled, pictures: list[Image.Image]) -> None:
    """Pictures arrive, and how long they take."""
    for number, picture in enumerate(pictures):
        display.show(picture)
        claims.that(f"{model}: picture {number} is on the glass", _seen(folder) == picture.tobytes())
    began = time.monotonic()
    for number in range(FULL_PICTURES):
        display.show(Image.new("1", (128, 64), number % 2))
    say(f"        {model}: {(time.monotonic() - began) / FULL_PICTURES * 1000:.1f} ms a full picture")
    display.close()
    claims.that(f"{model}: closing switches it off", ask(folder, f"picture {folder}/seen.pbm")["lit"], False)


def wrong_model(claims: Claims, folder: Path, picture: Image.Image) -> None:
    """An SH1106 that is taken for an SSD1306."""
    with _oled("ssd1306") as display:
        display.show(picture)
        seen = Image.frombytes("1", (128, 64), _seen(folder))
        moved = picture.crop((2, 0, 128, 64)).tobytes()
        claims.that(
            "an SH1106 taken for an SSD1306 shows all two columns left", seen.crop((0, 0, 126, 64)).tobytes() == moved
        )


def spoken_to(claims: Claims) -> None:
    """The calls of /dev/i2c-N, as smbus2 and plain files make them."""
    with SMBus(BUS) as bus:
        claims.that("the bus says what it can", bool(bus.funcs & 1), True)
        bus.write_i2c_block_data(SCREEN, 0x00, [0xE3])
        claims.that("a status byte can be read", bus.read_byte(SCREEN) in (0x00, 0x40))
        claims.refused("nobody at 0x50", lambda: bus.read_byte(0x50), OSError)
        claims.refused("the codec belongs to the kernel", lambda: bus.read_byte(CODEC), OSError)
        bus.write_byte_data(CLOCK, 0x07, 0x59, force=True)
        claims.that("a byte is written and read", bus.read_byte_data(CLOCK, 0x07, force=True), 0x59)
        bus.write_word_data(CLOCK, 0x08, 0x1234, force=True)
        claims.that("a word, low byte first", bus.read_i2c_block_data(CLOCK, 0x08, 2, force=True), [0x34, 0x12])
        answer = i2c_msg.read(CLOCK, 3)
        bus.i2c_rdwr(i2c_msg.write(CLOCK, [0x07]), answer)
        claims.that("a combined transfer", [*bytes(answer)], [0x59, 0x34, 0x12])
        bus.i2c_rdwr(i2c_msg.write(CODEC, [0x1E, 0x00]))
    file = os.open(DEVICE, os.O_RDWR)
    try:
        fcntl.ioctl(file, I2C_SLAVE, GAUGE)
        os.write(file, b"\x08")
        claims.that("plain write and read", struct.unpack(">H", os.read(file, 2))[0] & 0xFFF0, 0x0010)
    finally:
        os.close(file)


def gauged(claims: Claims, folder: Path) -> None:
    """The gauge, as the box reads it."""
    gauge = open_gauge(BUS, GAUGE)
    charge = gauge.read()
    claims.that("the gauge says 80 %", charge is not None and round(charge.fraction, 3) == 0.8)
    ask(folder, "charge 3.5 3.3 -20")
    charge = gauge.read()
    claims.that("and 3.5 % later", charge is not None and round(100 * charge.fraction, 1) == 3.5)
    claims.that("below 5 % it alerts", ask(folder, "charge 3.5")["alert"], True)
    ask(folder, f"register gauge {0x04:#x} 0xffff")
    claims.that("what cannot be is not believed", gauge.read(), None)
    ask(folder, "mute gauge")
    claims.that("no answer, no charge", gauge.read(), None)
    ask(folder, "answer gauge")
    ask(folder, "charge 50")
    charge = gauge.read()
    claims.that("it comes back", charge is not None and charge.fraction == 0.5)


def faulty(claims: Claims, folder: Path, pictures: list[Image.Image]) -> None:
    """A screen that goes and comes, moves, and a bus that hangs."""
    with _oled("ssd1306") as display:
        display.show(pictures[0])
        ask(folder, "mute display")
        display.show(pictures[1])
        claims.that("a mute screen keeps its picture", _seen(folder) == pictures[0].tobytes())
        ask(folder, "answer display")
        display.show(pictures[2])
        claims.that("and has the newest when it answers", _seen(folder) == pictures[2].tobytes())
        ask(folder, "hang 2 1")
        hanging = threading.Thread(target=display.show, args=(pictures[0],))
        began = time.monotonic()
        hanging.start()
        time.sleep(0.5)
        os.close(os.open(DEVICE, os.O_RDWR))
        claims.that("while it hangs others can open it", hanging.is_alive())
        hanging.join()
        claims.that("a bus that hangs is waited for", 2.0 <= time.monotonic() - began < 10.0)
        display.show(pictures[1])
        claims.that("and used after it", _seen(folder) == pictures[1].tobytes())
    ask(folder, f"move display {OTHER:#x}")
    with _oled("ssd1306") as display:
        display.show(pictures[0])
        claims.that("a screen at the other address is found", _seen(folder) == pictures[0].tobytes())


def two_screens(claims: Claims, folder: Path, picture: Image.Image) -> None:
    """Of two the one at the pin map's address is used."""
    with _oled("ssd1306") as display:
        display.show(picture)
        claims.that("the first of two screens shows it", _seen(folder, hex(SCREEN)) == picture.tobytes())
        claims.that("the second stays off", ask(folder, f"picture {folder}/seen.png {OTHER:#x}")["lit"], False)


def bare(claims: Claims, picture: Image.Image) -> None:
    """A bus without screen and gauge."""
    with _oled("ssd1306") as display:
        display.show(picture)
        claims.that("without a screen nothing breaks", True)
    claims.that("without a gauge nobody tells", open_gauge(BUS, GAUGE).read(), None)
