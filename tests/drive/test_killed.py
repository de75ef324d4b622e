"""A builder that is killed at any moment leaves a drive that is whole: the old one, or the new one."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from datetime import datetime
from pathlib import Path

from airladder.drive.image import build

WHEN = datetime(2026, 5, 4, 18, 30)
KILLS = 25
BUILDER = """
import sys
from datetime import datetime
from pathlib import Path
from airladder.drive.image import build
top = Path(sys.argv[1])
print("ready", flush=True)
while True:
    for which in ("one", "two"):
        build(top / which, top / "out.img", "AIRLADDER", datetime(2026, 5, 4, 18, 30))
"""


def test_a_builder_killed_at_random_leaves_the_old_drive_or_the_new_one(tmp_path: Path) -> None:
    """The whole group of processes is killed, as systemd does it."""
    whole = set()
    for which in ("one", "two"):
        (tmp_path / which / "tries").mkdir(parents=True)
        (tmp_path / which / "tries" / "2026-05.csv").write_text(which * 40_000)
        build(tmp_path / which, tmp_path / "out.img", "AIRLADDER", WHEN)
        whole.add((tmp_path / "out.img").read_bytes())
    draw = random.Random(4)
    half_done = 0
    for _ in range(KILLS):
        with subprocess.Popen(
            [sys.executable, "-c", BUILDER, str(tmp_path)], stdout=subprocess.PIPE, start_new_session=True
        ) as builder:
            assert builder.stdout is not None
            builder.stdout.readline()
            time.sleep(draw.uniform(0.0, 0.15))
            os.killpg(builder.pid, signal.SIGKILL)
        half_done += (tmp_path / ".out.img.new").exists()
        assert (tmp_path / "out.img").read_bytes() in whole
    assert half_done > KILLS // 4  # it was caught at work, not between two builds
    build(tmp_path / "one", tmp_path / "out.img", "AIRLADDER", WHEN)
    assert not list(tmp_path.glob(".out.img*"))
