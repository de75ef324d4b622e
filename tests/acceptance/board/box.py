"""The installed box, switched on: its machine, and what one asks of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from acceptance.kernel.claims import Claims, say
from airladder.practice.presses import Button
from board.driven import EVERYTHING, STEADY, Board
from board.evening import Evening
from board.machine import Machine

HERE = Path(__file__).parent
NS_AN_INSTRUCTION = 2.0
LONGEST_S = 1500.0
SERVICE = "airladder.service"
_TEXTS = "/var/lib/airladder/*.txt /run/airladder/data/*.txt /run/airladder/data/airladder/*.txt"


@dataclass
class Box:
    """A box that is on.

    Attributes
    ----------
    board : somebody in front of it
    evening : what that one does with it
    machine : the machine itself
    """

    board: Board
    evening: Evening
    machine: Machine

    def shown(self, name: str) -> str:
        """What systemd shows of the service under that name."""
        return self.board.run(f"systemctl show -P {name} {SERVICE}")

    def is_up(self) -> bool:
        """Whether the service has said that it is ready, and runs."""
        return self.shown("ActiveState") == "active"

    def million_instructions(self) -> float:
        """Those of all processes of the service since its start, and of the kernel for them.

        The machine counts 2 ns an instruction, so processor time is nothing but that.
        """
        return int(self.shown("CPUUsageNSec")) / NS_AN_INSTRUCTION / 1e6

    def comes_up(self, claims: Claims, about: str) -> None:
        """Claim that the service comes up, and stays, started once."""
        claims.soon(f"{about}: the service comes up", self.is_up, within=600.0)

    def stays(self, claims: Claims, about: str) -> None:
        """Claim that it has not been started again since."""
        claims.that(f"{about}: and it stays", (self.is_up(), self.shown("NRestarts")), (True, "0"))

    def says(self, claims: Claims, about: str, *words: str) -> None:
        """Claim that a sentence with all of these words comes."""
        found = ""

        def there() -> bool:
            nonlocal found
            self.board.run("sleep 1")
            _, texts = self.board.tried(f"cat {_TEXTS} 2>/dev/null")
            found = f"{self.shown('StatusText')}\n{texts}"
            return any(all(word in line for word in words) for line in found.splitlines())

        claims.soon(f"{about}: it says a sentence with '{' ... '.join(words)}'", there, within=300.0)
        line = next((one for one in found.splitlines() if all(word in one for word in words)), found)
        say(f"        {line.removeprefix('- ')}")

    def play(self) -> None:
        """Let the recorded saxophone sound from now on."""
        self.board.run(
            "systemd-run -q -u player sh -c 'while aplay -q -D hw:airladder,1,0 /sounds/horn.wav; do :; done'"
        )

    def hush(self) -> None:
        """Let it end."""
        self.board.run("systemctl stop player")

    def press_long(self, button: Button) -> None:
        """Hold it."""
        self.board.press(button, 1.2)


@contextmanager
def switched_on(
    image: Path,
    sounds: Path,
    *,
    disks: Sequence[str] = (),
    bus: str = "",
    before: str = "",
    words: Sequence[str] = (),
) -> Iterator[Box]:
    """A box, from the switch-on until the power is cut.

    Parameters
    ----------
    image, sounds, disks : the installed root, the folder of the recording, the data partition
    bus : words for `i2cbus`
    before : shell, run before the first process is
    words : for qemu
    """
    lent = {**EVERYTHING, "/sounds": sounds}
    told = f"{before}\nmkdir -p /etc/board\necho 'BUS={bus}' >/etc/board/bus\n"
    machine = Machine(
        HERE / "service.sh",
        disks=disks,
        lent=lent,
        systemd=True,
        image=image,
        before=told,
        words=[*STEADY, *words],
        longest=LONGEST_S,
    )
    with machine:
        machine.until("ready")
        board = Board(machine)
        yield Box(board, Evening(board), machine)
