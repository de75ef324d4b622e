"""The I2C bus that is plugged in: our drivers and smbus2 on it, by the very bytes that the kernel's CUSE would send.

On a real kernel the same is proved by `tests/acceptance/kernel/i2c.py`.
"""

from __future__ import annotations

import ctypes
import errno
import struct
import threading
from typing import Any

import pytest
import smbus2.smbus2
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from luma.core.interface.serial import i2c
from PIL import Image
from smbus2 import SMBus, i2c_msg

from airladder.devices.gauge import open_gauge
from airladder.devices.oled import Oled
from i2cbus import cuse, devnode
from i2cbus.bus import Bus, Message
from i2cbus.chips import ScreenChip
from i2cbus.devnode import I2cNode
from i2cbus.pretended import Kernel
from i2cplugged import CODEC, ECHO, GAUGE, SCREEN, STRIPES, EchoChip, Plugged


def transfer(kernel: Kernel, file: int, *messages: Any) -> int:
    """I2C_RDWR."""
    return kernel.ioctl(file, devnode.RDWR, smbus2.smbus2.i2c_rdwr_ioctl_data.create(*messages))


def test_the_device_gets_its_name_and_may_ask_for_memory() -> None:
    kernel = Kernel(I2cNode(Bus({})), name="i2c-7")
    major, minor, _, flags, *_ = cuse.INIT_OUT.unpack_from(kernel.begun)
    assert (major, minor >= 11, flags & cuse.UNRESTRICTED_IOCTL) == (7, True, 1)
    assert kernel.begun[cuse.INIT_OUT.size :] == b"DEVNAME=i2c-7\0"
    kernel.close()


def test_the_structures_are_as_long_as_in_the_kernels_header() -> None:
    """Counted by hand in include/uapi/linux/fuse.h and i2c.h."""
    found = [
        shape.size
        for shape in (cuse.IN_HEADER, cuse.OUT_HEADER, cuse.INIT_IN, cuse.INIT_OUT, cuse.OPEN_OUT, cuse.READ_IN)
    ]
    assert found == [40, 16, 16, 72, 16, 40]
    assert [shape.size for shape in (cuse.IOCTL_IN, cuse.IOCTL_OUT, cuse.PIECE, cuse.RELEASE_IN)] == [32, 16, 16, 24]
    assert [shape.size for shape in (devnode.TRANSFER, devnode.MESSAGE, devnode.SMALL)] == [16, 16, 16]


@pytest.mark.parametrize(("major", "flags"), [(8, 1), (7, 0)])
def test_a_kernel_of_another_sort_is_refused(plugged: Plugged, major: int, flags: int) -> None:
    with pytest.raises(OSError, match="Protocol error"):
        plugged.kernel.ask(cuse.INIT, cuse.INIT_IN.pack(major, 1, 0, flags))


def test_what_wants_no_answer_gets_none(plugged: Plugged) -> None:
    for kind in (cuse.INTERRUPT, cuse.FORGET, cuse.DESTROY):
        plugged.kernel.send(kind, bytes(8))
    assert plugged.kernel.open() == 1  # an answer to an earlier request would come first, and be refused


def test_what_such_a_device_has_not_is_refused(plugged: Plugged) -> None:
    with pytest.raises(OSError, match="Function not implemented"):
        plugged.kernel.ask(40, bytes(24))  # FUSE_POLL
    with pytest.raises(OSError, match="Inappropriate ioctl"):
        plugged.kernel.ioctl(plugged.kernel.open(), 0x5401, 0)  # TCGETS
    with pytest.raises(OSError, match="Inappropriate ioctl"):
        plugged.kernel.ioctl(plugged.kernel.open(), devnode.SLAVE, SCREEN, cuse.UNRESTRICTED | cuse.COMPAT)


@pytest.mark.parametrize("model", ["ssd1306", "sh1106"])
def test_our_screen_is_shown_through_lumas_own_wire(plugged: Plugged, model: str) -> None:
    plugged.bus.chips[SCREEN] = screen = ScreenChip(model, lambda: 1.25)
    display = Oled(model, i2c(port=1, address=SCREEN))
    assert screen.lit_at is None
    for picture in (STRIPES, Image.new("1", (128, 64), 1), STRIPES):
        display.show(picture)
        assert screen.picture().tobytes() == picture.tobytes()
    assert screen.lit_at == 1.25
    display.close()
    assert screen.brightness == 0


def test_our_gauge_is_read(plugged: Plugged) -> None:
    gauge = open_gauge(1, GAUGE)
    plugged.told("charge 12.5 3.4 -6")
    charge = gauge.read()
    assert charge is not None
    assert (charge.fraction, round(charge.volts, 3)) == (0.125, 3.4)
    plugged.told("remove gauge")
    assert gauge.read() is None


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60, deadline=None)
@given(st.lists(st.one_of(st.binary(max_size=300), st.integers(0, 300), st.just(8192)), min_size=1, max_size=12))
def test_combined_transfers_of_any_shape_arrive_whole(plugged: Plugged, wanted: list[bytes | int]) -> None:
    """Bytes are written, numbers are read."""
    messages = [i2c_msg.write(ECHO, w) if isinstance(w, bytes) else i2c_msg.read(ECHO, w) for w in wanted]
    reference = EchoChip()
    reference.kept = plugged.echo.kept
    assert transfer(plugged.kernel, plugged.kernel.open(), *messages) == len(wanted)
    for message, want in zip(messages, wanted, strict=True):
        if isinstance(want, bytes):
            reference.write(want)
        else:
            assert bytes(message) == reference.read(want)


