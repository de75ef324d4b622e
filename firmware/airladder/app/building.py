"""Building the drive in a process of its own, so that neither its work nor its memory is felt in a practice."""

from __future__ import annotations

import subprocess
import sys
import threading
from dataclasses import dataclass, field
from pathlib import Path

from airladder.app.handover import Handover
from airladder.faults import Fault


@dataclass(frozen=True)
class Aside(Handover):
    """A `Handover` that has the command `airladder drive build` do the building, and gives way to all others."""

    _process: list[subprocess.Popen[str]] = field(default_factory=list)
    _stopped: threading.Event = field(default_factory=threading.Event)

    def build(self, out: Path | None = None) -> Path:
        """Make the drive that goes out; where it lies.

        Raises
        ------
        Fault : with the sentence of the command when it failed.
        """
        out = out or self.out_image
        words = ["nice", "-n", "19", sys.executable, "-m", "airladder", "drive", "build", "--log", str(self.log)]
        settings = [] if self.settings_file is None else ["--settings", str(self.settings_file)]
        process = subprocess.Popen(
            [*words, *settings, "--out", str(out)], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True
        )
        self._process[:] = [process]
        if self._stopped.is_set():
            process.terminate()
        _, said = process.communicate()
        if process.returncode:
            raise Fault(
                said.strip().removeprefix("airladder: ") or f"The drive could not be made ({process.returncode})."
            )
        return out

    def stop(self) -> None:
        """End a building that is under way: the drive before it stays."""
        self._stopped.set()
        for process in self._process:
            process.terminate()
