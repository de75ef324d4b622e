"""A stand-in for the I2C bus of the OLED: it records every transfer, and fails, waits and loses power on cue.

It is given to luma's real `i2c`, so the whole way from picture to control byte is the one of the board. What the
driver sent is played on a `Glass` and can be read back as the picture that would be seen.

Conventions
-----------
Bytes are those on the wire: the address, the control byte, then commands or data; 9 clocks each. They are counted
from 0 over the life of the bus. Times in seconds.

Sources: I2C-bus specification UM10204 3.1.5 (acknowledge: the ninth clock); SSD1306 data sheet rev. 1.1 (2008), 8.1.5
(control byte).
"""

from __future__ import annotations

import errno
from collections.abc import Callable, Collection, Iterable, Sequence
from random import Random
from typing import Any

from PIL import Image

from airladder.devices.clock import Clock
from airladder.devices.recorded_glass import Glass

CLOCKS_A_BYTE = 9
_COMMAND, _DATA = 0x00, 0x40


class Recorder:
    """What the recorded bus knows; see `recorded_bus`.

    Attributes
    ----------
    transfers : (control byte, bytes) of each transfer that was answered to its end
    failed : how many were not
    sent : bytes on the wire so far
    glass : the screen at the other end
    seconds_a_byte : how long each byte takes, 22.5e-6 at 400 kHz; nothing waits at 0
    """

    def __init__(self, model: str, address: int, failing: Collection[int], sleep: Callable[[float], None]) -> None:
        self._model, self._address, self._failing, self._sleep = model, address, set(failing), sleep
        self._lots = Random(model)
        self._unplugged = False
        self._hanging = 0.0
        self.seconds_a_byte = 0.0
        self.sent = self.failed = 0
        self.transfers: list[tuple[int, tuple[int, ...]]] = []
        self.forget()

    def unplug(self) -> None:
        """From now on no transfer is answered."""
        self._unplugged = True

    def plug_in(self) -> None:
        """The screen answers again, and has forgotten all."""
        self._unplugged = False
        self.forget()

    def forget(self) -> None:
        """The screen loses its power for a moment: it is off, its memory is snow, and it answers as before."""
        self.glass = Glass(self._model, self._lots)

    def fail_in(self, count: int) -> None:
        """The byte that comes after `count` more is not answered, which ends its transfer; what came before it in the
        same transfer has arrived."""
        self._failing.add(self.sent + count)

    def hang(self, seconds: float) -> None:
        """The next transfer takes so much longer."""
        self._hanging = seconds

    def write_i2c_block_data(
        self, i2c_addr: int, register: int, data: Sequence[int], force: bool | None = None
    ) -> None:
        """Take one transfer of at most 32 bytes: luma's commands."""
        self._take(i2c_addr, [register, *data])

    def i2c_rdwr(self, *i2c_msgs: Any) -> None:
        """Take transfers of any length: luma's data, on a bus that it opened itself."""
        for message in i2c_msgs:
            self._take(message.addr, message)

    def _take(self, address: int, message: Iterable[int]) -> None:
        control, *data = message
        whole = 2 + len(data)
        answered = 0 if self._unplugged or address != self._address else self._answered(whole)
        self.sent += min(answered + 1, whole)
        self._wait(min(answered + 1, whole))
        if control == _DATA:
            self.glass.data(data[: max(0, answered - 2)])
        elif control == _COMMAND:
            self.glass.command(data[: max(0, answered - 2)])
        if answered < whole:
            self.failed += 1
            raise OSError(errno.EREMOTEIO, "Remote I/O error")
        self.transfers.append((control, tuple(data)))

    def _answered(self, whole: int) -> int:
        return min((n - self.sent for n in self._failing if self.sent <= n < self.sent + whole), default=whole)

    def _wait(self, count: int) -> None:
        seconds, self._hanging = self._hanging + count * self.seconds_a_byte, 0.0
        if seconds:
            self._sleep(seconds)

    def picture(self) -> Image.Image:
        """What is seen on the glass."""
        return self.glass.picture()


def recorded_bus(
    model: str,
    address: int = 0x3C,
    failing: Collection[int] = (),
    sleep: Callable[[float], None] | None = None,
) -> Recorder:
    """An I2C bus (a real `I2cBus` that was never opened) with one OLED on it.

    Parameters
    ----------
    model : the controller on the bus, "ssd1306" or "sh1106"
    address : where it answers; no one answers elsewhere
    failing : the numbers of the bytes that no one answers; see also `Recorder.fail_in`
    sleep : how the bus waits, where it is told to be slow; really, when not given
    """
    from airladder.devices.i2c_bus import I2cBus

    class RecordedBus(Recorder, I2cBus):
        def __init__(self) -> None:
            I2cBus.__init__(self)
            Recorder.__init__(self, model, address, failing, sleep or Clock().sleep)

    return RecordedBus()