def test_the_bus_says_what_it_can(plugged: Plugged) -> None:
    with SMBus(1) as bus:
        assert plugged.kernel.ioctl(1, devnode.FUNCS, words := (ctypes.c_uint64 * 1)()) == 0
        assert words[0] == bus.funcs == 0x0EFF0009


def test_what_the_kernel_would_refuse_is_refused(plugged: Plugged) -> None:
    kernel, file = plugged.kernel, plugged.kernel.open()
    for messages in ([], [i2c_msg.read(ECHO, 1)] * 43, [i2c_msg.read(ECHO, 8193)]):
        with pytest.raises(OSError, match="Invalid argument"):
            transfer(kernel, file, *messages)
    with pytest.raises(OSError, match="Invalid argument"):
        kernel.ioctl(file, devnode.SLAVE, 0x80)
    with pytest.raises(OSError, match="Device or resource busy"):
        kernel.ioctl(file, devnode.SLAVE, CODEC)
    with pytest.raises(OSError, match="Remote I/O error"):
        transfer(kernel, file, i2c_msg.read(0x51, 1))
    with SMBus(1) as bus, pytest.raises(OSError, match="Operation not supported"):
        bus.read_block_data(ECHO, 0)


def test_plain_read_and_write_go_to_the_chosen_address(plugged: Plugged) -> None:
    kernel = plugged.kernel
    one, two = kernel.open(), kernel.open()
    kernel.ioctl(one, devnode.SLAVE, ECHO)
    kernel.ioctl(two, devnode.SLAVE, GAUGE)
    assert kernel.write(one, b"abc") == 3
    assert kernel.write(two, b"\x08") == 1
    assert kernel.read(one, 5) == b"abcab"
    assert struct.unpack(">H", kernel.read(two, 2))[0] == 0x0012
    kernel.release(one)
    assert kernel.read(two, 1) == b"\x00"
    with pytest.raises(OSError, match="Remote I/O error"):
        kernel.read(kernel.open(), 1)  # no address chosen


def test_small_calls_are_the_messages_of_the_kernel(plugged: Plugged) -> None:
    with SMBus(1) as bus:
        bus.write_byte(ECHO, 0x12)
        assert plugged.echo.kept == b"\x12"
        assert bus.read_byte(ECHO) == 0x12
        bus.write_byte_data(ECHO, 1, 2)
        assert plugged.echo.kept == b"\x01\x02"
        bus.write_word_data(ECHO, 1, 0x1234)
        assert plugged.echo.kept == b"\x01\x34\x12"
        assert bus.read_word_data(ECHO, 0x77) == 0x7777
        assert bus.read_byte_data(ECHO, 0x66) == 0x66
        bus.write_i2c_block_data(ECHO, 9, [*range(32)])
        assert plugged.echo.kept == bytes([9, *range(32)])
        assert bus.read_i2c_block_data(ECHO, 5, 3) == [5, 5, 5]
        assert bus.process_call(ECHO, 1, 0x0302) == 0x0201
        bus.write_quick(ECHO)
        assert plugged.echo.kept == b""


def test_a_bus_that_hangs_makes_the_others_wait_but_can_be_opened() -> None:
    began, go_on = threading.Event(), threading.Event()

    def sleep(seconds: float) -> None:
        began.set()
        go_on.wait(10)

    bus = Bus({ECHO: EchoChip()}, sleep=sleep)
    node = I2cNode(bus)
    bus.hang(3.0, 1)
    errors: list[int | None] = []

    def hanging() -> None:
        try:
            bus.transfer([Message(ECHO, b"1")])
        except OSError as error:
            errors.append(error.errno)

    first = threading.Thread(target=hanging)
    first.start()
    assert began.wait(10)
    second = threading.Thread(target=bus.transfer, args=([Message(ECHO, b"2")],))
    second.start()
    node.closed(node.opened())
    assert second.is_alive()
    go_on.set()
    first.join(10)
    second.join(10)
    assert errors == [errno.ETIMEDOUT]


def test_a_hang_lasts_as_often_as_it_was_told(plugged: Plugged) -> None:
    file = plugged.kernel.open()
    plugged.told("hang 2.5 2")
    for _ in range(2):
        with pytest.raises(OSError, match="Connection timed out"):
            transfer(plugged.kernel, file, i2c_msg.read(ECHO, 1))
    transfer(plugged.kernel, file, i2c_msg.read(ECHO, 1))
    assert plugged.slept == [2.5, 2.5]
    plugged.told("hang 1")
    for _ in range(3):
        with pytest.raises(OSError, match="Connection timed out"):
            transfer(plugged.kernel, file, i2c_msg.read(ECHO, 1))
    plugged.told("hang 0")
    transfer(plugged.kernel, file, i2c_msg.read(ECHO, 1))
